"""Our solutions against ngspice's, an independent program, element for element.

Two comparisons. With faults, device states are frozen to ours, so that the equations are compared
and not the switching. Healthy, a rule of the test's own lets relays, motors and modules follow
ngspice's voltages from our start, and must come to our states.
"""

import zlib
from pathlib import Path

import numpy as np
import pytest

from loomwise.circuit.model import BODY, Circuit
from loomwise.diagnosis.predict import VOLTMETER_OHM
from loomwise.edits import Bridge, Edit
from loomwise.setups import Setup
from loomwise.shelf import read_shelf
from loomwise.solver.engines import Direct
from loomwise.solver.network import Floats, Network
from loomwise.solver.operate import Plant, operate
from loomwise.solver.result import FLOATING_OHM, plant_of, source_resistance, start_state
from loomwise.solver.rows import Rows, States, make_rows, prepared
from tests.reference.shelf_cases import control_setups, drawn_faults, faults_of, shelf_setups
from tests.reference.spice import solve_by_ngspice
from tests.reference.switching import settle_by

pytestmark = pytest.mark.ngspice

ABSOLUTE_V, RELATIVE = 1e-3, 1e-4
"""The batch route's promise; the direct one is far nearer. No reading is finer than 1 mV."""
FAULTS_A_SETUP = 60
SETUPS = list(shelf_setups())


def _floating(
    net: Network, rows: Rows, state: States, v: Floats, places: list[str]
) -> list[list[str]]:
    """The floating places of each row."""
    found = []
    for f in range(len(rows)):
        one = np.array([f])
        source = source_resistance(net, rows.take(one), state[one], v[one])
        found.append([p for p in places if source[net.node_index[p]] > FLOATING_OHM])
    return found


def _with_meters(
    circuit: Circuit, setup: Setup, edits: list[tuple[Edit, ...]]
) -> tuple[Network, Rows, States, Floats]:
    """Rows at rest, then, states frozen, solved with a voltmeter on every floating place."""
    plant = plant_of(circuit)
    start = start_state(plant.net, dict(setup.controls))
    net, rows = prepared(plant.net, start, edits)
    state = operate(Plant(net, plant.brains), rows, Direct()).state
    v = Direct().solve(net, rows, state)
    floating = _floating(net, rows, state, v, list(circuit.places))
    metered = [
        (*e, *(Bridge(p, BODY, VOLTMETER_OHM) for p in places))
        for e, places in zip(edits, floating, strict=True)
    ]
    net, rows = prepared(plant.net, start, metered)
    return net, rows, state, Direct().solve(net, rows, state)


@pytest.mark.slow
@pytest.mark.parametrize(("name", "setup"), SETUPS, ids=[f"{n}: {s}" for n, s in SETUPS])
def test_faults(name: str, setup: Setup, ngspice_path: str, tmp_path: Path) -> None:
    """Whatever is broken, both programs give the same volts at every place."""
    circuit = read_shelf(name)
    seed = zlib.crc32(f"{name} {setup}".encode())
    faults = drawn_faults(faults_of(name), FAULTS_A_SETUP, seed)
    edits: list[tuple[Edit, ...]] = [(), *(f.edits for f in faults)]
    net, rows, state, ours = _with_meters(circuit, setup, edits)
    theirs = solve_by_ngspice(ngspice_path, net, rows, state, tmp_path)
    places = [net.node_index[p] for p in circuit.places]
    gap = np.abs(ours - theirs)[:, places]
    allowed = np.maximum(ABSOLUTE_V, RELATIVE * np.abs(theirs[:, places]))
    worst = np.unravel_index((gap / allowed).argmax(), gap.shape)
    label = ["healthy", *(f.id for f in faults)][worst[0]]
    assert (gap <= allowed).all(), f"{label} at {list(circuit.places)[worst[1]]}: {gap[worst]} V"


FOLLOWED = ("relay", "diode", "motor", "reversible motor", "two-speed motor", "module", "fuse")
"""Kinds whose switching the test has a rule of its own for; the others are taken as we have them,
so that their volts are compared and not their switching."""


def _followed(circuit: Circuit, device: str) -> bool:
    return circuit.parts[device.partition(".")[0]].kind in FOLLOWED


@pytest.mark.parametrize("name", dict.fromkeys(n for n, _ in SETUPS))
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
