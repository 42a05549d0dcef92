"""Wire resistance and gauge, against published tables and worked examples."""

import math

import pytest

from loomwise.circuit.wire import awg_to_mm2, wire_resistance_ohm
from loomwise.errors import QuantityError

# Lessons in Electric Circuits vol. I, ch. 12, wire table: gauge, diameter [inch], area [cmil];
# last column [ohm/km at 20 °C, two decimals]: https://wp.1728.org/?p=4314
GAUGES = [
    ("22", 0.02535, 642.5, 52.94),
    ("21", 0.02846, 810.1, 41.98),
    ("20", 0.03196, 1022, 33.29),
    ("19", 0.03589, 1288, 26.41),
    ("18", 0.04030, 1624, 20.94),
    ("17", 0.04526, 2048, 16.61),
    ("16", 0.05082, 2583, 13.17),
    ("15", 0.05707, 3257, 10.44),
    ("14", 0.06408, 4107, 8.28),
    ("13", 0.07196, 5178, 6.57),
    ("12", 0.08081, 6530, 5.21),
    ("11", 0.09074, 8234, 4.13),
    ("10", 0.1019, 10380, 3.28),
    ("9", 0.1144, 13090, 2.60),
    ("8", 0.1285, 16510, 2.06),
    ("7", 0.1443, 20820, 1.63),
    ("6", 0.1620, 26250, 1.30),
    ("5", 0.1819, 33100, 1.03),
    ("4", 0.2043, 41740, 0.82),
    ("3", 0.2294, 52630, 0.65),
    ("2", 0.2576, 66370, 0.51),
    ("1", 0.2893, 83690, 0.41),
    ("1/0", 0.3249, 105500, 0.32),
    ("2/0", 0.3648, 133100, 0.26),
    ("3/0", 0.4096, 167800, 0.20),
    ("4/0", 0.4600, 211600, 0.16),
]
MM2_PER_CMIL = math.pi / 4 * 0.0254**2

# IEC 60228 maximum resistance at 20 °C [ohm/km]: mm², class 1+2 plain, class 5+6 plain.
# https://mycableengineering.com/knowledge-base/iec-60228-dc-resistance
IEC_60228_MAXIMA = [
    (0.5, 36.0, 39.0),
    (0.75, 24.5, 26.0),
    (1, 18.1, 19.5),
    (1.5, 12.1, 13.3),
    (2.5, 7.41, 7.98),
    (4, 4.61, 4.95),
    (6, 3.08, 3.30),
    (10, 1.83, 1.91),
    (16, 1.15, 1.21),
    (25, 0.727, 0.780),
    (35, 0.524, 0.554),
    (50, 0.387, 0.386),
    (70, 0.268, 0.272),
    (95, 0.193, 0.206),
    (120, 0.153, 0.161),
]


@pytest.mark.parametrize(("gauge", "inch", "cmil", "ohm_per_km"), GAUGES)
def test_gauge_has_its_published_size(
    gauge: str, inch: float, cmil: float, ohm_per_km: float
) -> None:
    """A wire gauge has the diameter, area and resistance that the tables print.

    Four printed digits allow 0.02 % in the diameter and 0.05 % in the area. Resistance: 0.1 %, or
    the rounding to two decimals where that is more.
    """
    area_mm2 = awg_to_mm2(gauge)
    assert math.sqrt(area_mm2 * 4 / math.pi) == pytest.approx(inch * 25.4, rel=2.5e-4)
    assert area_mm2 == pytest.approx(cmil * MM2_PER_CMIL, rel=5e-4)
    assert wire_resistance_ohm(1000, area_mm2) == pytest.approx(ohm_per_km, rel=1e-3, abs=6e-3)


@pytest.mark.parametrize(("area_mm2", "solid", "flexible"), IEC_60228_MAXIMA)
def test_ideal_copper_lies_below_the_permitted_maximum(
    area_mm2: float, solid: float, flexible: float
) -> None:
    """A real cable may lie up to a fifth above pure copper of its nominal size, never below."""
    ideal = wire_resistance_ohm(1000, area_mm2)
    assert 1.03 < solid / ideal < 1.2
    assert 1.03 < flexible / ideal < 1.2


def test_standard_copper() -> None:
    """A metre of 1 mm² standard copper has 17.241 mΩ (IEC 60028: 58 MS/m exactly)."""
    assert wire_resistance_ohm(1, 1) == pytest.approx(0.017241, abs=5e-7)


def test_fifty_metres_out_and_back() -> None:
    """50 m of AWG 12 out and back: 0.52 Ω (https://aionlinecalculator.com/wire-gauge-calculator.html)."""
    assert wire_resistance_ohm(100, awg_to_mm2(12)) == pytest.approx(0.52, abs=0.005)


def test_textbook_copper_is_kept_apart() -> None:
    """Textbook copper (1.68e-8 Ω m): 5 m of 3.31 mm² 0.025 Ω; 20 m of 2.053 mm diameter 0.10 Ω.

    University Physics vol. 2, 9.3 (module m58731), two and one printed digits.
    """
    short = wire_resistance_ohm(5, 3.31, resistivity_ohm_mm2_per_m=0.0168)
    assert short == pytest.approx(0.025, abs=5e-4)
    long = wire_resistance_ohm(20, math.pi / 4 * 2.053**2, resistivity_ohm_mm2_per_m=0.0168)
    assert long == pytest.approx(0.10, abs=5e-3)


def test_resistance_in_circular_mils() -> None:
    """2300 ft of 14 AWG (4107 cmil, 10.09 Ω cmil/ft) has 5.651 Ω.

    Lessons in Electric Circuits vol. I, ch. 12. Its solution, 10.09 x 2300 / 4107, is 5.6506.
    """
    metres, area_mm2 = 2300 * 0.3048, 4107 * MM2_PER_CMIL
    resistivity = 10.09 * MM2_PER_CMIL / 0.3048
    found = wire_resistance_ohm(metres, area_mm2, resistivity_ohm_mm2_per_m=resistivity)
    assert found == pytest.approx(5.651, abs=5e-4)


def test_warm_wire_resists_more() -> None:
    """A wire of 15 Ω at 20 °C has 15.909 Ω at 35 °C with 0.004041 per K.

    Lessons in Electric Circuits vol. I, ch. 12.
    """
    at_20 = wire_resistance_ohm(15, 1, resistivity_ohm_mm2_per_m=1)
    at_35 = wire_resistance_ohm(15, 1, 35, resistivity_ohm_mm2_per_m=1, alpha_per_c=0.004041)
    assert at_20 == 15
    assert at_35 == pytest.approx(15.909, abs=5e-4)


def test_aluminium_bar() -> None:
    """An aluminium bar of 4 x 3 x 125 cm has 27.604 µΩ (2.65e-6 Ω cm).

    Lessons in Electric Circuits vol. I, ch. 12.
    """
    bar = wire_resistance_ohm(1.25, 1200, resistivity_ohm_mm2_per_m=0.0265)
    assert bar * 1e6 == pytest.approx(27.604, abs=5e-4)


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
