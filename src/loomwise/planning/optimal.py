"""The best that any order of tests can do, on small problems without noise: a yardstick.

States are sets of hypotheses, held as bits of a whole number, with where we stand and what is
open; each state's best cost is worked out once (dynamic programming; the problem form is that of
Raghavan, Shakeri and Pattipati, IEEE Trans. SMC-A 29(2), 1999, 153).
"""

import heapq
from collections.abc import Sequence

import numpy as np

from loomwise.errors import InputError
from loomwise.planning.arrays import Bools, Floats
from loomwise.planning.policies import Policy
from loomwise.planning.problem import SUM_TOLERANCE, TestProblem
from loomwise.planning.states import ROUNDING, Finish
from loomwise.planning.tree import Tree, grow

MOST_HYPOTHESES = 16
"""2^16 sets is what a second or two allows."""

MOST_STATES = 300_000
"""Sets times places stood in: some ten seconds."""

State = tuple[int, int, int]
"""Hypotheses that are possible (bits), the setup stood in, zones that are open (bits)."""

CERTAIN = Finish(stop_at=1.0)


def optimal_cost(problem: TestProblem, finish: Finish = CERTAIN) -> float:
    """Least expected cost of telling the repairs apart as far as the tests can. [min]

    Testing ends where one repair has its share, or where no test splits what is left; a test that
    splits nothing is never made, not even as a detour to a setup.

    Raises
    ------
    InputError : a test is noisy, or more than 16 hypotheses are possible, or too many ways to
        stand and have zones open.
    """
    sets = _Sets(problem, finish)
    return sets.best(sets.start)[0]


def optimal_tree(problem: TestProblem, finish: Finish = CERTAIN) -> Tree:
    """The tree of tests with the least expected cost; ends and errors as ``optimal_cost``."""
    return grow(problem, best_policy(problem, finish), finish)


def best_policy(problem: TestProblem, finish: Finish = CERTAIN) -> Policy:
    """The policy of least expected cost, for this problem and what follows from it.

    Ends and errors as ``optimal_cost``.
    """
    sets = _Sets(problem, finish)
    return lambda now, _: sets.best(sets.state_of(now))[1]


def best_cost_with_first(problem: TestProblem, test: int) -> float:
    """Least expected cost if this test is done first, whether it helps or not. [min]

    Raises
    ------
    InputError : no such test, or as ``optimal_cost``.
    """
    if not 0 <= test < problem.n_tests:
        hint = f"tests go from 0 to {problem.n_tests - 1}"
        raise InputError(f"no test {test}", "best_cost_with_first", hint)
    sets = _Sets(problem, CERTAIN)
    return sets.cost_with(test, sets.start)


def is_small_and_sure(problem: TestProblem, most_states: int = 1 << 12) -> bool:
    """Whether the exact search is at hand: no noise, and at most so many states."""
    n_possible = int((problem.weights > 0.0).sum())
    setups, zones = problem.moves.setup_minutes.shape[1], len(problem.moves.zone_minutes)
    few = n_possible <= MOST_HYPOTHESES and (setups << n_possible + zones) <= most_states
    return few and not _noisy(problem).any()


def huffman_bound(weights: Floats) -> float:
    """Fewest two-way tests that can single out one of ``weights`` (n,) on average.

    The mean depth of a Huffman tree. No set of tests with two outcomes does better; times the
    cheapest test's cost it bounds the cost, where every hypothesis asks for its own repair.
    """
    heap = [float(w) for w in weights if w > 0.0]
    total, depth = sum(heap), 0.0
    heapq.heapify(heap)
    while len(heap) > 1:
        pair = heapq.heappop(heap) + heapq.heappop(heap)
        depth += pair
        heapq.heappush(heap, pair)
    return depth / total if total > 0.0 else 0.0


class _Sets:
    """Best costs of states, each worked out once."""

    def __init__(self, problem: TestProblem, finish: Finish) -> None:
        self.rows = np.flatnonzero(problem.weights > 0.0)
        _check_small_and_sure(problem, len(self.rows))
        shown = problem.outcomes[self.rows].argmax(axis=2)
        moves = problem.moves
        self.own_minutes: list[float] = (problem.minutes + problem.penalty).tolist()
        self.setup: list[int] = moves.setup.tolist()
        self.setup_minutes: list[list[float]] = moves.setup_minutes.tolist()
        self.zone: list[int] = moves.zone.tolist()
        self.zone_minutes: list[float] = moves.zone_minutes.tolist()
        self.weights: list[float] = problem.weights[self.rows].tolist()
        self.repairs = _groups(problem.repair[self.rows].tolist())
        self.parts = [_groups(column.tolist()) for column in shown.T]
        self.left: list[int] = np.flatnonzero(~problem.done).tolist()
        self.enough = finish.stop_at - ROUNDING
        self.start = self.state_of(problem)
        self.known: dict[State, tuple[float, int | None]] = {}

    def state_of(self, problem: TestProblem) -> State:
        """The state a problem grown from ours stands in."""
        members = sum(1 << i for i, h in enumerate(self.rows) if problem.weights[h] > 0.0)
        opened = sum(1 << int(z) for z in np.flatnonzero(problem.moves.opened))
        return members, problem.moves.position, opened

    def best(self, state: State) -> tuple[float, int | None]:
        """Least expected cost from here, and the test to make for it, None where it ends."""
        if state not in self.known:
            if len(self.known) >= MOST_STATES:
                what = f"more than {MOST_STATES} states of setups, open zones and suspects"
                raise InputError(what, "optimal_cost", "leave out setups or zones, or use rollout")
            self.known[state] = self._best(state)
        return self.known[state]

    def cost_with(self, test: int, state: State) -> float:
        """Cost of this test now and the best ones after it."""
        members, position, opened = state
        zone = self.zone[test]
        cost = self.own_minutes[test] + self.setup_minutes[position][self.setup[test]]
        if zone >= 0 and not opened >> zone & 1:
            cost, opened = cost + self.zone_minutes[zone], opened | 1 << zone
        whole = self._weight(members)
        for part in self.parts[test]:
            if within := members & part:
                after = (within, self.setup[test], opened)
                cost += self._weight(within) / whole * self.best(after)[0]
        return cost

    def _best(self, state: State) -> tuple[float, int | None]:
        members = state[0]
        leader = max(self._weight(members & repair) for repair in self.repairs)
        if leader >= self.enough * self._weight(members):
            return 0.0, None
        useful = [t for t in self.left if not _inside_one(members, self.parts[t])]
        costs = [(self.cost_with(t, state), t) for t in useful]
        return min(costs, default=(0.0, None))

    def _weight(self, members: int) -> float:
        return sum(w for i, w in enumerate(self.weights) if members >> i & 1)


def _groups(labels: Sequence[int]) -> list[int]:
    """The sets of positions with equal labels."""
    found: dict[int, int] = {}
    for i, label in enumerate(labels):
        found[label] = found.get(label, 0) | 1 << i
    return list(found.values())


def _inside_one(members: int, groups: Sequence[int]) -> bool:
    return any(members & ~group == 0 for group in groups)


def _noisy(problem: TestProblem) -> Bools:
    """Which tests are unsure under which hypotheses that are possible, (n_hypotheses, n_tests)."""
    best = problem.outcomes.max(axis=2)
    possible = problem.weights[:, np.newaxis] > 0.0
    return np.asarray(possible & (best < 1.0 - SUM_TOLERANCE))


def _check_small_and_sure(problem: TestProblem, n_possible: int) -> None:
    if n_possible > MOST_HYPOTHESES:
        what = f"{n_possible} hypotheses are possible, at most {MOST_HYPOTHESES} are allowed"
        raise InputError(what, "optimal_cost", "leave out the unlikely ones, or use greedy_tree")
    unsure = _noisy(problem)
    if unsure.any():
        h, t = (int(i) for i in np.argwhere(unsure)[0])
        what = f"test {t} is noisy under hypothesis {h}"
        raise InputError(what, "optimal_cost", "use greedy_tree, which takes any probabilities")
