import math
from itertools import pairwise

import numpy as np
import pytest

from loomwise.faults import Spread
from loomwise.faults.grid import LOG_SD, LOG_WIDTH, cells, series_range_ohm


@pytest.mark.parametrize(("low", "high"), [(0.01, 10.0), (0.5, 40.0), (10.0, 1e6), (0.03, 0.04)])
def test_cells_are_four_to_a_decade_without_gaps(low: float, high: float) -> None:
    """The grid covers every resistance that matters, four cells to a decade, none twice."""
    found = list(cells("W", low, high))
    assert found[0].low_ohm <= low * (1 + 1e-9)
    assert found[-1].high_ohm >= high * (1 - 1e-9)
    for cell in found:
        assert cell.branch == "W"
        assert cell.high_ohm / cell.low_ohm == pytest.approx(10**0.25)
        assert cell.middle_ohm == pytest.approx(math.sqrt(cell.low_ohm * cell.high_ohm))
    for one, following in pairwise(found):
        assert following.low_ohm == pytest.approx(one.high_ohm)


def test_a_decade_has_four_cells() -> None:
    """From 1 ohm to 10 ohm there are exactly four cells; of a leak, two twice as wide."""
    assert len(list(cells("W", 1.0, 10.0))) == 4
    fine, coarse = next(cells("W", 1.0, 10.0)), next(cells("W", 1.0, 10.0, 2))
    assert len(list(cells("W", 1.0, 10.0, 2))) == 2
    assert coarse.log_sd == pytest.approx(2.0 * fine.log_sd)


def bells(cell: Spread, log_ohm: np.ndarray) -> np.ndarray:
    """A cell's bell over the logarithm of resistance."""
    z = (log_ohm - math.log(cell.middle_ohm)) / cell.log_sd
    return np.asarray(np.exp(-0.5 * z * z) / (cell.log_sd * math.sqrt(2.0 * math.pi)))


def test_neighbouring_bells_sum_to_a_flat_line() -> None:
    """No resistance within the grid is favoured: the cells' bells sum flat within 5 %."""
    grid = list(cells("W", 0.01, 100.0))
    at = np.linspace(math.log(0.1), math.log(10.0), 2001)
    total = sum(bells(c, at) for c in grid) * LOG_WIDTH
    assert np.ptp(total) > 0.0
    assert total == pytest.approx(1.0, abs=0.05)
    assert 0.4 * LOG_WIDTH < LOG_SD < 0.6 * LOG_WIDTH


def test_a_thick_feed_starts_at_less_resistance_than_a_thin_one() -> None:
    """A series fault matters from the resistance that costs 0.2 V at the current carried."""
    low, high = series_range_ohm(20.0, 12.0)
    assert low == pytest.approx(0.01)
    assert high == pytest.approx(5.4)
    assert series_range_ohm(-20.0, 12.0) == (low, high)
    thin_low, thin_high = series_range_ohm(0.0, 12.0)
    assert thin_low > 100 * low
    assert math.isfinite(thin_high)
    assert thin_high > thin_low
