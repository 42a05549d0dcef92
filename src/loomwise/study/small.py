"""Small problems without noise, cut from a circuit: the advice held against the best there is.

One fault of each of up to twelve units that the signs of a complaint leave, the ten tests that tell
most about them, the real minutes for setups, ways in and probing. The same seed cuts the same.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator

from loomwise.advice.ahead import EFFORT
from loomwise.advice.candidates import Candidate, candidates
from loomwise.advice.costs import minutes_of, reach_minutes, setup_minutes, zone
from loomwise.advice.expert import Expert
from loomwise.circuit.kinds.tables import access_methods
from loomwise.faults import Fault
from loomwise.planning import (
    Finish,
    Moves,
    Policy,
    TestProblem,
    expected_cost,
    expected_gain_bits,
    grow,
    look_ahead,
    optimal_cost,
    repair_entropy_bits,
)
from loomwise.setups import Setup
from loomwise.solver.network import Floats, Ints
from loomwise.solver.result import loads
from loomwise.study.ceiling import shown

MOST_UNITS, LEAST_UNITS, MOST_TESTS = 12, 4, 10
CERTAIN = Finish(stop_at=1.0)
ADVISED: Policy = look_ahead(EFFORT)
"""As `next` does it: looking more than one test ahead."""
MOST_SEEDS = 2000


@dataclass(frozen=True)
class SmallProblem:
    """One problem: expected minutes of the best tree there is, and of the advice's."""

    circuit: str
    seed: int
    hypotheses: int
    tests: int
    optimal_minutes: float
    advised_minutes: float

    @property
    def ratio(self) -> float:
        """The advice's minutes over the best."""
        return self.advised_minutes / self.optimal_minutes


def small_problems(
    expert: Expert, cases: Sequence[tuple[Fault, Setup]], circuit: str, count: int
) -> tuple[SmallProblem, ...]:
    """The first ``count`` seeds' problems in which there is something to tell apart."""
    found: list[SmallProblem] = []
    cache: dict[Setup, tuple[list[Candidate], Floats]] = {}
    for seed in range(MOST_SEEDS):
        if len(found) == count:
            break
        problem = small_problem(expert, cases, np.random.default_rng(seed), cache)
        if problem is not None:
            found.append(_solved(problem, circuit, seed))
    return tuple(found)


def small_problem(
    expert: Expert, cases: Sequence[tuple[Fault, Setup]], draw: Generator,
    cache: dict[Setup, tuple[list[Candidate], Floats]],
) -> TestProblem | None:  # fmt: skip
    """One problem, or None where the signs leave too few units or no test tells them apart."""
    weights = np.array([f.weight for f, _ in cases])
    case = int(draw.choice(len(cases), p=weights / weights.sum()))
    here = cases[case][1]
    if here not in cache:
        tests = candidates(expert, (), here)
        number = {expert.table.fault(h).id: h for h in range(len(expert.table))}
        rows = np.array([number[f.id] for f, _ in cases], dtype=np.int64)
        cache[here] = tests, shown(expert, tests, rows)
    tests, seen = cache[here]
    chosen = _one_a_unit(expert, cases, _same_signs(expert, tests, seen, case, here), weights, draw)
    if len(chosen) < LEAST_UNITS:
        return None
    return _problem(expert, tests, seen[chosen], weights[chosen], here)


def _same_signs(
    expert: Expert, tests: Sequence[Candidate], seen: Floats, case: int, here: Setup
) -> Ints:
    """Cases whose loads do the same in the setup of the complaint."""
    names = {part.id for part in loads(expert.circuit)}
    signs = [
        t
        for t, c in enumerate(tests)
        if c.setup == here and c.instrument == "sign" and c.red in names
    ]
    return np.flatnonzero((seen[:, signs] == seen[case, signs]).all(axis=1))


def _one_a_unit(
    expert: Expert, cases: Sequence[tuple[Fault, Setup]], rows: Ints, weights: Floats,
    draw: Generator,
) -> Ints:  # fmt: skip
    """Up to twelve of these cases by weight, one of each unit."""
    order = draw.choice(rows, len(rows), replace=False, p=weights[rows] / weights[rows].sum())
    first: dict[str, int] = {}
    for row in order.tolist():
        first.setdefault(cases[row][0].unit, row)
    return np.array(list(first.values())[:MOST_UNITS], dtype=np.int64)


def _problem(
    expert: Expert, tests: Sequence[Candidate], seen: Floats, weights: Floats, here: Setup
) -> TestProblem | None:
    outcomes, kept = _outcomes(expert, tests, seen, here)
    if not kept:
        return None
    repair = np.arange(len(weights))
    rough = TestProblem(weights, outcomes, np.ones(len(kept)), repair)
    order = np.argsort(-expected_gain_bits(rough), kind="stable")
    best = np.sort(order[:MOST_TESTS])
    chosen = [tests[kept[t]] for t in best]
    minutes, penalty, moves = _costs(expert, chosen, here)
    problem = TestProblem(weights, outcomes[:, best], minutes, repair, penalty, moves)
    nothing = optimal_cost(problem, CERTAIN) <= 0.0
    return None if nothing or repair_entropy_bits(weights, repair) < 1.0 else problem


def _outcomes(
    expert: Expert, tests: Sequence[Candidate], seen: Floats, here: Setup
) -> tuple[Floats, list[int]]:
    """Outcomes (h, t, h) of the tests that split, of those that split alike the cheapest."""
    cheapest: dict[bytes, int] = {}
    for t in range(len(tests)):
        classes = _classes(seen[:, t])
        if classes.max() > 0:
            key = classes.tobytes()
            if key not in cheapest or _alone(expert, tests[t], here) < _alone(
                expert, tests[cheapest[key]], here
            ):
                cheapest[key] = t
    kept = list(cheapest.values())
    outcomes = np.zeros((len(seen), len(kept), len(seen)))
    for k, t in enumerate(kept):
        outcomes[np.arange(len(seen)), k, _classes(seen[:, t])] = 1.0
    return outcomes, kept


def _classes(column: Floats) -> Ints:
    """Numbers of answers that can be told apart: a new one wherever the next is a step away."""
    order = np.argsort(column, kind="stable")
    steps = np.cumsum(np.diff(column[order], prepend=column[order[:1]]) >= 1.0)
    found = np.zeros(len(column), dtype=np.int64)
    found[order] = steps
    return np.asarray(np.unique(found, return_inverse=True)[1], dtype=np.int64)


def _alone(expert: Expert, test: Candidate, here: Setup) -> float:
    return minutes_of(expert.circuit, test, here, frozenset())[0]


def _costs(expert: Expert, tests: Sequence[Candidate], here: Setup) -> tuple[Floats, Floats, Moves]:
    """Minutes of the tests by themselves, their harm, and what must be moved before them."""
    circuit = expert.circuit
    setups = list(dict.fromkeys(t.setup for t in tests))
    between = [[setup_minutes(circuit, a, b) for b in setups] for a in (*setups, here)]
    zones = list(dict.fromkeys(z for t in tests if (z := _zone(expert, t))))
    opening = [max(_reach(expert, t) for t in tests if _zone(expert, t) == z) for z in zones]
    own = [minutes_of(circuit, t, t.setup, _opened_for(expert, t))[0] for t in tests]
    numbers = [zones.index(z) if (z := _zone(expert, t)) else -1 for t in tests]
    moves = Moves(
        np.array([setups.index(t.setup) for t in tests]), np.array(between),
        np.array(numbers), np.array(opening, dtype=float),
    )  # fmt: skip
    harm = [access_methods()[t.method].harm_minutes for t in tests]
    return np.array(own), np.array(harm), moves


def _zone(expert: Expert, test: Candidate) -> str:
    """What has to be opened for a test, of two places the one that takes longer."""
    places = [p for p in (test.red, test.black) if p in expert.circuit.places]
    if not places:
        return ""
    far = max(places, key=lambda p: reach_minutes(expert.circuit, p, frozenset()))
    return zone(far) if reach_minutes(expert.circuit, far, frozenset()) > 0.0 else ""


def _opened_for(expert: Expert, test: Candidate) -> frozenset[str]:
    """What is open once the zone is; the way to a clamp or for the eye stays in the test's time."""
    return frozenset(zone(p) for p in (test.red, test.black) if p in expert.circuit.places)


def _reach(expert: Expert, test: Candidate) -> float:
    places = [p for p in (test.red, test.black) if p in expert.circuit.places]
    return max((reach_minutes(expert.circuit, p, frozenset()) for p in places), default=0.0)


def _solved(problem: TestProblem, circuit: str, seed: int) -> SmallProblem:
    advised = expected_cost(problem, grow(problem, ADVISED, CERTAIN))
    h, t, _ = problem.outcomes.shape
    return SmallProblem(circuit, seed, h, t, optimal_cost(problem, CERTAIN), advised)
