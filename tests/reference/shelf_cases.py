"""Every circuit of the shelf in every control setup, and faults drawn from its list."""

from collections.abc import Iterator, Sequence
from functools import cache
from itertools import product

import numpy as np

from loomwise.circuit.model import Circuit
from loomwise.diagnosis.table import currents_over
from loomwise.faults import Fault, enumerate_faults
from loomwise.setups import Setup, make_setup
from loomwise.shelf import read_shelf, shelf_names
from loomwise.solver.result import plant_of

WHOLE = ("headlamps", "horn", "radiator-fans")
"""Circuits that are tried in every control setup; of the others a sample must do."""


def control_setups(circuit: Circuit) -> tuple[Setup, ...]:
    """Every combination of control states, nothing undone."""
    states = (control.states for control in circuit.controls.values())
    return tuple(
        make_setup(circuit, dict(zip(circuit.controls, s, strict=True))) for s in product(*states)
    )


@cache
def faults_of(name: str) -> tuple[Fault, ...]:
    """All single faults of a shelf circuit, their grids scaled as the program scales them."""
    circuit = read_shelf(name)
    currents_a = currents_over(circuit, plant_of(circuit), control_setups(circuit))
    return enumerate_faults(circuit, currents_a)


def drawn_faults(faults: Sequence[Fault], count: int, seed: int) -> list[Fault]:
    """At least ``count`` faults drawn by weight, every mode at least once."""
    rng = np.random.default_rng(seed)
    weight = np.array([f.weight for f in faults])
    chosen: set[int] = set()
    for mode in dict.fromkeys(f.mode for f in faults):
        of_mode = np.array([f.mode == mode for f in faults]) * weight
        chosen.add(int(rng.choice(len(faults), p=of_mode / of_mode.sum())))
    rest = np.where([i in chosen for i in range(len(faults))], 0.0, weight)
    more = max(0, min(count - len(chosen), int((rest > 0).sum())))
    chosen.update(int(i) for i in rng.choice(len(faults), more, False, rest / rest.sum()))
    return [faults[i] for i in sorted(chosen)]


def sampled_setups(most: int) -> Iterator[tuple[str, Setup]]:
    """All circuits but the whole ones, each with at most so many control setups, those in which
    most is moved from rest among them."""
    for name in shelf_names():
        if name not in WHOLE:
            circuit = read_shelf(name)
            rest = {c.name: c.rest for c in circuit.controls.values()}
            busiest = sorted(control_setups(circuit), key=lambda s: -len(s.asked(rest)))
            yield from ((name, setup) for setup in busiest[:: -(-len(busiest) // most)])


def whole_setups() -> Iterator[tuple[str, Setup]]:
    """The whole circuits with all their control setups."""
    for name in WHOLE:
        yield from ((name, setup) for setup in control_setups(read_shelf(name)))
