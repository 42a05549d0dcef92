"""Our solutions against ngspice's, an independent program, element for element.

Two comparisons. With faults, device states are frozen to ours, so that the equations are compared
and not the switching. Healthy, a rule of the test's own lets relays, motors and modules follow
ngspice's voltages from our start, and must come to our states.
"""

import zlib
from pathlib import Path

import numpy as np
import pytest

from loomwise.circuit.model import Circuit
from loomwise.edits import Edit
from loomwise.setups import Setup
from loomwise.shelf import read_shelf, shelf_names
from loomwise.solver.engines import Direct
from loomwise.solver.network import Floats
from loomwise.solver.operate import operate
from loomwise.solver.result import plant_of, start_state
from loomwise.solver.rows import States, make_rows
from tests.reference.agreement import largest_gap
from tests.reference.shelf_cases import (
    control_setups,
    drawn_faults,
    faults_of,
    sampled_setups,
    whole_setups,
)
from tests.reference.spice import solve_by_ngspice
from tests.reference.switching import settle_by

pytestmark = pytest.mark.ngspice

WHOLE_FAULTS, SAMPLED_FAULTS, SAMPLED_SETUPS = 60, 40, 2
"""Of most circuits a sample: `./run bench shelf` compares every setup of all of them."""
CASES = [
    *((name, setup, WHOLE_FAULTS) for name, setup in whole_setups()),
    *((name, setup, SAMPLED_FAULTS) for name, setup in sampled_setups(SAMPLED_SETUPS)),
]


@pytest.mark.slow
@pytest.mark.parametrize(("name", "setup", "count"), CASES, ids=[f"{n}: {s}" for n, s, _ in CASES])
def test_faults(name: str, setup: Setup, count: int, ngspice_path: str, tmp_path: Path) -> None:
    """Whatever is broken, both programs give the same volts at every place."""
    seed = zlib.crc32(f"{name} {setup}".encode())
    faults = drawn_faults(faults_of(name), count, seed)
    variants: list[tuple[Edit, ...]] = [(), *(f.edits for f in faults)]
    gap = largest_gap(read_shelf(name), setup, variants, ngspice_path, tmp_path)
    label = ["healthy", *(f.id for f in faults)][gap.variant]
    assert gap.share <= 1.0, f"{label} at {gap.place}: {gap.volts} V"


FOLLOWED = ("relay", "diode", "motor", "reversible motor", "two-speed motor", "module", "fuse")
"""Kinds whose switching the test has a rule of its own for; the others are taken as we have them,
so that their volts are compared and not their switching."""


def _followed(circuit: Circuit, device: str) -> bool:
    inside_a_pin = device.count(".") > 1  # A1.P1.oneway, A1.H.bus
    return circuit.parts[device.partition(".")[0]].kind in FOLLOWED and not inside_a_pin


@pytest.mark.parametrize("name", shelf_names())
def test_healthy_states(name: str, ngspice_path: str, tmp_path: Path) -> None:
    """From the same start, ngspice and a rule of our test's own find the same relays pulled."""
    circuit = read_shelf(name)
    plant, setups = plant_of(circuit), control_setups(circuit)
    net = plant.net
    start = np.array([start_state(net, dict(s.controls)) for s in setups])
    rows = make_rows(net, start[0], [()] * len(setups)).starting(start)
    ours = operate(plant, rows, Direct())

    def volts(state: States) -> Floats:
        return solve_by_ngspice(ngspice_path, net, rows, state, tmp_path)

    others = [d for d, device in enumerate(net.devices) if not _followed(circuit, device.id)]
    start[:, others] = ours.state[:, others]
    theirs = settle_by(volts, circuit, net, start)
    assert not ours.chatter.any()
    for d, device in enumerate(net.devices):
        assert theirs[:, d].tolist() == ours.state[:, d].tolist(), device.id
