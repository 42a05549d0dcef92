"""Choose a wire, or judge a given one with its fuse."""

from dataclasses import dataclass, field

from loomwise.errors import QuantityError
from loomwise.sizing.ampacity import Surroundings, conductor_c, stands_a
from loomwise.sizing.drop import drop_v, resistance_ohm
from loomwise.sizing.fuse import CONTINUOUS_SHARE, largest_fuse_a, smallest_fuse_a
from loomwise.units import awg_to_mm2, format_quantity

METRIC_MM2 = (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0)
"""Sizes to choose from (IEC 60228); thinner ones are hard to crimp well: common practice."""
AWG = ("20", "18", "16", "14", "12", "10", "8", "6", "4", "2", "1", "1/0", "2/0", "3/0", "4/0")
EXTRA_LOW_V = 60.0
"""Above it, DC is dangerous to touch, and out of scope."""
FUSE_RATED_V = 32.0
"""What ordinary blade fuses are made for: series 287, of a maker's sheet quoted second-hand."""


@dataclass(frozen=True)
class Question:
    """What the wire has to do. ``length_m`` is all the wire that the current goes through, back as
    well as there; ``drop_v`` what may be lost in it."""

    current_a: float
    length_m: float
    supply_v: float
    drop_v: float
    around: Surroundings = field(default_factory=Surroundings)

    def __post_init__(self) -> None:
        if self.supply_v > EXTRA_LOW_V:
            what = f"{self.supply_v:g} V is above {EXTRA_LOW_V:g} V DC: high voltage"
            hint = "leave it to people licensed for it; this calculator ends at 60 V"
            raise QuantityError(what, "supply", hint)
        for name, value in (("current", self.current_a), ("length", self.length_m)):
            if not value > 0:
                hint = "write a number above 0"
                raise QuantityError(f"a {name} of {value:g} makes no sense", name, hint)
        if not self.supply_v >= 1:
            raise QuantityError(f"a supply of {self.supply_v:g} V", "supply", "12, 24 or 48 V")


@dataclass(frozen=True)
class WireFacts:
    """One size in that job. ``conductor_c`` is where it warms to, above the insulation's own limit
    if the current is too much; ``largest_fuse_a`` is null where no usual fuse is small enough."""

    size: str
    area_mm2: float
    resistance_ohm: float
    drop_v: float
    drop_share: float
    conductor_c: float
    stands_a: float
    largest_fuse_a: float | None


@dataclass(frozen=True)
class Judged:
    """The answer. ``ok``: ``wire`` does it, with the fuse ``fuse_a``; it is null if none does.

    ``for_drop`` and ``for_heat`` are the smallest sizes for either alone, empty if none is large
    enough. ``beside`` are the next sizes smaller and larger. ``why`` and ``cautions`` are
    sentences.
    """

    ok: bool
    wire: WireFacts | None
    fuse_a: float | None
    for_drop: str
    for_heat: str
    beside: tuple[WireFacts, ...]
    why: tuple[str, ...]
    cautions: tuple[str, ...]


def size(q: Question, awg: bool = False) -> Judged:
    """The smallest usual wire for the job, and its fuse."""
    sizes = [facts(q, name, area) for name, area in usual_sizes(awg)]
    fuse_a = smallest_fuse_a(q.current_a)
    drops = [w for w in sizes if w.drop_v <= q.drop_v]
    stands = [w for w in sizes if _stands(w, fuse_a)]
    both = [w for w in drops if w in stands]
    chosen = both[0] if both else None
    at = sizes.index(chosen) if chosen else len(sizes)
    beside = tuple(sizes[k] for k in (at - 1, at + 1) if 0 <= k < len(sizes))
    names = [some[0].size if some else "" for some in (drops, stands)]
    why = _why_chosen(q, chosen, fuse_a, *names)
    return Judged(
        chosen is not None, chosen, fuse_a if chosen else None, names[0], names[1], beside,
        why, cautions(q),
    )  # fmt: skip


def judge(q: Question, name: str, area_mm2: float, fuse_a: float | None = None) -> Judged:
    """Whether a given wire does the job, with a given fuse or the smallest that carries it."""
    wire, best = facts(q, name, area_mm2), size(q, "AWG" in name)
    fuse = smallest_fuse_a(q.current_a) if fuse_a is None else fuse_a
    against = _against(q, wire, fuse)
    why = against or (f"{name} loses {_volts(q, wire)} and warms to {wire.conductor_c:.0f} °C.",)
    return Judged(
        not against, wire, fuse, best.for_drop, best.for_heat,
        (best.wire,) if best.wire and against else (), why, cautions(q),
    )  # fmt: skip


def usual_sizes(awg: bool) -> tuple[tuple[str, float], ...]:
    """Name and area [mm²] of the sizes to choose from."""
    if awg:
        return tuple((f"{n} AWG", awg_to_mm2(n)) for n in AWG)
    return tuple((format_quantity(a, "mm2"), a) for a in METRIC_MM2)


def facts(q: Question, name: str, area_mm2: float) -> WireFacts:
    """One size in the job; its resistance is that of the warm conductor."""
    warm = conductor_c(area_mm2, q.current_a, q.around)
    stands = stands_a(area_mm2, q.around)
    lost = drop_v(area_mm2, q.length_m, q.current_a, warm)
    ohm = resistance_ohm(area_mm2, q.length_m, warm)
    return WireFacts(
        name, area_mm2, ohm, lost, lost / q.supply_v, warm, stands, largest_fuse_a(stands)
    )


def _stands(wire: WireFacts, fuse_a: float | None) -> bool:
    return fuse_a is not None and wire.largest_fuse_a is not None and (
        fuse_a <= wire.largest_fuse_a
    )  # fmt: skip


def _against(q: Question, wire: WireFacts, fuse_a: float | None) -> tuple[str, ...]:
    """What speaks against a wire and its fuse, all of it."""
    found = []
    if wire.drop_v > q.drop_v:
        allowed = format_quantity(q.drop_v, "V")
        found.append(f"{wire.size} loses {_volts(q, wire)}, more than the {allowed} allowed.")
    if q.current_a > wire.stands_a:
        stands, amps = (format_quantity(a, "A") for a in (wire.stands_a, q.current_a))
        found.append(f"{wire.size} stands {stands} there, not {amps}.")
    largest = wire.largest_fuse_a
    if fuse_a is not None and (largest is None or fuse_a > largest):
        most = f"at most {largest:g} A" if largest else "no usual fuse"
        found.append(f"A {fuse_a:g} A fuse does not protect {wire.size}: it stands {most} there.")
    if fuse_a is None:
        found.append("No usual fuse carries that current for good.")
    elif fuse_a * CONTINUOUS_SHARE < q.current_a:
        amps = format_quantity(q.current_a, "A")
        found.append(
            f"A {fuse_a:g} A fuse is small for {amps} for good; a larger one only on a wire that"
            " stands it."
        )
    return tuple(found)


def _why_chosen(
    q: Question, chosen: WireFacts | None, fuse_a: float | None, for_drop: str, for_heat: str
) -> tuple[str, ...]:
    if fuse_a is None:
        return ("No usual fuse carries that current for good: divide the load.",)
    if chosen is None:
        return ("No usual size does it: shorten the way, allow more drop, or divide the load.",)
    decides = "both the drop and the heat" if for_drop == for_heat else (
        "the drop" if chosen.size == for_drop else "the heat with its fuse"
    )  # fmt: skip
    return (
        f"{chosen.size}: decided by {decides} ({for_drop} for the drop, {for_heat} for the heat).",
        f"Fuse {fuse_a:g} A carries {format_quantity(q.current_a, 'A')} for good; the wire stands"
        f" at most {chosen.largest_fuse_a:g} A.",
    )


def _volts(q: Question, wire: WireFacts) -> str:
    return f"{format_quantity(wire.drop_v, 'V')} ({100 * wire.drop_share:.1f} %)"


def cautions(q: Question) -> tuple[str, ...]:
    """What to mind; all common practice, no source. The maker's instructions go first."""
    found = [
        "The maker's size, fuse and routing go before these figures.",
        "Never fit a larger fuse than the wire stands. Put it as near the battery as can be.",
        "For a motor take the current it draws stalled, unless something else cuts it off.",
        "Battery minus off before the work; a module may lose its memory: read up first.",
    ]
    if q.supply_v > FUSE_RATED_V:
        found.append(
            f"Blade fuses are made for {FUSE_RATED_V:g} V: at {q.supply_v:g} V take fuses and"
            " switches rated for it, an arc does not go out by itself."
        )
    if q.around.temperature_c >= 60.0:
        found.append("In a hot place fuses carry less too: see their sheet.")
    return tuple(found)
