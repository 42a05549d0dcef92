"""Small circuit files for the tests, and short ways to solve them."""

from collections.abc import Mapping, Sequence
from functools import cache

import numpy as np

from loomwise.circuit.model import Circuit
from loomwise.circuit.reader import read_circuit
from loomwise.edits import Edit
from loomwise.setups import parse_setup, undone_edits
from loomwise.solver.engines import Direct
from loomwise.solver.operate import Plant, Standstill, operate
from loomwise.solver.result import OperatingPoint, plant_of, solve_states, start_state
from loomwise.solver.rows import Rows, prepared

HEAD = """
format: 1
title: Bench
supply: {supply} V
units: {{bench: {{price: 1, minutes: 1}}, battery: {{price: 1, minutes: 1}}}}
controls: {{{controls}}}
parts:
  BAT: {{kind: battery, in: battery, emf: {emf} V, resistance: 0.001 ohm}}
  G1: {{kind: ground, pins: [b, 1, 2, 3, 4, 5, 6]}}
"""


@cache
def bench(parts: str, wires: str, controls: str = "", emf_v: float = 12.0, supply_v: int = 12,
          logic: str = "") -> Circuit:  # fmt: skip
    """A circuit of a battery at ``emf_v``, its ground G1 (legs 1 to 6) and what is given.

    ``parts`` and ``wires`` hold one entry a line; parts are without the ``in``.
    """
    text = HEAD.format(supply=supply_v, controls=controls, emf=emf_v)
    for line in filter(None, map(str.strip, parts.splitlines())):
        text += f"  {line[:-1]}, in: bench}}\n"
    text += "wires:\n  - BAT.- to G1.b, BK 16 mm2, 0.2 m\n"
    for line in filter(None, map(str.strip, wires.splitlines())):
        text += f"  - {line}\n"
    return read_circuit(text + logic, "bench.yaml")


def solve(
    circuit: Circuit, controls: str = "", edits: Sequence[Edit] = (), undone: Sequence[str] = (),
    after: Sequence[Mapping[str, str]] = (),
) -> tuple[OperatingPoint, ...]:  # fmt: skip
    """Every stable state of a setup written as on the command line."""
    setup = parse_setup(circuit, controls, undone)
    states = dict(setup.controls + setup.settled)
    more = [e for u in setup.undone for e in undone_edits(circuit, u)]
    return solve_states(circuit, plant_of(circuit), states, [*edits, *more], after)


def brought_to_rest(
    circuit: Circuit, controls: Mapping[str, str], variants: Sequence[Sequence[Edit]]
) -> tuple[Plant, Rows, Standstill]:
    """Several variants side by side by the direct engine."""
    plant = plant_of(circuit)
    net, rows = prepared(plant.net, start_state(plant.net, controls), variants)
    plant = Plant(net, plant.brains)
    return plant, rows, operate(plant, rows, Direct())


def state_of(plant: Plant, at: Standstill, device: str, row: int = 0) -> str:
    """A device's state in words."""
    d = plant.net.device_index[device]
    return plant.net.devices[d].states[int(at.state[row, d])]


def node_v(plant: Plant, at: Standstill, node: str) -> np.typing.NDArray[np.float64]:
    """A node's voltage in every row."""
    return np.asarray(at.v[:, plant.net.node_index[node]])
