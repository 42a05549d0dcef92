"""A policy played through to the end: a tree of tests, and what it costs on average."""

import heapq
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from loomwise.errors import InputError
from loomwise.planning.gain import after, outcome_probabilities
from loomwise.planning.policies import Policy, one_step
from loomwise.planning.problem import TestProblem
from loomwise.planning.rollout import Effort, Stopper, never, outlooks_from
from loomwise.planning.states import ROUNDING, USUAL, Finish, joined

OF_CUT = Effort(tests=40, width=4)
"""What is left to do behind a branch cut short needs no close look."""


@dataclass(frozen=True)
class Stop:
    """No further test: make this repair; ``share`` is how likely it is to be the right one.

    ``chance`` of coming here. ``cut``: the tree was cut short here, more tests would gain, and
    ``minutes`` is what they are expected to take. [min]
    """

    repair: int
    share: float
    chance: float = field(default=1.0, compare=False)
    minutes: float = field(default=0.0, compare=False)
    cut: bool = False


@dataclass(frozen=True)
class Branch:
    """Do this test, then go on by its outcome. Outcomes that cannot happen have no entry.

    ``chance`` of coming here; ``minutes`` expected from here to the end, this test's own and its
    moves counted in. [min]
    """

    test: int
    after: Mapping[int, "Tree"]
    chance: float = field(default=1.0, compare=False)
    minutes: float = field(default=np.nan, compare=False)


Tree = Stop | Branch


@dataclass(frozen=True)
class Limits:
    """Where a tree is cut short: at so many leaves, and where a branch is less likely than this."""

    most_leaves: int | None = None
    min_chance: float = 0.0


WHOLE = Limits()


def greedy_tree(problem: TestProblem, stop_at: float = 1.0) -> Tree:
    """The tree of always taking the test with the best gain per minute.

    A branch ends where one repair's share reaches ``stop_at`` (0 to 1), or where no test that is
    not yet done gains. A test is done once on a way down: the same reading again is not news.
    For small problems: noisy tests can branch at every outcome.

    Raises
    ------
    InputError : ``stop_at`` is not a share.
    """
    return grow(problem, one_step, Finish(stop_at))


def grow(
    problem: TestProblem,
    policy: Policy,
    finish: Finish = USUAL,
    limits: Limits = WHOLE,
    stop: Stopper = never,
) -> Tree:
    """The tree of following a policy, grown at its likeliest end first."""
    root = _Node(problem, 1.0)
    nodes, queue, n_leaves = [root], [(-1.0, 0)], 1
    while queue and not (limits.most_leaves and n_leaves >= limits.most_leaves) and not stop():
        node = nodes[heapq.heappop(queue)[1]]
        node.test, node.cut = policy(node.problem, finish), False
        first = len(nodes)
        nodes += node.branches()
        likely = [i for i in range(first, len(nodes)) if nodes[i].chance >= limits.min_chance]
        n_leaves += max(0, len(likely) - 1)
        for i in likely:
            heapq.heappush(queue, (-nodes[i].chance, i))
    _look_behind(problem, [n for n in nodes if n.cut], finish)
    return _tree(root)


def expected_cost(problem: TestProblem, tree: Tree) -> float:
    """Minutes, moves and harm counted in, that following the tree takes on average. [min]

    Nothing is counted behind a branch cut short.

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
        cost += p * expected_cost(after(problem, tree.test, outcome), tree.after[outcome])
    return cost


@dataclass
class _Node:
    """A tree in the making."""

    problem: TestProblem
    chance: float
    test: int | None = None
    cut: bool = True
    rest_minutes: float = 0.0
    after: dict[int, "_Node"] = field(default_factory=dict)

    def branches(self) -> list["_Node"]:
        """Make the nodes behind the test, if there is one."""
        if self.test is not None:
            for outcome, p in _possible(self.problem, self.test):
                then = after(self.problem, self.test, outcome)
                self.after[outcome] = _Node(then, self.chance * p)
        return list(self.after.values())


def _look_behind(problem: TestProblem, cut: list[_Node], finish: Finish) -> None:
    """Note what is left to do where the tree was cut short, and where nothing is."""
    if cut:
        states = joined([node.problem for node in cut])
        for node, rest in zip(cut, outlooks_from(problem, states, finish, OF_CUT), strict=True):
            node.cut, node.rest_minutes = rest.test >= 0, rest.minutes


def _tree(node: _Node) -> Tree:
    if node.test is None:
        return _stop(node)
    trees = {outcome: _tree(child) for outcome, child in node.after.items()}
    rest = sum(tree.chance / node.chance * tree.minutes for tree in trees.values())
    minutes = float(node.problem.cost_minutes[node.test]) + rest
    return Branch(node.test, trees, node.chance, minutes)


def _stop(node: _Node) -> Stop:
    repairs, where = np.unique(node.problem.repair, return_inverse=True)
    shares = np.bincount(where, weights=node.problem.weights)
    best = int(np.argmax(shares))
    share = float(shares[best])
    return Stop(int(repairs[best]), share, node.chance, node.rest_minutes, node.cut)


def _possible(problem: TestProblem, test: int) -> list[tuple[int, float]]:
    """Outcomes of a test that can happen, each with its probability."""
    p = outcome_probabilities(problem)[test]
    return [(int(o), float(p[o])) for o in np.flatnonzero(p > ROUNDING)]
