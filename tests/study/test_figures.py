from dataclasses import replace

import pytest

from loomwise.study.figures import Beside, figures
from loomwise.study.limits import lower_limit, upper_limit
from tests.study.ends import BET, OUTSIDE, RIGHT, WRONG, WRONG_BET


def test_right_and_wrong_are_counted() -> None:
    """Three right of four; one of two proven is wrong, so the limit is high."""
    f = figures("horn", "plain", [RIGHT, WRONG, BET, BET], Beside(ceiling=0.9))
    assert (f.cases, f.ceiling, f.right_unit, f.proven) == (4, 0.9, 0.75, 0.5)
    assert f.wrong_unit == 0.5
    assert f.wrong_unit_upper == pytest.approx(0.95**0.5)
    assert (f.best_bet, f.open, f.not_separable, f.not_explained) == (0.5, 0.0, 0.0, 0.0)
    assert f.minutes_mean == pytest.approx((10 + 20 + 30 + 30) / 4)


def test_regret_is_of_the_cases_not_proven() -> None:
    """One wrong bet of two costs 80: 40 a bet. A wrong proof is counted elsewhere."""
    assert figures("horn", "plain", [WRONG, BET, WRONG_BET], Beside()).best_bet_regret == 40.0
    assert figures("horn", "plain", [RIGHT, WRONG], Beside()).best_bet_regret is None


def test_truths_outside_are_kept_apart() -> None:
    """A truth that no unit explains counts neither as right nor against the proven ones."""
    near = replace(OUTSIDE, near=("F4",))
    open_end = replace(OUTSIDE, kind="not explained", unit="", leader="", named=())
    f = figures("horn", "outside", [RIGHT, OUTSIDE, near, open_end], Beside())
    assert (f.right_unit, f.wrong_unit) == (1.0, 0.0)
    assert (f.outside, f.outside_wrong) == (3, 1)
    assert f.not_explained == 0.25


def test_exchanged_labels_found_and_claimed() -> None:
    """An exchange counts where two readings show it; a doubt of a right drawing is a false one."""
    found = replace(RIGHT, exchange="C1.1/C1.2", doubt="C1.1/C1.2", misled=2)
    other = replace(found, doubt="C1.1/C1.3")
    hidden = replace(found, misled=1, doubt="")
    f = figures("horn", "redrawn", [found, other, hidden, RIGHT, replace(RIGHT, doubt="x")],
                Beside())  # fmt: skip
    assert (f.exchanged, f.exchanged_found, f.exchanged_claimed) == (2, 1, 0.5)


def test_minutes_are_held_against_rivals() -> None:
    """Ten minutes against twenty on the same case is a half; without rivals there is no ratio."""
    f = figures("horn", "plain", [RIGHT], Beside(1.0, (1.0, 1.2), [WRONG], []))
    assert (f.ratio_to_half_split, f.ratio_to_in_order) == (0.5, None)
    assert f.ratio_to_optimal == pytest.approx(1.1)
    assert f.ratio_to_optimal_worst == 1.2


def test_claims_are_held_against_what_came_true() -> None:
    """19 right of 20 claimed at 99.5 % is inside the interval; 10 of 20 is not."""
    good = figures("horn", "plain", [*[RIGHT] * 19, WRONG], Beside()).calibration
    bad = figures("horn", "plain", [*[RIGHT] * 10, *[WRONG] * 10], Beside()).calibration
    assert [(b.low, b.cases, b.inside) for b in good] == [(0.99, 20, True)]
    assert [(b.low, b.cases, b.inside) for b in bad] == [(0.99, 20, False)]


def test_two_faults_are_right_if_both_are_named_or_the_complaint_is_gone() -> None:
    """One of two repaired with the complaint still there is not the end of the job."""
    both = replace(RIGHT, truth="F4 + K1", named=("F4", "K1"))
    one = replace(both, named=("K1",))
    assert both.right
    assert not one.right
    assert replace(one, healed=True).right
    assert not replace(one, healed=True, named=("K1", "H1")).right


@pytest.mark.parametrize(("hits", "trials"), [(0, 10), (3, 10), (10, 10)])
def test_limits_bracket_the_share(hits: int, trials: int) -> None:
    """The limits lie about the share counted; of none in ten the upper one is 1 - 0.05^(1/10)."""
    low, high = lower_limit(hits, trials), upper_limit(hits, trials)
    assert low <= hits / trials <= high
    assert upper_limit(0, 10) == pytest.approx(1.0 - 0.05**0.1)
    assert lower_limit(10, 10) == pytest.approx(0.05**0.1)
