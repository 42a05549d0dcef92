"""Currents from millivolts over fuses; published figures are checked in tests/outside."""

import pytest

from loomwise.errors import QuantityError
from loomwise.standing_draw import current_of_drop, lasts_days
from loomwise.standing_draw.fuse import TYPES


def test_a_half_empty_battery_lasts_no_longer() -> None:
    """Below half of its charge a start is doubtful at once; the range holds what was found."""
    assert lasts_days(60, 1.0, 0.05) == pytest.approx(25)  # 1.2 Ah a day
    assert lasts_days(60, 0.5, 0.05) == 0
    found = current_of_drop("mini", 15, 0.001)
    assert found.low_a < found.current_a < found.high_a


def test_more_millivolts_are_more_current() -> None:
    """In every fuse there is, on to where it would blow."""
    for kind, rating in (("mini", 5), ("regular", 30), ("maxi", 60)):
        drops = [0.0, 0.0001, 0.001, 0.01, 0.05]
        amps = [current_of_drop(kind, rating, d).current_a for d in drops]
        assert amps == sorted(amps) and amps[0] == 0
        assert current_of_drop(kind, rating, 0.0).high_a > 0  # what the last digit may hide


def test_what_no_whole_fuse_can_show_is_refused() -> None:
    """12 V across a fuse is a blown one; 300 mV across 10 A would have blown it."""
    with pytest.raises(QuantityError, match="blown"):
        current_of_drop("mini", 10, 12.4)
    with pytest.raises(QuantityError, match="would have blown"):
        current_of_drop("mini", 10, 0.3)
    with pytest.raises(QuantityError, match="12 A"):
        current_of_drop("mini", 12, 0.001)
    assert set(TYPES) == {"mini", "regular", "maxi"}
