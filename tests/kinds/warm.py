"""A circuit that is told its temperature."""

from loomwise.circuit.reader import read_circuit
from tests.solver.bench import bench


def warm_share() -> float:
    """Resistance of a wire in a circuit of 80 °C over that in one of 20 °C."""
    wires = "BAT.+ to H1.1, RD 1 mm2, 5 m\nH1.2 to G1.1"
    circuit = bench("H1: {kind: heater, power: 60 W}", wires)
    warm = read_circuit(circuit.text.replace("supply:", "temperature: 80 C\nsupply:"), "warm.yaml")
    ohms = [c.segments["BAT.+-H1.1"].resistance_ohm for c in (circuit, warm)]
    return ohms[1] / ohms[0]
