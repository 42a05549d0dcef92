"""Pull-in and drop-out with their memory; data sheets are checked in tests/outside."""

import numpy as np

from loomwise.edits import SetEmf
from loomwise.solver.engines import Direct
from loomwise.solver.operate import operate
from loomwise.solver.rows import make_rows
from tests.solver.bench import bench, brought_to_rest, state_of


def test_pull_in_and_drop_out() -> None:
    """Between its release and operate volts a relay stays as it was."""
    nominal_v, ohm, operate_v, release_v = 12, 90, 7.2, 1.2
    relay = f"K1: {{kind: relay, contact: NO, coil: {ohm} ohm, pull in: {operate_v} V, "
    relay += f"drop out: {release_v} V}}\nR1: {{kind: resistor, resistance: 1 kohm}}"
    wires = "BAT.+ to K1.86, RD 50 mm2, 0.01 m\nK1.85 to G1.1, BN 50 mm2, 0.01 m\n"
    wires += "BAT.+ to K1.30\nK1.87 to R1.1\nR1.2 to G1.2"
    circuit = bench(relay, wires, supply_v=nominal_v, emf_v=nominal_v)
    middle = (operate_v + release_v) / 2
    steps = [middle, operate_v * 1.005, middle, release_v * 1.005, release_v * 0.995, middle]
    plant, _, _ = brought_to_rest(circuit, {}, [()])
    state = np.zeros(len(plant.net.devices), dtype=np.int8)
    seen = []
    for volts in steps:
        rows = make_rows(plant.net, state, [(SetEmf("BAT.cell", volts),)])
        at = operate(plant, rows, Direct())
        state = at.state[0]
        seen.append(state_of(plant, at, "K1"))
    assert seen == ["released", "pulled", "pulled", "pulled", "released", "released"]
