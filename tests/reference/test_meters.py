"""Meters as part of the circuit, and filaments, against published values. Units: V, A, ohm, W."""

import numpy as np
import pytest

from loomwise.circuit.model import BODY
from loomwise.diagnosis.predict import TEST_LAMP_W, VOLTMETER_OHM
from loomwise.edits import AddOhm, Bridge, BridgeLamp
from loomwise.solver.engines import Direct
from loomwise.solver.laws import filament
from loomwise.solver.rows import prepared
from tests.solver.bench import bench, solve
from tests.solver.check_laws import assert_laws, currents
from tests.solver.small import network_of, parse_element

LESSONS = "Lessons in Electric Circuits, vol. I DC, ch. 8 (DC/src/dcmeter.sml)"


def _edited(lines: list[str], *edits: AddOhm | Bridge) -> tuple[dict[str, float], dict[str, float]]:
    """Node volts and branch amps of an element list with edits made."""
    net = network_of(parse_element(line) for line in lines)
    net, rows = prepared(net, np.zeros(0, dtype=np.int8), [edits])
    v = Direct().solve(net, rows, rows.start)
    assert_laws(net, rows, rows.start, v)
    i = currents(net, rows, rows.start, v)[0]
    volts = {n: float(v[0, k]) for n, k in net.node_index.items()}
    return volts, {b.id: float(a) for b, a in zip(net.branches, i, strict=True)}


def test_a_voltmeter_loads_what_it_measures() -> None:
    """A 10 Mohm meter on a divider of 2 x 250 Mohm reads 0.8889 V where 12 V stand without it.

    Lessons in Electric Circuits, vol. I DC, ch. 8. All resistances a thousandth, as 1 Gohm of leak
    at every node would be felt; the printed volts depend on their ratio only.
    """
    divider = ["B V 24 a 0", "R1 R 250k a b", "R2 R 250k b 0"]
    assert _edited(divider)[0]["b"] == pytest.approx(12, abs=0.5)
    loaded = _edited(divider, Bridge("b", BODY, VOLTMETER_OHM / 1000))[0]
    assert loaded["b"] == pytest.approx(0.8889, abs=5e-5)
    assert loaded["a"] - loaded["b"] == pytest.approx(23.1111, abs=5e-5)


def test_voltmeter_resistance() -> None:
    """A digital voltmeter is 10 Mohm on DC volts (University Physics vol. 2, 10.4, m58456)."""
    assert VOLTMETER_OHM == 10e6


def test_an_ammeter_lowers_the_current_it_measures() -> None:
    """A 0.5 ohm ammeter reads 571.43 mA where 666.7 mA flowed (Lessons in Electric Circuits)."""
    branches = ["B V 2 a 0", "R1 R 3 a 0", "R2 R 1.5 a 0"]
    amps = _edited(branches)[1]
    assert amps["R1"] == pytest.approx(666.7e-3, abs=5e-5)
    assert amps["R2"] == pytest.approx(1.333, abs=5e-4)
    assert _edited(branches, AddOhm("R1", 0.5))[1]["R1"] == pytest.approx(571.43e-3, abs=5e-6)


def test_a_good_ammeter_hardly_shows() -> None:
    """0.0200 ohm in series with 10.00 ohm leaves 0.9980 of the current (College Physics 21.4)."""
    line = ["B V 10 a 0", "R R 10 a 0"]
    share = _edited(line, AddOhm("R", 0.02))[1]["R"] / _edited(line)[1]["R"]
    assert share == pytest.approx(0.9980, abs=5e-5)


RATED = [  # rated V, rated W, amps, half a unit, source
    (12.0, 3.0, 0.25, 0.005, "infinispark.com.au, how much current an incandescent lamp draws"),
    (24.0, 25.0, 1.04, 0.005, "infinispark.com.au, by rating"),
    (12.0, 30.0, 2.50, 0.005, "College Physics 20.2 (m42344): 12.0 V, 2.50 A"),
]


@pytest.mark.parametrize(("rated_v", "rated_w", "amps", "half_unit", "source"), RATED)
def test_rated_current(
    rated_v: float, rated_w: float, amps: float, half_unit: float, source: str
) -> None:
    """At its rated voltage a lamp takes its rated current."""
    current, _ = filament(np.array(rated_v), np.array([rated_v, rated_w / rated_v, 12.0]))
    assert current == pytest.approx(amps, abs=half_unit), source


R37 = [  # category, rated V, rated W
    ("PY21/5W", 12, 21), ("PY21/5W", 12, 5),  # ECE/TRANS/WP.29/GRE/2012/34
    ("H1", 12, 55), ("H1", 24, 70),  # wikimili.com, list of automotive light bulb types
    ("H3", 12, 55), ("H3", 24, 70),  # same
    ("H4", 24, 75), ("H4", 24, 70),  # electro-partes-del-valle.odoo.com, bombillo h4 24v
    ("H4", 12, 60), ("H4", 12, 55), ("R5W", 12, 5), ("R10W", 24, 10), ("T4W", 12, 4),  # from memory
]  # fmt: skip


@pytest.mark.parametrize(("category", "rated_v", "rated_w"), R37)
def test_rated_power_of_vehicle_lamps(category: str, rated_v: int, rated_w: int) -> None:
    """A lamp of UN Regulation 37 at its rated voltage takes its rated watts."""
    lamp = f"L1: {{kind: lamp, power: {rated_w} W, rated: {rated_v} V}}"
    wires = "BAT.+ to L1.1, RD 95 mm2, 0.01 m\nL1.2 to G1.1, BN 95 mm2, 0.01 m"
    point = solve(bench(lamp, wires, emf_v=rated_v, supply_v=rated_v))[0]
    volts = point.voltages_v["L1.1"] - point.voltages_v["L1.2"]
    assert volts == pytest.approx(rated_v, rel=2e-3)
    # Watts go with the 1.55th power of volts: 2 parts in a thousand of volts are 3 of watts.
    assert point.powers_w["L1"] == pytest.approx(rated_w, rel=4e-3)


@pytest.mark.parametrize(("rated_w", "most_w"), [(21.0, 26.5), (5.0, 6.6)])
def test_lamp_at_its_test_voltage(rated_w: float, most_w: float) -> None:
    """At 13.5 V a PY21/5W stays under its limits of 26.5 W and 6.6 W.

    ECE/TRANS/WP.29/GRE/2012/34; 21 W rated at 12 V scaled by V^1.54 is 25.2 W (computed).
    """
    current, _ = filament(np.array(13.5), np.array([12.0, rated_w / 12.0, 12.0]))
    assert rated_w * 1.125**1.54 == pytest.approx(float(current) * 13.5, rel=2e-3)
    assert float(current) * 13.5 < most_w


def test_cold_filament() -> None:
    """A headlamp of 4.80 ohm hot is 0.350 ohm cold: a ratio of 13.7.

    College Physics 20.3 (m42346), University Physics vol. 2, 9.3.
    """
    _, slope = filament(np.array(0.0), np.array([12.0, 2.5, 4.80 / 0.350]))
    assert 1.0 / slope == pytest.approx(0.350, abs=5e-4)
    assert pytest.approx(13.7, abs=0.05) == 4.80 / 0.350


def test_test_lamp_pulls_a_bad_feed_down() -> None:
    """Through 100 ohm of corrosion a voltmeter shows nearly 12 V, and the test lamp stays dark."""
    wires = "BAT.+ to R1.1\nR1.2 to R2.1\nR2.2 to G1.1"
    parts = "R1: {kind: resistor, resistance: 100 ohm}\nR2: {kind: resistor, resistance: 1 Mohm}"
    circuit = bench(parts, wires)
    meter = solve(circuit, edits=[Bridge("R1.2", BODY, VOLTMETER_OHM)])[0]
    lamp = solve(circuit, edits=[BridgeLamp("R1.2", BODY, TEST_LAMP_W, 12.0)])[0]
    assert meter.voltages_v["R1.2"] > 11.9
    assert lamp.voltages_v["R1.2"] < 0.3 * 12.0
