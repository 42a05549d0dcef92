"""What a test is expected to tell about which repair to make, and what to believe after it.

Gain is the mutual information of repair and outcome (Shannon's measure, textbook knowledge).
"""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from loomwise.errors import EvidenceError, InputError
from loomwise.planning.arrays import Floats, Ints
from loomwise.planning.problem import TestProblem

GAIN_FLOOR_BITS = 1e-12
"""A gain below this is rounding and counts as none: sums of some hundred terms near 1e-15."""

TIE_DECIMALS = 9
"""Tests closer than this in bits per minute are equally good, whatever the rounding says."""


def repair_entropy_bits(weights: Floats, repair: Ints) -> float:
    """Doubt left about which repair to make. [bit]

    ``weights`` (n_hypotheses,) any positive sum; ``repair`` (n_hypotheses,) repair numbers.
    """
    _, where = np.unique(repair, return_inverse=True)
    shares = np.bincount(where, weights=weights)
    return float(max(0.0, -_p_log2_p(shares / shares.sum()).sum()))


def outcome_probabilities(problem: TestProblem) -> Floats:
    """How likely each outcome of each test is now, (n_tests, n_outcomes)."""
    joint = problem.weights @ _flat(problem)
    return joint.reshape(problem.outcomes.shape[1:])


def expected_gain_bits(problem: TestProblem) -> Floats:
    """Expected fall of the doubt about the repair by each test, (n_tests,), never negative. [bit]

    A test already done gains nothing.
    """
    gain = gain_bits_of(problem, problem.weights[np.newaxis])[0]
    return np.where(problem.done, 0.0, gain)


def gain_bits_of(problem: TestProblem, weights: Floats) -> Floats:
    """Expected gain of each test for each row of ``weights`` (n, n_hypotheses), (n, n_tests). [bit]

    Rows sum to 1. One repair class at a time, so that no array of classes x tests x outcomes is
    ever made.
    """
    terms = -_p_log2_p(weights @ _flat(problem))
    doubt_bits = np.zeros(len(weights))
    for where, share, joint in _by_repair(problem, weights):
        terms[where] += _p_log2_p(joint)
        doubt_bits[where] -= _p_log2_p(share)
    left_bits = -terms.reshape(len(weights), *problem.outcomes.shape[1:]).sum(axis=2)
    gain = doubt_bits[:, np.newaxis] - left_bits
    return np.where(gain > GAIN_FLOOR_BITS, gain, 0.0)


def gain_per_minute(problem: TestProblem) -> Floats:
    """Expected gain over time and harm, (n_tests,). [bit/min]"""
    return expected_gain_bits(problem) / problem.cost_minutes


def rank_tests(problem: TestProblem) -> Ints:
    """Indices of the tests, best gain per minute first; equals in their given order, (n_tests,)."""
    worth = np.round(gain_per_minute(problem), TIE_DECIMALS)
    return np.argsort(-worth, kind="stable").astype(np.int64)


def update(problem: TestProblem, test: int, outcome: int) -> Floats:
    """Weights after a test gave an outcome, (n_hypotheses,), summing to 1.

    Raises
    ------
    InputError : no such test or outcome.
    EvidenceError : no hypothesis that is still possible allows this outcome.
    """
    _, n_tests, n_outcomes = problem.outcomes.shape
    if not (0 <= test < n_tests and 0 <= outcome < n_outcomes):
        hint = f"tests go from 0 to {n_tests - 1}, outcomes from 0 to {n_outcomes - 1}"
        raise InputError(f"no outcome {outcome} of test {test}", "update", hint)
    joint = problem.weights * problem.outcomes[:, test, outcome]
    total = joint.sum()
    if not total > 0.0:
        hint = "take the reading again, or add a hypothesis that allows anything"
        raise EvidenceError(f"no hypothesis allows outcome {outcome}", f"test {test}", hint)
    return np.asarray(joint / total, dtype=np.float64)


def after(problem: TestProblem, test: int, outcome: int) -> TestProblem:
    """The problem as it stands once a test has given an outcome: weights, place, tests done.

    Raises
    ------
    InputError, EvidenceError : as ``update``.
    """
    weights = update(problem, test, outcome)
    position, opened = problem.moves.after(problem.moves.opened[np.newaxis], np.array([test]))
    moves = replace(problem.moves, position=int(position[0]), opened=opened[0])
    done = problem.done | (np.arange(problem.n_tests) == test)
    return replace(problem, weights=weights, moves=moves, done=done)


def _flat(problem: TestProblem) -> Floats:
    """Outcomes as (n_hypotheses, n_tests * n_outcomes), without a copy where they are in order."""
    return problem.outcomes.reshape(len(problem.weights), -1)


def _by_repair(
    problem: TestProblem, weights: Floats
) -> Iterator[tuple[Ints | slice, Floats, Floats]]:
    """For each repair: the m rows where it is possible, its share (m,), and with each outcome."""
    flat, possible = _flat(problem), weights.any(axis=0)
    for repair in np.unique(problem.repair[possible]):
        rows = np.flatnonzero(possible & (problem.repair == repair))
        of_repair = weights[:, rows]
        some = of_repair.any(axis=1)
        where = slice(None) if some.all() else np.flatnonzero(some)  # a slice makes no copy
        of_repair = of_repair[where]
        if len(rows) == 1:  # the common case, and a product is quicker than a copy and a matmul
            yield where, of_repair[:, 0], of_repair * flat[rows[0]]
        else:
            yield where, of_repair.sum(axis=1), of_repair @ flat[rows]


def _p_log2_p(p: Floats) -> Floats:
    """``p log2 p``, 0 at 0."""
    return p * np.log2(np.maximum(p, np.finfo(np.float64).tiny))
