"""Buses with faults, and traffic; published levels are checked in tests/outside."""

import pytest

from loomwise.edits import Open
from tests.outside.networks import volts


def test_a_module_without_feed_leaves_the_bus_standing() -> None:
    """The rest of the bus keeps its level when one module has lost its feed."""
    assert volts("recessive", "A1.H", Open("BAT.+-A2.30")) == pytest.approx(2.5, abs=0.02)


def test_lin_traffic() -> None:
    """On a slow meter LIN traffic lies between its two levels."""
    assert 0.4 * 12.0 < volts("traffic", "A1.LIN") < 0.9 * 12.0
