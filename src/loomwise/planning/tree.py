"""The one-step policy played through to the end: a tree of tests, and what it costs on average."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from loomwise.errors import InputError
from loomwise.planning.gain import gain_per_minute, outcome_probabilities, rank_tests, update
from loomwise.planning.problem import TestProblem


@dataclass(frozen=True)
class Stop:
    """No further test: make this repair; ``share`` is how likely it is to be the right one."""

    repair: int
    share: float


@dataclass(frozen=True)
class Branch:
    """Do this test, then go on by its outcome. Outcomes that cannot happen have no entry."""

    test: int
    after: Mapping[int, "Tree"]


Tree = Stop | Branch


def greedy_tree(problem: TestProblem, stop_at: float = 1.0) -> Tree:
    """The tree of always taking the test with the best gain per minute.

    A branch ends where one repair's share reaches ``stop_at`` (0 to 1), or where no test that is
    not yet done gains. A test is done once on a way down: the same reading again is not news.
    For small problems: noisy tests can branch at every outcome.

    Raises
    ------
    InputError : ``stop_at`` is not a share.
    """
    if not 0.0 < stop_at <= 1.0:
        raise InputError(f"stop_at is {stop_at}", "greedy_tree", "give a share above 0, at most 1")
    return _grow(problem, stop_at, frozenset())


def expected_cost(problem: TestProblem, tree: Tree) -> float:
    """Minutes, harm counted in, that following the tree takes on average. [min]

    Raises
    ------
    InputError : the tree has no branch for an outcome that can happen.
    """
    if isinstance(tree, Stop):
        return 0.0
    cost = float(problem.cost_minutes[tree.test])
    for outcome, p in _possible(problem, tree.test):
        if outcome not in tree.after:
            what = f"test {tree.test} has no branch for outcome {outcome}"
            raise InputError(what, "tree", "grow the tree from this problem")
        cost += p * expected_cost(_after(problem, tree.test, outcome), tree.after[outcome])
    return cost


def _grow(problem: TestProblem, stop_at: float, done: frozenset[int]) -> Tree:
    stop = _best_repair(problem)
    if stop.share >= stop_at - 1e-12:  # shares that should be 1 miss it by rounding
        return stop
    worth = gain_per_minute(problem)
    test = next((int(t) for t in rank_tests(problem) if worth[t] > 0.0 and t not in done), None)
    if test is None:
        return stop
    after = {
        outcome: _grow(_after(problem, test, outcome), stop_at, done | {test})
        for outcome, _ in _possible(problem, test)
    }
    return Branch(test, after)


def _best_repair(problem: TestProblem) -> Stop:
    repairs, where = np.unique(problem.repair, return_inverse=True)
    shares = np.bincount(where, weights=problem.weights)
    best = int(np.argmax(shares))
    return Stop(int(repairs[best]), float(shares[best]))


def _possible(problem: TestProblem, test: int) -> list[tuple[int, float]]:
    """Outcomes of a test that can happen, each with its probability."""
    p = outcome_probabilities(problem)[test]
    return [(int(o), float(p[o])) for o in np.flatnonzero(p > 0.0)]


def _after(problem: TestProblem, test: int, outcome: int) -> TestProblem:
    return problem.with_weights(update(problem, test, outcome))
