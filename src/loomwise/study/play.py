"""One case from complaint to verdict, and how it ended."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.random import Generator

from loomwise.advice.costs import zone
from loomwise.advice.decide import decide
from loomwise.advice.expert import Expert
from loomwise.advice.next_test import next_tests
from loomwise.advice.proposal import Proposal
from loomwise.diagnosis.words import sign_chances
from loomwise.evidence import Evidence, Reading, Sign
from loomwise.faults import Fault
from loomwise.setups import Setup
from loomwise.solver.network import Ints
from loomwise.solver.operate import Plant
from loomwise.solver.result import loads
from loomwise.study.world import Truth, World, drawn_network, off_grid

MOST_MINUTES = 120.0
MOST_ITEMS = 25
TOLERANCE = 0.1


@dataclass(frozen=True)
class Ended:
    """How a case ended. ``kind`` is the verdict's; ``missed`` readings and how many were marked."""

    circuit: str
    fault: str
    truth: str
    kind: str
    unit: str
    share: float
    minutes: float
    readings: int
    missed: int
    recognised: int

    @property
    def right(self) -> bool:
        """Whether the unit named is the one at fault."""
        return self.unit == self.truth


def with_sign(expert: Expert) -> tuple[tuple[Fault, Setup], ...]:
    """Faults that show at a load in some setup, each with the first setup where they do."""
    table = expert.table
    everyone: Ints = np.arange(len(table))
    found: dict[int, Setup] = {}
    for setup in expert.states:
        for part in loads(expert.circuit):
            word = sign_chances(table, everyone, setup, part.id).argmax(axis=1)
            for h in np.flatnonzero(word != word[0]):
                found.setdefault(int(h), setup)
    return tuple((table.fault(h), found[h]) for h in sorted(found))


def draw_case(
    expert: Expert, cases: Sequence[tuple[Fault, Setup]], draw: Generator, weighted: bool = True
) -> tuple[World, Setup]:
    """A vehicle with a fault drawn by weight among those with a sign."""
    weights = np.array([f.weight for f, _ in cases])
    index = int(draw.choice(len(cases), p=weights / weights.sum()))
    fault, setup = cases[index]
    net = drawn_network(expert.plant.net, draw, TOLERANCE)
    truth = Truth(fault, off_grid(fault, draw), lambda place: place)
    world = World(expert.circuit, Plant(net, expert.plant.brains), truth, draw)
    world.use(expert.states)
    return world, setup


def play(expert: Expert, world: World, complaint: Setup, name: str = "") -> Ended:
    """Signs of the complaint first, then the advice's tests until it stops."""
    expert = replace(expert, judge=expert.judge.fresh())
    items: list[Evidence] = [
        world.sign(f"S{k}", complaint, part.id) for k, part in enumerate(loads(expert.circuit), 1)
    ]
    here, opened, minutes = complaint, frozenset[str](), 0.0
    while True:
        ranking = expert.judge.rank(items)
        verdict = decide(expert, items, ranking)
        if verdict.kind == "proven" or minutes > MOST_MINUTES or len(items) > MOST_ITEMS:
            break
        proposals = next_tests(expert, items, here, opened, 1, ranking=ranking, verdict=verdict)
        if not proposals:
            break
        p = proposals[0]
        items.append(answer(world, p, len(items) + 1))
        here, minutes = p.setup, minutes + p.minutes
        opened |= {zone(place) for place in (p.red, p.black) if place}
    bad = {name for name, chance in ranking.bad.items() if chance > 0.5}
    missed = _missed(world, items)
    readings = sum(isinstance(e, Reading) for e in items)
    return Ended(
        name or expert.circuit.title, world.truth.fault.id, world.truth.fault.unit,
        verdict.kind, verdict.unit, verdict.share, minutes, readings,
        len(missed), len(missed & bad),
    )  # fmt: skip


def answer(world: World, p: Proposal, number: int) -> Evidence:
    """The vehicle's answer to a proposed test."""
    if p.instrument in ("sign", "scan tool"):
        return world.sign(f"S{number}", p.setup, p.red)
    ask = Reading(f"R{number}", p.setup, p.instrument, p.red, p.black, method=p.method)
    return world.reading(ask)


def _missed(world: World, items: Sequence[Evidence]) -> set[str]:
    """Voltmeter readings that read nothing although more than 0.5 V was there."""
    steady = replace(world, missed=0.0, draw=np.random.default_rng(0), kept=world.kept)
    return {
        e.id
        for e in items
        if not isinstance(e, Sign) and e.instrument == "voltmeter" and e.value is not None
        and abs(e.value) < 0.1 and abs(steady.reading(e).value or 0.0) > 0.5
    }  # fmt: skip
