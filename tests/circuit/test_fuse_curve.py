"""Fuses: only what is published, and the shape of the resistance table, is asserted."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwise.circuit.fuse_curve import (
    cold_resistance_ohm,
    hot_resistance_ohm,
    opening_time_limit_s,
)
from loomwise.errors import QuantityError

RATINGS_A = [1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30]


@pytest.mark.parametrize(("multiple", "longest_s"), [(1.35, 1800), (2, 5), (3.5, 0.5), (6, 0.1)])
def test_published_overload_limits(multiple: float, longest_s: float) -> None:
    """The slowest permitted fuse opens at the times ISO 8820-3 gives.

    As quoted in relay data sheet V23134-F4,
    http://www.datasheetandpdf.com/EN/TEC/1/V23134-F4.htm
    """
    assert opening_time_limit_s(multiple) == pytest.approx(longest_s)


@pytest.mark.parametrize("multiple", [0, 0.7, 1, 1.1])
def test_a_fuse_holds_its_rated_current(multiple: float) -> None:
    """A fuse carrying up to 110 % of its rating does not open in ordinary use."""
    assert opening_time_limit_s(multiple) is None


def test_far_above_the_table_the_last_limit_holds() -> None:
    """A dead short opens the fuse no later than six times the rating does."""
    assert opening_time_limit_s(50) == opening_time_limit_s(6)


@given(st.floats(1.35, 20), st.floats(1.35, 20))
def test_more_current_never_takes_longer(one: float, other: float) -> None:
    """The harder the overload, the sooner the fuse is gone."""
    slow, quick = opening_time_limit_s(min(one, other)), opening_time_limit_s(max(one, other))
    assert slow is not None and quick is not None
    assert quick <= slow * (1 + 1e-12)  # rounding of the logarithms


def test_ten_amp_fuse_has_its_published_resistance() -> None:
    """1 mV over a red 10 A fuse means 130 mA.

    https://www.mvwautotechniek.nl/en/voltage-drop-over-fuses ; 0.5 %: three printed digits.
    """
    assert cold_resistance_ohm(10) == pytest.approx(0.001 / 0.130, rel=5e-3)


@pytest.mark.parametrize("rating_a", RATINGS_A)
def test_drop_at_rated_current(rating_a: float) -> None:
    """A fuse at its rated current drops 80 to 180 mV, hot 1.3 to 1.5 times its cold resistance."""
    hot = hot_resistance_ohm(rating_a)
    assert 0.080 <= hot * rating_a <= 0.180
    assert 1.3 <= hot / cold_resistance_ohm(rating_a) <= 1.5


@given(st.floats(0.5, 500), st.floats(0.5, 500))
def test_a_bigger_fuse_resists_less(one: float, other: float) -> None:
    """Between the rows of the table and beyond them, more rating is less resistance."""
    small, big = min(one, other), max(one, other)
    assert cold_resistance_ohm(big) <= cold_resistance_ohm(small) * (1 + 1e-12)
    assert hot_resistance_ohm(big) <= hot_resistance_ohm(small) * (1 + 1e-12)


@pytest.mark.parametrize("value", [-1, math.nan])
def test_impossible_currents_and_ratings_are_refused(value: float) -> None:
    """A fuse has a rating above 0 and carries 0 or more of it."""
    with pytest.raises(QuantityError):
        opening_time_limit_s(value)
    with pytest.raises(QuantityError):
        cold_resistance_ohm(value)
    with pytest.raises(QuantityError):
        hot_resistance_ohm(0)
