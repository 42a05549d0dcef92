"""Bus levels at rest, dominant, and as a slow meter sees traffic."""

import pytest

from loomwise.edits import Bridge, Edit, Open
from loomwise.solver.result import source_between_ohm
from tests.contract.examples import example
from tests.solver.bench import solve

LEVELS = "https://studylib.net/doc/18449396/emi-esd-protection-solutions-for-the-can-bus"
TERMINATION = "https://docs.zephyrproject.org/3.7.0/hardware/peripherals/can/transceiver.html"
LIN = "TI SLLA383A, https://ti.com/document-viewer/lit/html/SLLA383A/"
LIN_LEVELS = (
    "https://onlinedocs.microchip.com/pr/GUID-FA73463A-EB90-493D-A558-196E2EA36553-en-US-1/"
)


def _volts(bus: str, place: str, *edits: Edit) -> float:
    return solve(example("buses"), f"bus={bus}", edits)[0].voltages_v[place]


@pytest.mark.parametrize(
    ("edits", "ohm"),
    [((), 60.0), ((Open("A2.H.terminator"),), 120.0), ((Bridge("A1.H", "A1.L", 120.0),), 40.0)],
)
def test_terminators_in_parallel(edits: tuple[Edit, ...], ohm: float) -> None:
    """Battery off, CAN_H to CAN_L shows 60 ohm; one of the two 120 ohm missing 120, a third 40.

    120 ohm at each end: ``TERMINATION``; the parallel values are computed.
    """
    solved = solve(example("buses"), "", edits, undone=["BAT off"])[0].solution
    assert solved is not None
    assert source_between_ohm(solved, "A1.H", "A1.L") == pytest.approx(ohm, rel=0.002)


@pytest.mark.parametrize(("bus", "high", "low"), [("recessive", 2.5, 2.5), ("dominant", 3.5, 1.5)])
def test_can_levels(bus: str, high: float, low: float) -> None:
    """Recessive both lines at 2.5 V, dominant CAN_H 3.5 V and CAN_L 1.5 V (``LEVELS``)."""
    assert _volts(bus, "A1.H") == pytest.approx(high, abs=0.02)
    assert _volts(bus, "A1.L") == pytest.approx(low, abs=0.02)


def test_can_traffic_on_a_slow_meter() -> None:
    """CAN_H a little above 2.5 V, CAN_L a little below, together about 5 V (from memory)."""
    high, low = _volts("traffic", "A1.H"), _volts("traffic", "A1.L")
    assert 2.5 < high < 3.0
    assert 2.0 < low < 2.5
    assert high + low == pytest.approx(5.0, abs=0.02)


def test_a_third_terminator_is_still_dominant() -> None:
    """With 40 ohm the dominant difference stays above the 0.9 V a receiver needs (``LEVELS``)."""
    third = Bridge("A1.H", "A1.L", 120.0)
    assert _volts("dominant", "A1.H", third) - _volts("dominant", "A1.L", third) > 1.4


@pytest.mark.parametrize(
    ("edit", "high", "low"),
    [
        (Bridge("A1.H", "body", 0.1), (0.0, 0.1), (0.0, 0.3)),
        (Bridge("A1.L", "body", 0.1), (0.3, 2.4), (0.0, 0.1)),
        (Bridge("A1.H", "A1.L", 0.1), (2.4, 2.6), (2.4, 2.6)),
        (Bridge("A1.H", "BAT.+", 0.1), (11.5, 12.1), (9.0, 12.0)),
    ],
)
def test_can_shorts(edit: Edit, high: tuple[float, float], low: tuple[float, float]) -> None:
    """A line on ground or battery takes the other along through the terminators; the two lines on
    each other stand at 2.5 V. Common practice, no source."""
    assert high[0] <= _volts("traffic", "A1.H", edit) <= high[1]
    assert low[0] <= _volts("traffic", "A1.L", edit) <= low[1]


def test_a_module_without_feed_leaves_the_bus_standing() -> None:
    """The rest of the bus keeps its level when one module has lost its feed."""
    assert _volts("recessive", "A1.H", Open("BAT.+-A2.30")) == pytest.approx(2.5, abs=0.02)


def test_slow_can_levels() -> None:
    """Low-speed fault-tolerant CAN rests with CAN_H at 0 V and CAN_L at 5 V; dominant they cross.

    ISO 11898-3, from memory: dominant CAN_H at least 3.6 V, CAN_L at most 1.4 V.
    """
    assert _volts("recessive", "A1.SH") == pytest.approx(0.0, abs=0.1)
    assert _volts("recessive", "A1.SL") == pytest.approx(5.0, abs=0.1)
    assert _volts("dominant", "A1.SH") == pytest.approx(3.6, abs=0.05)
    assert _volts("dominant", "A1.SL") == pytest.approx(1.4, abs=0.05)


def test_slow_can_goes_on_with_one_line() -> None:
    """One line on ground leaves the other as it was: what "fault-tolerant" means."""
    grounded = Bridge("A1.SH", "body", 0.1)
    assert _volts("dominant", "A1.SL", grounded) == pytest.approx(1.4, abs=0.1)


def test_lin_levels() -> None:
    """Recessive above 60 % of the supply, dominant below 40 % (``LIN_LEVELS``); in traffic
    between. Commander 1 kohm and responder 30 kohm behind diodes (``LIN``)."""
    assert _volts("recessive", "A1.LIN") > 0.8 * 12.0
    assert _volts("dominant", "A1.LIN") < 0.2 * 12.0
    assert 0.4 * 12.0 < _volts("traffic", "A1.LIN") < 0.9 * 12.0


def test_lin_pull_up() -> None:
    """Commander and one responder pull up with 1 kohm in parallel with 30: 968 ohm and the diodes.

    Shorted to ground, that current flows.
    """
    grounded = Bridge("A1.LIN", "body", 0.1)
    point = solve(example("buses"), "bus=recessive", [grounded])[0]
    volts = point.voltages_v["A1.30"] - 0.6
    amps = point.currents_a["A1.LIN.pull"] + point.currents_a["A2.LIN.pull"]
    assert volts / amps == pytest.approx(968.0, rel=0.02)


def test_lin_traffic() -> None:
    """On a slow meter LIN traffic lies between its two levels."""
    assert 0.4 * 12.0 < _volts("traffic", "A1.LIN") < 0.9 * 12.0
