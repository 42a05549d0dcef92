"""Three multipliers and two adders: which set of parts is bad, and where to measure next."""

import numpy as np
import pytest

from loomwise.planning import expected_gain_bits, rank_tests, repair_entropy_bits
from tests.planning.candidates import Parts, minimal, share_with
from tests.planning.polybox import (
    FIRST,
    FOLLOW_UPS,
    N_VALUES,
    P_BAD,
    POINTS,
    SETS,
    Values,
    after,
    known,
)


def test_good_parts_predict_six_and_twelve() -> None:
    """With nothing bad, the products show 6 and the sums 12."""
    healthy = known(frozenset(), {})
    assert [healthy[p] for p in "XYZFG"] == [6, 6, 6, 12, 12]  # follows from the inputs


def test_shares_after_the_first_two_readings() -> None:
    """Two single parts explain both readings, equally well, and nearly share the whole."""
    weights = after(FIRST).weights
    # By hand, with r = 0.01 / 0.99: beside {A1} and {M1} stand {A1, M1}, and at 1/16 of that rate
    # eight more pairs, all ten threes, all five fours and the five. This is 0.4962248; the figure
    # 0.49623 noted with the example has its last digit rounded twice.
    r = P_BAD / (1.0 - P_BAD)
    alone_share = 1.0 / (2.0 + r + (8.0 * r + 10.0 * r**2 + 5.0 * r**3 + r**4) / N_VALUES)
    assert alone_share == pytest.approx(0.49623, abs=1e-5)  # computed
    for part in ("A1", "M1"):
        assert weights[SETS.index(frozenset({part}))] == pytest.approx(alone_share, rel=1e-12)
        assert share_with(part, SETS, weights) == pytest.approx(0.5022, abs=5e-5)  # computed
    assert np.count_nonzero(weights) == 27  # computed: 27 of 32 sets stay possible


def test_measure_x_next() -> None:
    """Between the two suspects lies point X: measure there, not at Y or Z."""
    problem = after(FIRST)
    now = repair_entropy_bits(problem.weights, problem.repair)
    f, g, x, y, z = now - expected_gain_bits(problem)
    assert now == pytest.approx(1.0714, abs=5e-5)  # computed
    assert [x, y, z] == pytest.approx([0.0383, 1.0635, 1.0670], abs=5e-5)  # computed
    assert x < y <= z
    assert POINTS[rank_tests(problem)[0]] == "X"
    assert [f, g] == pytest.approx([now, now])  # already measured: nothing left to learn there


@pytest.mark.parametrize(("readings", "diagnoses"), FOLLOW_UPS)
def test_smallest_explanations_after_each_reading(readings: Values, diagnoses: set[Parts]) -> None:
    """What may be bad after these readings, with no part named that need not be."""
    assert minimal(SETS, after(readings).weights) == diagnoses


@pytest.mark.parametrize("readings", [{**FIRST, "X": 6}, {**FIRST, "Z": 8}, {"F": 10, "G": 14}])
def test_order_of_readings_does_not_change_what_is_possible(readings: Values) -> None:
    """The same readings taken the other way round leave the same sets possible."""
    backwards = dict(reversed(list(readings.items())))
    assert np.array_equal(after(readings).weights > 0.0, after(backwards).weights > 0.0)
