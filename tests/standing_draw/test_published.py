"""Currents from millivolts beside published figures, the source with each."""

import pytest

from loomwise.errors import QuantityError
from loomwise.standing_draw import current_of_drop, lasts_days
from loomwise.standing_draw.fuse import TYPES


@pytest.mark.parametrize(
    ("kind", "rating_a", "drop_mv", "published_ma"),
    [("regular", 10, 1.0, 130), ("mini", 15, 0.1, 22), ("mini", 15, 1.0, 218)],
)
def test_millivolts_are_the_published_current(
    kind: str, rating_a: float, drop_mv: float, published_ma: float
) -> None:
    """Regular 10 A: https://www.mvwautotechniek.nl/en/voltage-drop-over-fuses ; mini 15 A: MACS
    Service Reports, June 2017,
    https://www.nxtbook.com/nxtbooks/macs/servicereports_2017/index.php?startid=JUN6 .
    Published to two or three digits: 1 %."""
    found = current_of_drop(kind, rating_a, drop_mv / 1000)
    assert 1000 * found.current_a == pytest.approx(published_ma, rel=0.01)
    assert found.low_a < published_ma / 1000 < found.high_a


def test_a_fuse_warm_from_its_rated_current_shows_its_rated_drop() -> None:
    """109 mV at 10 A on a regular 10 A fuse (data-sheet table, from memory)."""
    assert current_of_drop("regular", 10, 0.109).current_a == pytest.approx(10, rel=0.01)


def test_50_ma_takes_30_ah_in_25_days() -> None:
    """1.2 Ah a day (computed): half of 60 Ah is gone in 25 days."""
    assert lasts_days(60, 1.0, 0.05) == pytest.approx(25)
    assert lasts_days(60, 0.5, 0.05) == 0


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
