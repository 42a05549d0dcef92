"""Filaments: cold to an ohmmeter, hot at full voltage, warmer in a warm place."""

import pytest

from loomwise.circuit.filament import cold_share, temperature_c
from loomwise.circuit.reader import read_circuit
from loomwise.edits import AddOhm
from loomwise.usecases.filaments import filaments
from tests.solver.bench import bench, solve

LAMP, WIRES = "L1: {kind: lamp, power: 21 W}", "BAT.+ to L1.1\nL1.2 to G1.1"


def test_a_dim_lamp_resists_less_and_is_cooler() -> None:
    """Behind some corrosion a lamp is dimmer, cooler, and of less resistance; unlit it is cold."""
    circuit = bench(LAMP, WIRES)
    found = [
        filaments(circuit, solve(circuit, edits=[AddOhm("BAT.+-L1.1", ohm)])[0])[0]
        for ohm in (1e-6, 5.0, 50.0, 1e7)
    ]
    ohms, degrees = [f.resistance_ohm for f in found], [f.temperature_c for f in found]
    assert ohms == sorted(ohms, reverse=True) and degrees == sorted(degrees, reverse=True)
    assert ohms[0] == pytest.approx(12 * 12 / 21, rel=0.01)
    assert ohms[-1] == pytest.approx(ohms[0] / 12, rel=0.02)
    assert degrees[0] > 1900 and degrees[-1] == pytest.approx(20, abs=1)


def test_an_unlit_filament_is_as_warm_as_its_place() -> None:
    """In an engine space of 80 °C an unlit filament has 27 % more, a lit one the same."""
    cold = bench(LAMP, WIRES)
    text = cold.text.replace("supply:", "temperature: 80 C\nsupply:")
    warm = read_circuit(text, "warm.yaml")
    ratios = [c.parts["L1"].values["cold_ratio"] for c in (cold, warm)]
    assert ratios[0] / ratios[1] == pytest.approx(cold_share(80)) == pytest.approx(1.27)


def test_temperature_and_resistance_go_together() -> None:
    """As cold as the room at its cold resistance, and hotter with every ohm."""
    assert temperature_c(1.0) == pytest.approx(20.0)
    assert temperature_c(12.0) > temperature_c(6.0) > temperature_c(2.0)
