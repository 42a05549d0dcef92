"""The best that any order of tests can do, on small problems without noise: a yardstick.

States are sets of hypotheses, held as bits of a whole number; each set's best cost is worked out
once (dynamic programming; the problem form is that of Raghavan, Shakeri and Pattipati, IEEE Trans.
SMC-A 29(2), 1999, 153).
"""

import heapq
from collections.abc import Sequence

import numpy as np

from loomwise.errors import InputError
from loomwise.planning.problem import SUM_TOLERANCE, Floats, TestProblem

MOST_HYPOTHESES = 16
"""2^16 sets is what a second or two allows."""


def optimal_cost(problem: TestProblem) -> float:
    """Least expected cost of telling the repairs apart as far as the tests can. [min]

    Testing ends where one repair is left, or where no test splits what is left.

    Raises
    ------
    InputError : a test is noisy, or more than 16 hypotheses are possible.
    """
    sets = _Sets(problem)
    return sets.cost(sets.everything)


def best_cost_with_first(problem: TestProblem, test: int) -> float:
    """Least expected cost if this test is done first, whether it helps or not. [min]

    Raises
    ------
    InputError : no such test, a test is noisy, or more than 16 hypotheses are possible.
    """
    if not 0 <= test < problem.n_tests:
        hint = f"tests go from 0 to {problem.n_tests - 1}"
        raise InputError(f"no test {test}", "best_cost_with_first", hint)
    sets = _Sets(problem)
    return sets.cost_with(test, sets.everything)


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
    """Best costs of sets of hypotheses, each set worked out once."""

    def __init__(self, problem: TestProblem) -> None:
        rows = np.flatnonzero(problem.weights > 0.0)
        _check_small_and_sure(problem, len(rows))
        shown = problem.outcomes[rows].argmax(axis=2)
        self.everything = (1 << len(rows)) - 1
        self.costs = [float(c) for c in problem.cost_minutes]
        self.weights = [float(w) for w in problem.weights[rows]]
        self.repairs = _groups(problem.repair[rows].tolist())
        self.parts = [_groups(column.tolist()) for column in shown.T]
        self.known: dict[int, float] = {}

    def cost(self, members: int) -> float:
        """Least expected cost from here, given that the truth is among the members."""
        if members not in self.known:
            self.known[members] = self._best(members)
        return self.known[members]

    def cost_with(self, test: int, members: int) -> float:
        """Cost of this test now and the best ones after it."""
        whole = self._weight(members)
        parts = [members & part for part in self.parts[test] if members & part]
        return self.costs[test] + sum(self._weight(p) / whole * self.cost(p) for p in parts)

    def _best(self, members: int) -> float:
        if _inside_one(members, self.repairs):
            return 0.0
        useful = [t for t, parts in enumerate(self.parts) if not _inside_one(members, parts)]
        return min((self.cost_with(t, members) for t in useful), default=0.0)

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


def _check_small_and_sure(problem: TestProblem, n_possible: int) -> None:
    if n_possible > MOST_HYPOTHESES:
        what = f"{n_possible} hypotheses are possible, at most {MOST_HYPOTHESES} are allowed"
        raise InputError(what, "optimal_cost", "leave out the unlikely ones, or use greedy_tree")
    best = problem.outcomes.max(axis=2)
    unsure = (best < 1.0 - SUM_TOLERANCE) & (problem.weights > 0.0)[:, np.newaxis]
    if unsure.any():
        h, t = (int(i) for i in np.argwhere(unsure)[0])
        what = f"test {t} is noisy under hypothesis {h}"
        raise InputError(what, "optimal_cost", "use greedy_tree, which takes any probabilities")
