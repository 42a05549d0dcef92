"""What cannot be a wire or a gauge; published figures are checked in tests/outside."""

import math

import pytest

from loomwise.circuit.wire import awg_to_mm2, wire_resistance_ohm
from loomwise.errors import QuantityError


@pytest.mark.parametrize(
    ("length_m", "area_mm2", "temperature_c"),
    [
        *((0, 1, 20), (-1, 1, 20), (math.nan, 1, 20)),
        *((1, 0, 20), (1, -2.5, 20), (1, math.inf, 20)),
        *((1, 1, -41), (1, 1, 151), (1, 1, math.nan)),
    ],
)
def test_impossible_wires_are_refused(
    length_m: float, area_mm2: float, temperature_c: float
) -> None:
    """A wire has a length and a size, and is neither frozen through nor on fire."""
    with pytest.raises(QuantityError):
        wire_resistance_ohm(length_m, area_mm2, temperature_c)


@pytest.mark.parametrize("gauge", ["5/0", "0/0", "41", "-1", "", "14.5", "fourteen", -3])
def test_unknown_gauges_are_refused(gauge: int | str) -> None:
    """A gauge that is not in the trade is refused, with the range that is."""
    with pytest.raises(QuantityError, match="4/0 to 40 AWG"):
        awg_to_mm2(gauge)


def test_naught_gauge_has_two_spellings() -> None:
    """Gauge 0 and 1/0 are one size."""
    assert awg_to_mm2(0) == awg_to_mm2("0") == awg_to_mm2("1/0")
