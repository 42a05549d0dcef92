"""A trainee's path beside the advised one: what each test would have told, and where they parted.

What a test tells is the share of the doubt about the repair that it is expected to settle, from
where the trainee stood: judged before the answer, as nobody can know it then.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from loomwise.advice.candidates import Candidate, asked_before
from loomwise.advice.decide import decide
from loomwise.advice.endings import COMEBACK_MIN
from loomwise.advice.expert import Expert
from loomwise.advice.leaders import leaders
from loomwise.advice.next_test import borne_out, hangs_on, next_tests, unit_title
from loomwise.advice.outcomes import outcome_chances
from loomwise.advice.proposal import Verdict
from loomwise.advice.say import title_of
from loomwise.diagnosis.ranking import Ranking
from loomwise.evidence import Evidence
from loomwise.planning import TestProblem, expected_gain_bits, repair_entropy_bits
from loomwise.practice.path import Path, fresh, opened_by
from loomwise.practice.vehicle import Vehicle

PARTED = 0.5
"""Paths part where a test tells less a minute than this share of the advised one. Engineering
judgement. [-]"""
NO_DOUBT_BITS = 0.02
"""With less doubt than this about the repair a test needs no praise and no blame. [bit]"""


@dataclass(frozen=True)
class Weighed:
    """A test as it stood to be chosen: ``settles`` is the share of the doubt it should settle."""

    title: str
    minutes: float
    settles: float

    @property
    def a_minute(self) -> float:
        """Share of the doubt settled per minute."""
        return self.settles / max(self.minutes, 0.1)


@dataclass(frozen=True)
class Beside:
    """The trainee's test and the one advised there; ``leader`` leads after the answer with
    ``share``. ``proven``: the unit was proven before, so that no test was needed."""

    item: str
    own: Weighed
    advised: Weighed | None
    leader: str
    share: float
    proven: bool = False

    @property
    def parts(self) -> bool:
        """Whether the paths part here."""
        if self.advised is None:
            return self.proven
        return self.own.a_minute < PARTED * self.advised.a_minute


@dataclass(frozen=True)
class Parting:
    """All tests side by side, and where the trainee stood when deciding."""

    beside: tuple[Beside, ...]
    verdict: Verdict
    ranking: Ranking

    @property
    def first(self) -> int | None:
        """The first test at which the paths part, counted from 0."""
        return next((k for k, b in enumerate(self.beside) if b.parts), None)


def part_ways(vehicle: Vehicle, own: Path) -> Parting:
    """Go the trainee's path again, and ask at each test what would have been advised."""
    expert = fresh(vehicle.expert)
    items: list[Evidence] = [*vehicle.opening()]
    here, opened = vehicle.complaint, frozenset[str]()
    beside: list[Beside] = []
    ranking = expert.judge.rank(items)
    for step in own.steps:
        verdict = decide(expert, items, ranking)
        settles = _settles(expert, items, ranking, verdict, step.test, step.minutes)
        mine = Weighed(title_of(expert.circuit, step.test), step.minutes, settles)
        proven, best = verdict.kind == "proven", None
        if not proven:
            found = next_tests(expert, items, here, opened, 1, ranking=ranking, verdict=verdict)
            for p in found:
                test = Candidate(p.setup, p.instrument, p.red, p.black, p.method)
                share = _settles(expert, items, ranking, verdict, test, p.minutes)
                best = Weighed(p.title, p.minutes, share)
        items.append(step.item)
        here, opened = step.test.setup, opened | opened_by(step.test)
        ranking = expert.judge.rank(items)
        leader, share = ranking.leader
        beside.append(Beside(step.item.id, mine, best, unit_title(expert, leader), share, proven))
    return Parting(tuple(beside), decide(expert, items, ranking), ranking)


def _settles(
    expert: Expert, items: Sequence[Evidence], ranking: Ranking, verdict: Verdict, test: Candidate,
    minutes: float,
) -> float:  # fmt: skip
    """Share of the doubt about the repair that a test should settle."""
    if asked_before(items, test):
        return 0.0
    again = hangs_on(verdict)
    before = borne_out(expert, items, ranking, verdict)
    group = leaders(before, [e for e in items if e.id != again])
    doubt = repair_entropy_bits(group.weights, group.repair)
    if doubt < NO_DOUBT_BITS:
        return 0.0
    chances, _ = outcome_chances(group, [test], expert.circuit.supply_v)
    problem = TestProblem(group.weights, chances, np.array([max(minutes, 0.1)]), group.repair)
    return float(np.clip(expected_gain_bits(problem)[0] / doubt, 0.0, 1.0))


def path_cost(vehicle: Vehicle, path: Path) -> float:
    """What a path costs the shop: its minutes, the repair of what is at fault, and, where another
    unit was named, that one for nothing and the vehicle in again. In the circuit's price units."""
    circuit, truth = vehicle.expert.circuit, vehicle.world.truth.units
    rate = circuit.labour_per_hour / 60.0
    units = [circuit.units[u] for u in {*truth, path.unit} if u in circuit.units]
    cost = path.minutes * rate + sum(u.price + u.minutes * rate for u in units)
    return cost if path.unit in truth else cost + _comeback(vehicle, path) * rate


def _comeback(vehicle: Vehicle, path: Path) -> float:
    """Minutes lost by a wrong repair: taking it out again, taking the vehicle in and testing."""
    unit = vehicle.expert.circuit.units.get(path.unit)
    return COMEBACK_MIN + (unit.minutes if unit else 0.0)
