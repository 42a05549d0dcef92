"""Filaments and motor loads: the curves themselves. Published filament values: tests/reference."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwise.solver.laws import EXPONENT, Array, filament, load

LAMP = np.array([12.0, 55.0 / 12.0, 12.0])
FAN = np.array([20.0, 5.0, 75.0])


def _slope(law: object, x: float, params: Array) -> float:
    step = 1e-5
    assert callable(law)
    high, low = (law(np.array(x + d), params)[0] for d in (step, -step))
    return float(high - low) / (2 * step)


@given(st.floats(-30.0, 30.0))
def test_filament_slope(volts: float) -> None:
    """The slope that Newton uses is the filament curve's own."""
    assert filament(np.array(volts), LAMP)[1] == pytest.approx(_slope(filament, volts, LAMP), 1e-4)


@given(st.floats(-2.0, 2.0).filter(lambda w: abs(w) > 1e-3))
def test_load_slope(speed: float) -> None:
    """The slope that Newton uses is the motor load's own."""
    assert load(np.array(speed), FAN)[1] == pytest.approx(_slope(load, speed, FAN), 1e-4)


def test_filament_at_rated_voltage() -> None:
    """At rated voltage a lamp takes its rated current, whatever its cold resistance."""
    for cold in (5.0, 10.0, 15.0):
        current = filament(np.array(12.0), np.array([12.0, 2.0, cold]))[0]
        assert current == pytest.approx(2.0, rel=cold ** (-2 / (1 - EXPONENT)))


@pytest.mark.parametrize("cold", [8.0, 12.0, 15.2])
def test_cold_ratio(cold: float) -> None:
    """An ohmmeter on a cold lamp shows a small part of its hot resistance."""
    rated = np.array([12.0, 2.0, cold])
    assert 1.0 / filament(np.array(0.0), rated)[1] == pytest.approx(6.0 / cold)


@given(st.floats(0.01, 30.0))
def test_filament_has_no_polarity(volts: float) -> None:
    """A lamp turned round takes the same current, and more volts never mean less of it."""
    there, back = (filament(np.array(sign * volts), LAMP) for sign in (1.0, -1.0))
    assert there[0] == -back[0]
    assert there[1] > 0.0


def test_load_at_the_rated_point() -> None:
    """At rated speed friction, drag and fan load together are the rated torque."""
    assert load(np.array(1.0), FAN)[0] == FAN.sum()
