"""What is said after a practice: right or wrong, two paths in minutes and cost, where they part."""

from dataclasses import dataclass

from loomwise.advice.next_test import unit_title
from loomwise.advice.say import title_of
from loomwise.advice.wording import minutes, percent
from loomwise.practice.parting import Beside, Parting, Weighed, part_ways, path_cost
from loomwise.practice.path import Path
from loomwise.practice.vehicle import Vehicle

EARLY = 0.9
"""Below this share a decision was a bet: the level the weakest reading must leave a proof. [-]"""


@dataclass(frozen=True)
class Walked:
    """A path as it is shown: its tests, minutes and cost, and the unit it ended in."""

    tests: tuple[str, ...]
    minutes: float
    cost: float
    unit: str


@dataclass(frozen=True)
class Debrief:
    """``right``: a unit at fault was named. ``fault`` is what was wrong; ``words`` say where the
    paths parted and why, ``beside`` compares test by test; ``missed`` names one's own readings
    that told wrong because the probe did not touch or labels were exchanged."""

    right: bool
    fault: str
    exchange: str
    own: Walked
    advised: Walked
    parted_at: int | None
    words: tuple[str, ...]
    beside: tuple[Beside, ...]
    missed: tuple[str, ...]


def debrief(vehicle: Vehicle, own: Path, advised: Path, missed: tuple[str, ...]) -> Debrief:
    """Compare the trainee's path with the advised one."""
    parting = part_ways(vehicle, own)
    truth = vehicle.world.truth
    right = own.unit in truth.units
    exchange = vehicle.expert.judge.doubt_title(truth.exchange) if truth.exchange else ""
    return Debrief(
        right, truth.fault.title, exchange, _walked(vehicle, own), _walked(vehicle, advised),
        parting.first, tuple(_words(vehicle, own, parting, right)), parting.beside, missed,
    )  # fmt: skip


def _walked(vehicle: Vehicle, path: Path) -> Walked:
    circuit = vehicle.expert.circuit
    tests = tuple(title_of(circuit, s.test) for s in path.steps)
    return Walked(tests, path.minutes, path_cost(vehicle, path), unit_title(vehicle.expert,
                  path.unit))  # fmt: skip


def _words(vehicle: Vehicle, own: Path, parting: Parting, right: bool) -> list[str]:
    first = parting.first
    if first is None:
        every = "Every test told about as much a minute as the one advised there."
        found = [every if parting.beside else "Nothing was tested before deciding."]
    else:
        found = [_parted(first + 1, parting.beside[first])]
    return [*found, _decided(vehicle, own, parting, right)]


def _parted(number: int, b: Beside) -> str:
    if b.proven:
        return (
            f"At test {number} the unit was proven already: {b.own.title} took"
            f" {minutes(b.own.minutes)} and could change nothing."
        )
    assert b.advised is not None
    return (
        f"The paths part at test {number}, {b.item}. {_told('Yours', b.own)}"
        f" {_told('Advised', b.advised)} A minute of the advised test tells {_times(b)}."
    )


def _told(whose: str, w: Weighed) -> str:
    much = percent(w.settles) if w.settles > 0.0 else "nothing"
    of_it = " of the doubt" if w.settles > 0.0 else ""
    return (
        f"{whose}: {w.title}; {minutes(w.minutes)}, expected to settle {much}{of_it} about the"
        f" repair ({100 * w.a_minute:.1f} % a minute)."
    )


def _times(b: Beside) -> str:
    assert b.advised is not None
    if b.own.a_minute < 0.01 * b.advised.a_minute:
        return "what yours could not"
    return f"{b.advised.a_minute / b.own.a_minute:.0f} times as much"


def _decided(vehicle: Vehicle, own: Path, parting: Parting, right: bool) -> str:
    """What stood behind the decision."""
    share = parting.ranking.units.get(own.unit, 0.0)
    title = unit_title(vehicle.expert, own.unit)
    if parting.verdict.kind == "proven" and parting.verdict.unit == own.unit:
        return f"Your readings prove {title}." + ("" if right else " They were misleading.")
    leader, most = parting.ranking.leader
    if leader != own.unit:
        lead = unit_title(vehicle.expert, leader)
        return f"Your readings gave {title} {percent(share)}; {lead} led with {percent(most)}."
    if share < EARLY:
        luck = "it was the one, by luck" if right else "it was not the one"
        return f"You decided on {title} at {percent(share)}, a bet: {luck}."
    return f"Your readings gave {title} {percent(share)}: likely, not proven yet."
