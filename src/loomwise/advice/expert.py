"""A circuit made ready for questions: compiled once, its faults listed, its table begun."""

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import combinations, islice, product

import numpy as np

from loomwise.circuit.model import Circuit
from loomwise.diagnosis.brinks import with_brinks
from loomwise.diagnosis.judge import Judge
from loomwise.diagnosis.table import Table, currents_over
from loomwise.faults import Added, enumerate_faults, with_added
from loomwise.setups import Setup, make_setup
from loomwise.setups.setup import unruled_outputs
from loomwise.solver.operate import Plant
from loomwise.solver.result import behaviour, loads, plant_of

MOST_SETUPS = 128
"""Combinations of controls looked at for a circuit; more would be enumerated only for leaders."""


NOTHING_ADDED = Added()


@dataclass
class Expert:
    """One circuit with its judge. ``states`` are the setups worth testing in, by what the healthy
    circuit does in them; the first is the vehicle at rest."""

    circuit: Circuit
    plant: Plant
    judge: Judge
    states: tuple[Setup, ...]
    cache: dict[object, object] = field(default_factory=dict)

    @property
    def table(self) -> Table:
        """The table of single faults."""
        return self.judge.table


def make_expert(
    circuit: Circuit, percents: Mapping[str, float] | None = None, added: Added = NOTHING_ADDED
) -> Expert:
    """Compile a circuit, list its faults and choose the setups worth testing in.

    ``percents`` weigh the classes of faults as learned: see ``enumerate_faults``; ``added`` is work
    declared on this vehicle.
    """
    plant = plant_of(circuit)
    everything = all_setups(circuit)
    states = distinct(circuit, plant, everything)
    faults = enumerate_faults(circuit, currents_over(circuit, plant, everything), percents)
    table = with_brinks(Table(circuit, plant, with_added(faults, added), states))
    return Expert(circuit, plant, Judge.of(table), states)


def all_setups(circuit: Circuit) -> tuple[Setup, ...]:
    """Every combination of controls and of outputs whose logic is unknown, nothing undone; where
    there are too many, those with the fewest departures from rest."""
    free = unruled_outputs(circuit)
    states = {c.name: _rest_first(c.states, c.rest) for c in circuit.controls.values()}
    states |= dict.fromkeys(free, ("off", "on"))
    every: Iterable[tuple[str, ...]] = product(*states.values())
    if math.prod(len(s) for s in states.values()) > MOST_SETUPS:
        every = _nearest_rest(tuple(states.values()))
    return tuple(
        make_setup(circuit, dict(zip(states, combo, strict=True)))
        for combo in islice(every, MOST_SETUPS)
    )


def _rest_first(states: tuple[str, ...], rest: str) -> tuple[str, ...]:
    return (rest, *(s for s in states if s != rest))


def _nearest_rest(states: tuple[tuple[str, ...], ...]) -> Iterator[tuple[str, ...]]:
    """Combinations of states, the first of each being rest, by how many are not at rest."""
    for count in range(len(states) + 1):
        for away in combinations(range(len(states)), count):
            yield from product(*(s[1:] if k in away else s[:1] for k, s in enumerate(states)))


def distinct(circuit: Circuit, plant: Plant, setups: tuple[Setup, ...]) -> tuple[Setup, ...]:
    """One setup for each thing the healthy circuit does, the one nearest to rest."""
    table = Table(circuit, plant, (), ())
    table.healthy(setups)
    rest = {c.name: c.rest for c in circuit.controls.values()}
    watched = loads(circuit)
    shown = {p.id for p in circuit.parts_of_kind("potentiometer", "ladder switch")}
    switching = np.array(
        [d.kind not in ("switch", "diode") or d.id in shown for d in plant.net.devices], dtype=bool
    )
    chosen: dict[bytes, Setup] = {}
    for setup in sorted(setups, key=lambda s: len(s.asked(rest))):
        at = table.at(setup)
        v, x = at.v[0], plant.net.drop(at.v[0][None])[0]
        seen = " ".join(behaviour(plant.net, part, v, x, 1.0, circuit) for part in watched)
        chosen.setdefault(at.state[0][switching].tobytes() + seen.encode(), setup)
    return tuple(chosen.values())
