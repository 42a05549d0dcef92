"""A test lamp as part of the circuit; published figures are checked in tests/outside."""

from loomwise.circuit.model import BODY
from loomwise.diagnosis.predict import TEST_LAMP_W, VOLTMETER_OHM
from loomwise.edits import Bridge, BridgeLamp
from tests.solver.bench import bench, solve


def test_test_lamp_pulls_a_bad_feed_down() -> None:
    """Through 100 ohm of corrosion a voltmeter shows nearly 12 V, and the test lamp stays dark."""
    wires = "BAT.+ to R1.1\nR1.2 to R2.1\nR2.2 to G1.1"
    parts = "R1: {kind: resistor, resistance: 100 ohm}\nR2: {kind: resistor, resistance: 1 Mohm}"
    circuit = bench(parts, wires)
    meter = solve(circuit, edits=[Bridge("R1.2", BODY, VOLTMETER_OHM)])[0]
    lamp = solve(circuit, edits=[BridgeLamp("R1.2", BODY, TEST_LAMP_W, 12.0)])[0]
    assert meter.voltages_v["R1.2"] > 11.9
    assert lamp.voltages_v["R1.2"] < 0.3 * 12.0
