"""From all the readings to the branch that draws, or to the reason why none can be named yet."""

from collections.abc import Sequence
from dataclasses import dataclass

from loomwise.errors import QuantityError
from loomwise.standing_draw.battery import lasts_days
from loomwise.standing_draw.reading import ClampReading, FuseReading
from loomwise.units import format_quantity

ALLOWED_A = 0.05
"""Whole vehicle asleep. Common practice:
https://engineerfix.com/how-much-parasitic-draw-is-too-much/ ; many modules up to 85 mA there."""
ASLEEP_MIN = 40.0
"""Modules fall asleep within minutes, late ones within this. Common practice, no source."""
CLAMP_SHARE, CLAMP_A = 0.03, 0.01
"""How far a clamp may be off: a share, and its zero. Engineering judgement."""
AWAKE_A = 0.02
"""A change between two clamp readings above which something still goes to sleep or wakes."""


@dataclass(frozen=True)
class Hunt:
    """What was read. ``clamps`` in the order of time; no ``fuses`` yet is allowed."""

    clamps: tuple[ClampReading, ...]
    fuses: tuple[FuseReading, ...] = ()
    allowed_a: float = ALLOWED_A
    asleep_min: float = ASLEEP_MIN
    capacity_ah: float = 0.0
    charge: float = 1.0


@dataclass(frozen=True)
class FuseDraw:
    """One fuse with its current; ``own_a`` is what no fuse behind it accounts for."""

    fuse: str
    feeds: str
    behind: str
    type: str
    rating_a: float
    drop_v: float
    current_a: float
    low_a: float
    high_a: float
    own_a: float


@dataclass(frozen=True)
class Hunted:
    """The answer. ``verdict``: awake (wait, then read again), usual, found, bypass (current that
    no fuse read accounts for), contradiction (fuses show more than the clamp), open (no fuse read).

    ``suspects`` are the fewest fuses without whose draw the vehicle would be within what is
    allowed; ``past_fuses_a`` is the clamp's current less that of all fuses. ``lasts_days`` is null
    where no battery was given or nothing flows. ``text`` says it, ``next_steps`` what to do.
    """

    verdict: str
    clamp_a: float
    allowed_a: float
    fuses_a: float
    fuses_low_a: float
    fuses_high_a: float
    past_fuses_a: float
    draws: tuple[FuseDraw, ...]
    suspects: tuple[str, ...]
    lasts_days: float | None
    text: tuple[str, ...]
    next_steps: tuple[str, ...]


def hunt(given: Hunt) -> Hunted:
    """Judge the readings.

    Raises
    ------
    QuantityError : no clamp reading, a fuse twice, one behind itself or behind one not read.
    """
    _check(given)
    clamp = given.clamps[-1]
    draws = tuple(sorted((_draw(f, given.fuses) for f in given.fuses), key=lambda d: -d.own_a))
    top = [f.amps for f in given.fuses if not f.behind]
    low, mid, high = (
        sum(a.low_a for a in top), sum(a.current_a for a in top), sum(a.high_a for a in top)
    )  # fmt: skip
    verdict = _verdict(given, low, high)
    suspects = _suspects(given, draws) if verdict == "found" else ()
    days = lasts_days(given.capacity_ah, given.charge, clamp.current_a) if (
        given.capacity_ah and clamp.current_a > 0
    ) else None  # fmt: skip
    past = clamp.current_a - mid
    return Hunted(
        verdict, clamp.current_a, given.allowed_a, mid, low, high, past, draws, suspects, days,
        _text(given, verdict, draws, suspects, past), tuple(_NEXT[verdict]),
    )  # fmt: skip


def _check(given: Hunt) -> None:
    if not given.clamps:
        hint = "read the whole current at the battery first: '0.45 A after 40 min'"
        raise QuantityError("no clamp reading", "clamp", hint)
    if not given.allowed_a > 0:
        raise QuantityError(f"{given.allowed_a:g} A allowed", "allowed", "write such as 50 mA")
    times = [c.after_min for c in given.clamps if c.after_min is not None]
    if times != sorted(times):
        raise QuantityError("the clamp readings go back in time", "clamp", "write the first first")
    names = [f.fuse for f in given.fuses]
    for fuse in given.fuses:
        if names.count(fuse.fuse) > 1:
            raise QuantityError(f"{fuse.fuse} is there twice", "fuse", "keep one reading of it")
        if fuse.behind and (fuse.behind == fuse.fuse or fuse.behind not in names):
            what = f"{fuse.fuse} is behind {fuse.behind}, which was not read"
            raise QuantityError(what, "fuse", "read that one too, or leave 'behind' out")
        _check_ring(fuse, {f.fuse: f.behind for f in given.fuses})


def _check_ring(fuse: FuseReading, behind: dict[str, str]) -> None:
    seen, at = {fuse.fuse}, fuse.behind
    while at:
        if at in seen:
            what = f"{fuse.fuse} is in the end behind itself"
            raise QuantityError(what, "fuse", "see which fuse feeds which")
        seen.add(at)
        at = behind[at]


def _draw(f: FuseReading, fuses: Sequence[FuseReading]) -> FuseDraw:
    below = sum(o.amps.current_a for o in fuses if o.behind == f.fuse)
    return FuseDraw(
        f.fuse, f.feeds, f.behind, f.type, f.rating_a, f.drop_v, f.amps.current_a, f.amps.low_a,
        f.amps.high_a, max(0.0, f.amps.current_a - below),
    )  # fmt: skip


def _verdict(given: Hunt, low: float, high: float) -> str:
    clamp = given.clamps[-1]
    off = _clamp_off(given)
    if clamp.current_a <= given.allowed_a:
        return "usual"
    if _awake(given):
        return "awake"
    if not given.fuses:
        return "open"
    if clamp.current_a - off > high:
        return "bypass"
    return "contradiction" if clamp.current_a + off < low else "found"


def _clamp_off(given: Hunt) -> float:
    return CLAMP_A + CLAMP_SHARE * given.clamps[-1].current_a


def _awake(given: Hunt) -> bool:
    """Too early, or still changing."""
    *before, last = given.clamps
    changes = bool(before) and abs(before[-1].current_a - last.current_a) > AWAKE_A
    return last.after_min is None or last.after_min < given.asleep_min or changes


def _suspects(given: Hunt, draws: Sequence[FuseDraw]) -> tuple[str, ...]:
    """The largest draws, until the rest is within what is allowed."""
    left, found = given.clamps[-1].current_a, list[str]()
    enough = given.allowed_a + _clamp_off(given)
    for draw in draws:
        if left <= enough or draw.own_a <= 0:
            break
        found.append(draw.fuse)
        left -= draw.own_a
    return tuple(found)


def _text(
    given: Hunt, verdict: str, draws: Sequence[FuseDraw], suspects: Sequence[str], past: float
) -> tuple[str, ...]:  # fmt: skip
    clamp = given.clamps[-1]
    amps, allowed = (format_quantity(a, "A") for a in (clamp.current_a, given.allowed_a))
    whole = f"{amps} flow, where up to {allowed} is usual for a vehicle asleep."
    if verdict == "usual":
        return (f"{amps} flow: within the {allowed} that is usual for a vehicle asleep.",)
    if verdict == "awake":
        return (whole, _why_awake(given))
    if verdict == "open":
        return (whole, "No fuse has been read yet.")
    if verdict == "bypass":
        flows = format_quantity(past, "A")
        return (whole, f"The fuses read account for all but {flows}: that bypasses every one read.")
    if verdict == "contradiction":
        return (whole, "The fuses read show more than the clamp: one of the readings is wrong.")
    named = {d.fuse: d for d in draws}
    said = [_named(named[s]) for s in suspects]
    return (whole, f"It draws by {' and '.join(said)}.")


def _named(d: FuseDraw) -> str:
    low, mid, high = (format_quantity(a, "A") for a in (d.low_a, d.current_a, d.high_a))
    feeds = f" ({d.feeds})" if d.feeds else ""
    return f"{d.fuse}{feeds}, {mid} ({low} to {high})"


def _why_awake(given: Hunt) -> str:
    after, may = given.clamps[-1].after_min, f"modules may take {given.asleep_min:g} min to sleep"
    if after is None:
        return f"How long after all was shut is not said, and {may}: '0.45 A after 45 min'."
    if after < given.asleep_min:
        return f"That was {after:g} min after all was shut; {may}."
    was, now = (format_quantity(c.current_a, "A") for c in given.clamps[-2:])
    return f"It went from {was} to {now}: something still falls asleep, or wakes."


_NEXT: dict[str, tuple[str, ...]] = {
    "usual": ("If the battery still goes flat: does something wake the vehicle at night? Is the"
              " battery itself sound, and is it charged?",),
    "awake": ("Latch the doors and the bonnet's lock by hand, key away from the vehicle, and wait.",
              "Opening a door or pulling a fuse wakes modules: then wait again."),
    "open": ("Read millivolts across every fuse, in place, on the fuse's own ears.",),
    "bypass": ("Look at what is wired before or beside the fuses read: the charging source's cable,"
               " the starter's, fuses in another place, anything added at the battery. A cable that"
               " no fuse guards is taken off only with battery minus off.",
               "Cheap unbranded fuses show fewer millivolts than the table says."),
    "contradiction": ("Set the clamp to zero and read again; check type and rating of the fuses"
                      " with the largest drop; is one of them fed by another? Then say 'behind'.",
                      "Was the vehicle awake while the fuses were read?"),
    "found": ("On that fuse's branch: unplug one consumer after the other, with the clamp in sight,"
              " until the current falls. Pull the fuse itself last: it wakes modules.",),
}  # fmt: skip
"""What to do next. Common practice, no source."""
