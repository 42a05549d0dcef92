import numpy as np
import pytest

from loomwise.errors import InputError
from loomwise.planning import TestProblem

TWO_FAULTS = np.array([[[0.9, 0.1]], [[0.2, 0.8]]])


def _problem(**changes: object) -> TestProblem:
    parts: dict[str, object] = {
        "weights": np.array([3.0, 1.0]),
        "outcomes": TWO_FAULTS,
        "minutes": np.array([2.0]),
        "repair": np.array([0, 1]),
    }
    return TestProblem(**(parts | changes))  # type: ignore[arg-type]


def test_weights_are_normalised_and_harm_is_none_unless_given() -> None:
    """Three to one is 75 to 25 %, and a test that harms nothing costs its minutes alone."""
    problem = _problem()
    assert problem.weights.tolist() == [0.75, 0.25]
    assert problem.cost_minutes.tolist() == [2.0]
    assert _problem(penalty=np.array([5.0])).cost_minutes.tolist() == [7.0]


def test_the_problem_cannot_be_changed_but_the_callers_arrays_can() -> None:
    """What was asked stays as it was asked; the caller's own numbers remain the caller's."""
    minutes = np.array([2.0])
    problem = _problem(minutes=minutes)
    with pytest.raises(ValueError, match="read-only"):
        problem.minutes[0] = 1.0
    minutes[0] = 3.0
    assert minutes.tolist() == [3.0]


def test_new_weights_leave_the_tests_as_they_are() -> None:
    """A reading changes what is suspected, not what can be measured."""
    after = _problem().with_weights(np.array([0.0, 2.0]))
    assert after.weights.tolist() == [0.0, 1.0]
    assert np.array_equal(after.outcomes, TWO_FAULTS)


def test_single_precision_is_brought_to_sum_one() -> None:
    """Rounded probabilities are taken, and made whole."""
    thirds = np.full((2, 1, 3), 1 / 3, dtype=np.float32)
    sums = _problem(outcomes=thirds).outcomes.sum(axis=2)
    assert np.abs(sums - 1.0).max() < 1e-15


WRONG: list[tuple[dict[str, object], str]] = [
    ({"weights": np.array([1.0])}, "weights: shape (1,), expected (2,)"),
    ({"weights": np.array([1.0, -1.0])}, "weights: weights[1] is -1.0"),
    ({"weights": np.array([np.nan, 1.0])}, "weights: weights[0] is nan"),
    ({"weights": np.zeros(2)}, "weights: all weights are 0"),
    ({"minutes": np.array([0.0])}, "minutes: minutes[0] is 0"),
    ({"minutes": np.array([1.0, 1.0])}, "minutes: shape (2,), expected (1,)"),
    ({"penalty": np.array([-1.0])}, "penalty: penalty[0] is -1.0"),
    ({"repair": np.array([0])}, "repair: shape (1,), expected (2,)"),
    ({"repair": np.array([0.5, 1.0])}, "repair: float64 numbers"),
    ({"outcomes": np.ones((2, 1))}, "outcomes: shape (2, 1)"),
    ({"outcomes": np.ones((2, 0, 2))}, "outcomes: shape (2, 0, 2)"),
    (
        {"outcomes": np.array([[[0.5, 0.5]], [[0.5, 0.6]]])},
        "outcomes: hypothesis 1, test 0: probabilities sum to 1.1",
    ),
    (
        {"outcomes": np.array([[[np.nan, 0.5]], [[0.5, 0.5]]])},
        "outcomes: hypothesis 0, test 0: probabilities sum to nan",
    ),
    (
        {"outcomes": np.array([[[0.5, 0.5]], [[1.5, -0.5]]])},
        "outcomes: hypothesis 1, test 0, outcome 1: probability -0.5",
    ),
]


@pytest.mark.parametrize(("changes", "message"), WRONG)
def test_wrong_numbers_are_refused_by_name_and_place(
    changes: dict[str, object], message: str
) -> None:
    """A number that cannot be is refused, with where it stands and what would be right."""
    with pytest.raises(InputError) as caught:
        _problem(**changes)
    assert str(caught.value).startswith(message)
    assert caught.value.hint
