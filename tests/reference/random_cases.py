"""Invented circuits in a setup and with faults drawn at random, for ngspice to solve as well."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from loomwise.circuit.reader import read_circuit
from loomwise.edits import Edit
from loomwise.faults import enumerate_faults
from loomwise.generate import generate_circuit
from loomwise.setups import make_setup
from tests.reference.agreement import largest_gap

PARTS = (8, 45)
FAULTS = 3


@dataclass(frozen=True)
class Compared:
    """One circuit: the largest disagreement as a share of what is allowed, and where it is."""

    seed: int
    parts: int
    share: float
    where: str


def compare_random(seed: int, ngspice: str, folder: Path) -> Compared:
    """A circuit from its seed, healthy and with a few faults, by both programs."""
    draw = np.random.default_rng([77, seed])
    parts = int(draw.integers(*PARTS))
    circuit = read_circuit(generate_circuit(parts, seed), f"invented-{seed}.yaml")
    states = {c.name: str(draw.choice(c.states)) for c in circuit.controls.values()}
    faults = enumerate_faults(circuit, {})
    chosen = [faults[int(k)] for k in draw.choice(len(faults), FAULTS, replace=False)]
    variants: list[tuple[Edit, ...]] = [(), *(f.edits for f in chosen)]
    gap = largest_gap(circuit, make_setup(circuit, states), variants, ngspice, folder)
    label = ["healthy", *(f.id for f in chosen)][gap.variant]
    return Compared(
        seed, len(circuit.parts), gap.share, f"{label} at {gap.place}: {gap.volts:.3g} V"
    )
