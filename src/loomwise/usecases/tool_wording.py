"""The sentences of the standing-draw hunt and of the wire calculator, for screen and page alike."""

from loomwise.units import format_quantity
from loomwise.usecases.standing_draw import FuseDraw, Hunted
from loomwise.usecases.wire import Asked, Judged, WireFacts

BURNS_C = 400.0
"""A conductor is not said to warm to more than this: it burns. Engineering judgement."""


def fuses_text(answer: Hunted) -> str:
    """All fuses together beside the clamp."""
    total, low, high, clamp = (
        format_quantity(a, "A")
        for a in (answer.fuses_a, answer.fuses_low_a, answer.fuses_high_a, answer.clamp_a)
    )
    return f"all fuses together {total} ({low} to {high}); clamp {clamp}"


def lasts_text(answer: Hunted) -> str:
    """How long the battery lasts, or nothing where that is not known."""
    days = answer.lasts_days
    if days is None:
        return ""
    told = f"{days:.0f} days" if days < 400 else "over a year"
    told = f"{24 * days:.0f} hours" if days < 2 else told
    return f"The battery is down to half its charge in {told}."


def draw_row(d: FuseDraw) -> tuple[str, ...]:
    """One fuse: name, type, drop, what it draws, the range of it, and what it feeds."""
    low, high = (format_quantity(a, "A") for a in (d.low_a, d.high_a))
    behind = [f"behind {d.behind}"] if d.behind else []
    return (
        d.fuse, f"{d.type} {d.rating_a:g} A", format_quantity(d.drop_v, "V"),
        format_quantity(d.current_a, "A"), f"{low} and {high}",
        ", ".join(w for w in (*behind, d.feeds) if w),
    )  # fmt: skip


def wire_question(asked: Asked) -> str:
    """What the wire has to do, as it was understood."""
    amps, length = format_quantity(asked.current_a, "A"), format_quantity(asked.length_m, "m")
    supply, drop = (format_quantity(v, "V") for v in (asked.supply_v, asked.drop_v))
    among = f"{asked.bundle} loaded wires together" if asked.bundle > 1 else "a wire alone"
    return (
        f"{amps} through {length} of wire at {supply}, at most {drop} lost; {among}, air"
        f" {asked.temperature_c:g}\u00a0°C, insulation for {asked.insulation_c:g}\u00a0°C."
    )


def wire_sizes(answer: Judged) -> tuple[WireFacts, ...]:
    """The wire with its neighbours, thin to thick."""
    found = (*((answer.wire,) if answer.wire else ()), *answer.beside)
    return tuple(sorted(found, key=lambda w: w.area_mm2))


def wire_row(w: WireFacts, answer: Judged) -> tuple[str, ...]:
    """One size: name, volts lost and their share, warmth, amps it stands, largest fuse, mark."""
    fuse = f"{w.largest_fuse_a:g} A" if w.largest_fuse_a else "none"
    warm = f"{w.conductor_c:.0f} °C" if w.conductor_c < BURNS_C else "burns"
    mark = ("this one" if answer.ok else "given") if w == answer.wire else ""
    lost, share = format_quantity(w.drop_v, "V"), f"{100 * w.drop_share:.1f} %"
    return w.size, lost, share, warm, format_quantity(w.stands_a, "A"), fuse, mark
