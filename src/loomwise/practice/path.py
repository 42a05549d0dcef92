"""A path: tests in the order they were made, with what each took; and the advised one."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from loomwise.advice.candidates import Candidate
from loomwise.advice.costs import minutes_of, zone
from loomwise.advice.decide import decide
from loomwise.advice.endings import Bench, conclude
from loomwise.advice.expert import Expert
from loomwise.advice.next_test import next_tests
from loomwise.evidence import Evidence, Reading
from loomwise.practice.vehicle import Vehicle
from loomwise.setups import Setup

MOST_TESTS = 25
"""Where the advice is no wiser after so many, the vehicle is none to practise on."""


@dataclass(frozen=True)
class Step:
    """A test, what it showed and the minutes it took from where the vehicle stood."""

    test: Candidate
    item: Evidence
    minutes: float


@dataclass(frozen=True)
class Path:
    """Tests and the unit they end in; ``kind`` is the verdict's."""

    steps: tuple[Step, ...]
    unit: str
    kind: str = ""

    @property
    def minutes(self) -> float:
        """Time of all tests. [min]"""
        return sum(s.minutes for s in self.steps)


def test_of(item: Evidence, circuit_modules: frozenset[str] = frozenset()) -> Candidate:
    """The test that an item answers; a sign of a module is asked with the scan tool."""
    if isinstance(item, Reading):
        return Candidate(item.setup, item.instrument, item.red, item.black, item.method)
    by_tool = item.what.partition(".")[0] in circuit_modules
    return Candidate(item.setup, "scan tool" if by_tool else "sign", item.what)


def opened_by(test: Candidate) -> frozenset[str]:
    """What is laid open for a test and stays so."""
    return frozenset(zone(place) for place in (test.red, test.black) if place)


def times_asked(steps: Sequence[Step], test: Candidate) -> int:
    """How often a test has been made."""
    return sum(s.test == test for s in steps)


def take(
    vehicle: Vehicle, steps: Sequence[Step], test: Candidate, here: Setup, opened: frozenset[str]
) -> Step:
    """Make a test from where the vehicle stands."""
    letter = "S" if test.instrument in ("sign", "scan tool") else "R"
    name = f"{letter}{len(vehicle.opening()) + len(steps) + 1}"
    minutes, _ = minutes_of(vehicle.expert.circuit, test, here, opened)
    return Step(test, vehicle.answer(test, name, times_asked(steps, test)), minutes)


def advised_path(vehicle: Vehicle, most: int = MOST_TESTS) -> Path:
    """The path of one who makes every test that is advised, until a unit is proven, none tells
    more or there have been ``most``."""
    expert = fresh(vehicle.expert)
    items: list[Evidence] = [*vehicle.opening()]
    steps: list[Step] = []
    here, opened = vehicle.complaint, frozenset[str]()
    while True:
        ranking = expert.judge.rank(items)
        verdict = decide(expert, items, ranking)
        found = () if verdict.kind == "proven" or len(steps) >= most else next_tests(
            expert, items, here, opened, 1, ranking=ranking, verdict=verdict
        )  # fmt: skip
        if not found:
            break
        p = found[0]
        test = Candidate(p.setup, p.instrument, p.red, p.black, p.method)
        steps.append(take(vehicle, steps, test, here, opened))
        items.append(steps[-1].item)
        here, opened = p.setup, opened | opened_by(test)
    if verdict.kind == "open":
        verdict = conclude(expert, items, ranking, Bench(here, opened))
    return Path(tuple(steps), verdict.unit or ranking.leader[0], verdict.kind)


def fresh(expert: Expert) -> Expert:
    """The expert without what was remembered of other vehicles."""
    return replace(expert, judge=expert.judge.fresh())
