"""What a test is expected to tell about which repair to make, and what to believe after it.

Gain is the mutual information of repair and outcome (Shannon's measure, textbook knowledge).
"""

from collections.abc import Iterator

import numpy as np

from loomwise.errors import EvidenceError, InputError
from loomwise.planning.problem import Floats, Ints, TestProblem

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

    One repair class at a time, so that no array of classes x tests x outcomes is ever made.
    """
    p_outcome = outcome_probabilities(problem).ravel()
    terms = -_p_log2_p(p_outcome)
    for joint in _joint_by_repair(problem):
        terms += _p_log2_p(joint)
    left_bits = -terms.reshape(problem.outcomes.shape[1:]).sum(axis=1)
    gain = repair_entropy_bits(problem.weights, problem.repair) - left_bits
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


def _flat(problem: TestProblem) -> Floats:
    """Outcomes as (n_hypotheses, n_tests * n_outcomes), without a copy where they are in order."""
    return problem.outcomes.reshape(len(problem.weights), -1)


def _joint_by_repair(problem: TestProblem) -> Iterator[Floats]:
    """For each repair still possible: probability of it and each outcome, flat."""
    flat, possible = _flat(problem), problem.weights > 0.0
    for repair in np.unique(problem.repair[possible]):
        rows = np.flatnonzero(possible & (problem.repair == repair))
        if len(rows) == 1:  # the common case, and a product is quicker than a copy and a matmul
            yield problem.weights[rows[0]] * flat[rows[0]]
        else:
            yield problem.weights[rows] @ flat[rows]


def _p_log2_p(p: Floats) -> Floats:
    """``p log2 p``, 0 at 0."""
    return p * np.log2(np.maximum(p, np.finfo(np.float64).tiny))
