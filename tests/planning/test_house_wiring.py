"""Two lamps on one breaker: which sets of bad parts explain what is lit and what is dark."""

import numpy as np
import pytest

from loomwise.planning import update
from tests.planning.candidates import Parts, minimal
from tests.planning.house import CHAINS, DARK, ROWS, SETS, lamps


@pytest.mark.parametrize(("p_lit_if_bad", "seen", "diagnoses"), ROWS)
def test_smallest_explanations(
    p_lit_if_bad: float, seen: dict[str, int], diagnoses: set[Parts]
) -> None:
    """What may be bad, with no part named that need not be; a lit lamp clears what feeds it."""
    problem = lamps(p_lit_if_bad)
    for lamp, look in seen.items():
        problem = problem.with_weights(update(problem, list(CHAINS).index(lamp), look))
    assert minimal(SETS, problem.weights) == diagnoses


def test_one_breaker_is_likelier_than_two_parts() -> None:
    """Both lamps dark: the breaker they share comes first."""
    problem = lamps(0.5)
    for lamp in range(2):
        problem = problem.with_weights(update(problem, lamp, DARK))
    assert SETS[int(np.argmax(problem.weights))] == {"cb1"}
