"""Made-up problems: tests in setups that take minutes to reach, sure ones and unsure ones."""

import numpy as np

from loomwise.planning import Branch, Moves, TestProblem, Tree
from loomwise.planning.arrays import Floats


def pass_or_fail(
    weights: Floats, fails: Floats, repair: list[int] | None = None, moves: Moves | None = None
) -> TestProblem:
    """Noise-free tests of 1 min from a 0/1 matrix (hypotheses, tests)."""
    shown = np.stack([1.0 - fails, fails], axis=2)
    classes = np.arange(len(weights)) if repair is None else np.array(repair)
    return TestProblem(
        weights, shown, np.ones(fails.shape[1]), classes, moves=Moves() if moves is None else moves
    )


def between_setups(n_setups: int, minutes: float) -> Floats:
    """Every change of setup takes the same time, and so does the first. [min]"""
    between = np.full((n_setups + 1, n_setups), minutes)
    between[np.arange(n_setups), np.arange(n_setups)] = 0.0
    return between


def clustered(seed: int) -> TestProblem:
    """5 to 9 suspects, 8 to 14 sure tests in 2 or 3 setups 3 min apart, up to 2 panels."""
    rng = np.random.default_rng(seed)
    n, n_tests, n_setups = (int(rng.integers(*ends)) for ends in ((5, 10), (8, 15), (2, 4)))
    n_zones, n_outcomes = int(rng.integers(0, 3)), int(rng.integers(2, 4))
    shown = rng.integers(0, n_outcomes, (n, n_tests))
    shown[:, rng.random(n_tests) < 0.4] *= rng.random((n, 1)) < 0.4  # most suspects show 0
    moves = Moves(
        rng.integers(0, n_setups, n_tests),
        between_setups(n_setups, 3.0),
        rng.integers(-1, n_zones, n_tests) if n_zones else np.full(n_tests, -1),
        rng.uniform(2.0, 8.0, n_zones),
    )
    return TestProblem(
        rng.dirichlet(np.full(n, 0.7)) + 1e-3,
        np.eye(n_outcomes)[shown],
        rng.choice([0.5, 1.0, 1.5, 2.0, 4.0], n_tests),
        np.arange(n),
        moves=moves,
    )


def unsure(seed: int, shape: tuple[int, int, int] = (4, 4, 2)) -> TestProblem:
    """Tests that are right mostly; shape (hypotheses, tests, outcomes); some share a repair."""
    rng = np.random.default_rng(seed)
    n, n_tests, n_outcomes = shape
    shown = 0.9 * np.eye(n_outcomes)[rng.integers(0, n_outcomes, (n, n_tests))] + 0.1 / n_outcomes
    moves = Moves(
        rng.integers(0, 3, n_tests),
        between_setups(3, 2.0),
        rng.integers(-1, 2, n_tests),
        np.array([3.0, 6.0]),
    )
    return TestProblem(
        rng.dirichlet(np.ones(n)),
        shown,
        rng.uniform(0.5, 4.0, n_tests),
        rng.integers(0, max(2, 2 * n // 3), n),
        moves=moves,
    )


def ends_of(tree: Tree) -> list[tuple[float, float]]:
    """Chance and share of every end of a tree."""
    if isinstance(tree, Branch):
        return [end for then in tree.after.values() for end in ends_of(then)]
    return [(tree.chance, tree.share)]


def doubt_of(tree: Tree) -> float:
    """Chance that the repair made at the end of a tree is the wrong one."""
    return sum(chance * (1.0 - share) for chance, share in ends_of(tree))
