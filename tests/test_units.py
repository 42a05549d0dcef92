"""Quantities as an electrician writes and reads them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwise.errors import QuantityError
from loomwise.units import awg_to_mm2, format_quantity, parse_quantity

WRITTEN = [
    ("12.4 V", "V", 12.4),
    ("12.4V", "V", 12.4),
    ("  12.4  V ", "V", 12.4),
    ("14.2 kV", "V", 14200.0),
    ("850 mV", "V", 0.85),
    ("20 uA", "A", 20e-6),
    ("20 µA", "A", 20e-6),
    ("20 \u03bcA", "A", 20e-6),
    ("2k", "ohm", 2000.0),
    ("1.5 kOhm", "ohm", 1500.0),
    ("1.5 kohm", "ohm", 1500.0),
    ("1.5 Kohm", "ohm", 1500.0),
    ("470 Ω", "ohm", 470.0),
    ("470 \u2126", "ohm", 470.0),
    ("10 MΩ", "ohm", 1e7),
    ("10 mΩ", "ohm", 0.01),
    ("55 W", "W", 55.0),
    ("80 cm", "m", 0.8),
    ("0.5 mm2", "mm2", 0.5),
    ("0.5 mm²", "mm2", 0.5),
    ("85 °C", "C", 85.0),
    ("-40 degC", "C", -40.0),
    ("90 s", "min", 1.5),
    ("2 minutes", "s", 120.0),
    ("470 nF", "F", 470e-9),
    ("50 %", "percent", 50.0),
    ("10 %", "-", 0.1),
    ("12.4", "V", 12.4),
    (".5", "V", 0.5),
    ("1e-3", "ohm", 0.001),
    (12, "V", 12.0),
    (12.4, "V", 12.4),
    ("\u2212" + "0.2 V", "V", -0.2),
]


@pytest.mark.parametrize(("text", "unit", "value"), WRITTEN)
def test_usual_ways_of_writing_are_read(text: str | float, unit: str, value: float) -> None:
    """Whatever an electrician usually writes on a job card is read to the last digit."""
    assert parse_quantity(text, unit) == value


def test_wire_gauge_is_read_as_area() -> None:
    """A wire given in AWG is as good as one given in mm²."""
    for text in ("14 AWG", "14AWG", "AWG 14", "14 awg"):
        assert parse_quantity(text, "mm2") == awg_to_mm2(14)
    assert parse_quantity("2/0 AWG", "mm2") == awg_to_mm2("2/0")


def test_decimal_comma_is_refused_with_the_right_form() -> None:
    """A comma could mean two things, so it is refused, and the point form shown."""
    with pytest.raises(QuantityError, match=r"write 12\.4 with a point"):
        parse_quantity("12,4", "V")
    with pytest.raises(QuantityError, match="no commas"):
        parse_quantity("1,200.5 V", "V")


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, "1e999", 10**400, "nan", "inf"])
def test_a_reading_must_be_finite(value: str | float) -> None:
    """No meter reads infinity or not-a-number volts."""
    with pytest.raises(QuantityError):
        parse_quantity(value, "V")


@pytest.mark.parametrize("text", ["", "V", "twelve", "12 12 V", "2k2", "1.2.3 V", "0x10", "12 AWG"])
def test_other_text_is_refused(text: str) -> None:
    """Text that is not one plain number with a unit is refused, not guessed at."""
    with pytest.raises(QuantityError):
        parse_quantity(text, "V")


@pytest.mark.parametrize("value", [True, None, [12]])
def test_yes_or_nothing_is_not_a_quantity(value: object) -> None:
    """A yes, an empty line or a list in a file is not a number."""
    with pytest.raises(QuantityError, match="is not a number"):
        parse_quantity(value, "V")  # type: ignore[arg-type]


def test_wrong_unit_lists_what_is_right() -> None:
    """Amps where volts belong: the answer says which units fit."""
    with pytest.raises(QuantityError) as caught:
        parse_quantity("12 A", "V")
    assert '"A" is not known' in caught.value.message
    assert "V, µV, mV, kV" in caught.value.hint


def test_milli_and_mega_are_not_confused() -> None:
    """Small m is a thousandth, capital M a million: a factor of 1e9 in a resistance."""
    assert parse_quantity("1 Mohm", "ohm") / parse_quantity("1 mohm", "ohm") == pytest.approx(1e9)


def test_long_text_is_cut_in_the_message() -> None:
    """A pasted page does not come back whole as an error."""
    with pytest.raises(QuantityError) as caught:
        parse_quantity("x" * 5000, "V")
    assert len(str(caught.value)) < 200


SHOWN = [
    (12.4, "V", "12.4 V"),
    (12.0, "V", "12 V"),
    (0.85, "V", "850 mV"),
    (-0.2, "V", "-200 mV"),
    (0.9996, "V", "1 V"),
    (0.0, "V", "0 V"),
    (-0.0, "V", "0 V"),
    (1e-12, "V", "0 V"),
    (0.00005, "V", "0.05 mV"),
    (4700.0, "ohm", "4.7 kΩ"),
    (1.2e6, "ohm", "1.2 MΩ"),
    (0.0077, "ohm", "7.7 mΩ"),
    (math.inf, "ohm", "∞ Ω"),
    (0.0305, "A", "30.5 mA"),
    (0.8, "m", "0.8 m"),
    (2.5, "mm2", "2.5 mm²"),
    (3.0, "min", "3 min"),
    (0.5, "s", "500 ms"),
    (1800.0, "s", "1800 s"),
    (85.0, "C", "85 °C"),
    (12.34, "percent", "12.3 %"),
    (0.5, "-", "0.5"),
]


@pytest.mark.parametrize(("value", "unit", "text"), SHOWN)
def test_values_read_as_on_a_meter(value: float, unit: str, text: str) -> None:
    """Three digits and the step a meter would show."""
    assert format_quantity(value, unit) == text


@given(
    value=st.floats(min_value=1e-3, max_value=1e6),
    unit=st.sampled_from(["V", "A", "ohm", "W", "m", "mm2", "C", "min", "s", "F", "percent"]),
)
def test_what_is_shown_can_be_typed_back(value: float, unit: str) -> None:
    """A value copied from the screen is understood, within its three digits (half of 1 in 100)."""
    assert parse_quantity(format_quantity(value, unit), unit) == pytest.approx(value, rel=5.1e-3)


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused_politely(text: str) -> None:
    """Whatever is typed, the answer is a finite number or an error that says what is right."""
    try:
        assert math.isfinite(parse_quantity(text, "ohm"))
    except QuantityError as error:
        assert error.hint
