import time
import tracemalloc

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwise.errors import EvidenceError, InputError
from loomwise.planning import (
    TestProblem,
    expected_gain_bits,
    gain_per_minute,
    outcome_probabilities,
    rank_tests,
    repair_entropy_bits,
    update,
)
from loomwise.planning.arrays import Floats


@st.composite
def noisy_problems(draw: st.DrawFn) -> TestProblem:
    """Any weights, some of them 0; any outcome probabilities, some of them 0; shared repairs."""
    n, tests, outcomes = (draw(st.integers(2, most)) for most in (8, 5, 4))
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    shown = rng.random((n, tests, outcomes)) * (rng.random((n, tests, outcomes)) < 0.7)
    shown[..., 0] += 0.01
    weights = rng.random(n) * (rng.random(n) < 0.8)
    weights[0] += 0.01
    return TestProblem(
        weights,
        shown / shown.sum(axis=2, keepdims=True),
        rng.uniform(0.5, 30.0, tests),
        rng.integers(0, draw(st.integers(1, n)), n),
    )


def _two_way(p_first: list[list[float]], repair: list[int], minutes: list[float]) -> TestProblem:
    """Equally likely hypotheses; rows hypotheses, columns tests: probability of outcome 0."""
    p = np.array(p_first)
    return TestProblem(
        np.ones(len(p)), np.stack([p, 1.0 - p], axis=2), np.array(minutes), np.array(repair)
    )


def _gain_the_long_way(problem: TestProblem, test: int) -> float:
    """Doubt now less the mean doubt after, by doing the test once for each outcome."""
    left = 0.0
    for outcome, p in enumerate(outcome_probabilities(problem)[test]):
        if p > 0.0:
            left += p * repair_entropy_bits(update(problem, test, outcome), problem.repair)
    return repair_entropy_bits(problem.weights, problem.repair) - left


def test_doubt_is_counted_over_repairs() -> None:
    """Four equal suspects are two bits of doubt; if two share a repair, one and a half."""
    even = np.full(4, 0.25)
    assert repair_entropy_bits(even, np.arange(4)) == 2.0
    assert repair_entropy_bits(even, np.array([7, 7, 1, 2])) == 1.5
    assert repair_entropy_bits(even, np.zeros(4, dtype=np.int64)) == 0.0


def test_half_split_gains_one_bit() -> None:
    """Voltage or none, half the suspects each way: one bit, whatever the time it takes."""
    problem = _two_way([[1.0], [1.0], [0.0], [0.0]], [0, 1, 2, 3], [4.0])
    assert expected_gain_bits(problem).tolist() == [1.0]
    assert gain_per_minute(problem).tolist() == [0.25]


@given(noisy_problems())
def test_gain_is_the_mean_fall_of_the_doubt(problem: TestProblem) -> None:
    """The gain promised is what doing the test brings on average."""
    gain = expected_gain_bits(problem)
    slow = [_gain_the_long_way(problem, t) for t in range(problem.n_tests)]
    assert gain == pytest.approx(slow, abs=1e-11)


@given(noisy_problems())
def test_gain_is_never_negative_nor_more_than_the_doubt(problem: TestProblem) -> None:
    """A test can be useless but on average not harmful, and cannot settle more than is open."""
    gain = expected_gain_bits(problem)
    doubt = repair_entropy_bits(problem.weights, problem.repair)
    assert np.all(gain >= 0.0)
    assert np.all(gain <= doubt + 1e-12)


@given(noisy_problems(), st.data())
def test_shares_sum_to_one_after_a_reading(problem: TestProblem, data: st.DataObject) -> None:
    """After any reading the suspects' shares are still shares of one whole."""
    test = data.draw(st.integers(0, problem.n_tests - 1))
    after = update(problem, test, 0)
    assert after.sum() == pytest.approx(1.0, abs=1e-12)
    assert np.all(after >= 0.0)
    assert np.all(after[problem.weights == 0.0] == 0.0)


@given(noisy_problems())
def test_order_of_two_readings_does_not_matter(problem: TestProblem) -> None:
    """Supply first or ground first: the same two readings leave the same suspects."""
    one_way = update(problem.with_weights(update(problem, 0, 0)), 1, 0)
    other_way = update(problem.with_weights(update(problem, 1, 0)), 0, 0)
    assert one_way == pytest.approx(other_way, rel=1e-9, abs=1e-15)


@given(noisy_problems(), st.floats(0.0, 1.0))
def test_same_reading_under_every_suspect_gains_nothing(
    problem: TestProblem, p_first: float
) -> None:
    """A test whose answer does not depend on the fault is a waste of time."""
    shown = np.tile([p_first, 1.0 - p_first], (len(problem.weights), 1, 1))
    blind = TestProblem(problem.weights, shown, np.ones(1), problem.repair)
    assert expected_gain_bits(blind).tolist() == [0.0]


def test_suspects_with_one_repair_need_not_be_told_apart() -> None:
    """Two faults inside the same fuse box: the box is replaced either way."""
    split_inside_the_box = [[1.0], [0.0], [0.5]]
    assert expected_gain_bits(_two_way(split_inside_the_box, [5, 5, 9], [1.0])).tolist() == [0.0]
    assert expected_gain_bits(_two_way(split_inside_the_box, [5, 6, 9], [1.0]))[0] > 0.5


def test_quick_test_before_slow_and_harmless_before_harmful() -> None:
    """Where two tests tell the same, take the quicker; piercing a wire counts as time."""
    same = [[1.0, 1.0, 1.0], [0.0, 0.0, 0.0]]
    assert rank_tests(_two_way(same, [0, 1], [5.0, 2.0, 3.0])).tolist() == [1, 2, 0]
    problem = _two_way(same, [0, 1], [5.0, 2.0, 3.0])
    harmful = np.array([0.0, 10.0, 0.0])
    harm = TestProblem(problem.weights, problem.outcomes, problem.minutes, problem.repair, harmful)
    assert rank_tests(harm).tolist() == [2, 0, 1]


def test_equal_tests_keep_their_order() -> None:
    """Equally good tests are offered in the order given, not in the order of rounding errors."""
    rng = np.random.default_rng(3)
    one = rng.dirichlet(np.ones(6), size=5)
    shuffled = np.stack([one[:, rng.permutation(6)] for _ in range(60)], axis=1)
    problem = TestProblem(np.ones(5), shuffled, np.ones(60), np.arange(5))
    assert len(np.unique(gain_per_minute(problem))) > 1  # rounding alone sets them apart
    assert rank_tests(problem).tolist() == list(range(60))


def test_reading_that_nothing_allows_is_named() -> None:
    """A reading no suspect can give is doubted, not swallowed."""
    problem = _two_way([[1.0], [1.0]], [0, 1], [1.0])
    with pytest.raises(EvidenceError, match=r"test 0: no hypothesis allows outcome 1; take the"):
        update(problem, 0, 1)


@pytest.mark.parametrize(("test", "outcome"), [(1, 0), (-1, 0), (0, 2), (0, -1)])
def test_unknown_test_or_outcome_is_refused(test: int, outcome: int) -> None:
    """A test or an answer that is not on the list is refused, with the list's length."""
    with pytest.raises(InputError, match=r"tests go from 0 to 0, outcomes from 0 to 1"):
        update(_two_way([[1.0], [0.5]], [0, 1], [1.0]), test, outcome)


def _large_problem() -> TestProblem:
    rng = np.random.default_rng(7)
    shown: Floats = rng.random((300, 2000, 12))
    shown /= shown.sum(axis=2, keepdims=True)
    return TestProblem(rng.random(300), shown, np.ones(2000), np.arange(300))


def test_large_choice_is_quick_and_small_in_memory() -> None:
    """2000 tests over 300 suspects are weighed before the hand is back at the meter."""
    problem = _large_problem()
    seconds = []
    for _ in range(3):
        start = time.perf_counter()
        expected_gain_bits(problem)
        seconds.append(time.perf_counter() - start)
    # About 0.02 s on one core when written; the room is for a busy machine.
    assert min(seconds) < 0.3
    tracemalloc.start()
    expected_gain_bits(problem)
    _, peak_bytes = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak_bytes < 0.05 * problem.outcomes.nbytes
