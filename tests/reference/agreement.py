"""How far our volts are from ngspice's: states frozen to ours, meters on what floats."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from loomwise.circuit.model import BODY, Circuit
from loomwise.diagnosis.predict import VOLTMETER_OHM
from loomwise.edits import Bridge, Edit
from loomwise.setups import Setup
from loomwise.solver.engines import Direct
from loomwise.solver.network import Floats, Network
from loomwise.solver.operate import Plant, operate
from loomwise.solver.result import FLOATING_OHM, plant_of, source_resistance, start_state
from loomwise.solver.rows import Rows, States, prepared
from tests.reference.spice import solve_by_ngspice

ABSOLUTE_V, RELATIVE = 1e-3, 1e-4
"""The batch route's promise; the direct one is far nearer. No reading is finer than 1 mV."""


@dataclass(frozen=True)
class Gap:
    """The largest disagreement, as a share of what is allowed and in volts; in which variant."""

    share: float
    volts: float
    variant: int
    place: str


def largest_gap(
    circuit: Circuit, setup: Setup, variants: Sequence[tuple[Edit, ...]], ngspice: str, folder: Path
) -> Gap:
    """Both programs' volts at every place, for each variant in one setup."""
    net, rows, state, ours = _with_meters(circuit, setup, variants)
    theirs = solve_by_ngspice(ngspice, net, rows, state, folder)
    places = [net.node_index[p] for p in circuit.places]
    gap = np.abs(ours - theirs)[:, places]
    share = gap / np.maximum(ABSOLUTE_V, RELATIVE * np.abs(theirs[:, places]))
    variant, place = np.unravel_index(int(share.argmax()), gap.shape)
    return Gap(
        float(share.max()), float(gap[variant, place]), int(variant), list(circuit.places)[place]
    )


def _with_meters(
    circuit: Circuit, setup: Setup, variants: Sequence[tuple[Edit, ...]]
) -> tuple[Network, Rows, States, Floats]:
    """Rows at rest, then, states frozen, solved with a voltmeter on every floating place."""
    plant = plant_of(circuit)
    start = start_state(plant.net, dict(setup.controls))
    net, rows = prepared(plant.net, start, list(variants))
    state = operate(Plant(net, plant.brains), rows, Direct()).state
    v = Direct().solve(net, rows, state)
    floating = _floating(net, rows, state, v, list(circuit.places))
    metered = [
        (*e, *(Bridge(p, BODY, VOLTMETER_OHM) for p in places))
        for e, places in zip(variants, floating, strict=True)
    ]
    net, rows = prepared(plant.net, start, metered)
    return net, rows, state, Direct().solve(net, rows, state)


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
