"""A circuit made ready for questions: compiled once, its faults listed, its table begun."""

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import combinations, islice, product

import numpy as np

from loomwise.advice.about import touching
from loomwise.circuit.model import Circuit
from loomwise.diagnosis.brinks import with_brinks
from loomwise.diagnosis.judge import Judge
from loomwise.diagnosis.redrawn import redrawn
from loomwise.diagnosis.table import Table, currents_over
from loomwise.faults import Added, enumerate_faults, with_added
from loomwise.setups import Setup, Undoing, make_setup
from loomwise.setups.setup import unruled_outputs
from loomwise.solver.operate import Plant
from loomwise.solver.result import behaviour, loads, plant_of
from loomwise.ways import Concern

MOST_SETUPS = 128
"""Combinations of controls looked at for a circuit; more would be enumerated only for leaders."""


NOTHING_ADDED = Added()


@dataclass
class Expert:
    """One circuit with its judge. ``states`` are the setups worth testing in, by what the healthy
    circuit does in them; the first is the vehicle at rest. ``concerned`` is what it is about; None:
    everything."""

    circuit: Circuit
    plant: Plant
    judge: Judge
    states: tuple[Setup, ...]
    concerned: Concern | None = None
    cache: dict[object, object] = field(default_factory=dict)

    @property
    def table(self) -> Table:
        """The table of single faults."""
        return self.judge.table

    def concerns(self, name: str) -> bool:
        """Whether it is about a place, conductor, part, connector or loom of this name."""
        return self.concerned is None or name in self.concerned

    def may_undo(self, undoing: Undoing) -> bool:
        """Whether undoing this may tell something about what it is about."""
        names = (undoing.target, *undoing.places)
        return any(self.concerns(name) for name in names if name)


def make_expert(
    circuit: Circuit, percents: Mapping[str, float] | None = None, added: Added = NOTHING_ADDED,
    concerned: Concern | None = None,
) -> Expert:  # fmt: skip
    """Compile a circuit, list its faults and choose the setups worth testing in.

    ``percents`` weigh the classes of faults as learned: see ``enumerate_faults``; ``added`` is work
    declared on this vehicle. Faults of what is not ``concerned`` are left out: they count as if
    nothing were wrong.
    """
    plant = plant_of(circuit)
    everything = all_setups(circuit, concerned)
    states = distinct(circuit, plant, everything, concerned)
    every = enumerate_faults(circuit, currents_over(circuit, plant, everything), percents)
    faults = touching(plant.net, with_added(every, added), concerned)
    table = with_brinks(Table(circuit, plant, tuple(faults), states))
    doubts = touching(plant.net, redrawn(circuit), concerned)
    return Expert(circuit, plant, Judge.of(table, doubts), states, concerned)


def all_setups(circuit: Circuit, concerned: Concern | None = None) -> tuple[Setup, ...]:
    """Every combination of the controls concerned and of outputs whose logic is unknown, nothing
    undone and all else at rest; where there are too many, those with the fewest departures."""
    free = [o for o in unruled_outputs(circuit) if concerned is None or o in concerned]
    moved = _moving(circuit, concerned)
    states = {
        c.name: _rest_first(c.states, c.rest) if c.name in moved else (c.rest,)
        for c in circuit.controls.values()
    }
    states |= dict.fromkeys(free, ("off", "on"))
    every: Iterable[tuple[str, ...]] = product(*states.values())
    if math.prod(len(s) for s in states.values()) > MOST_SETUPS:
        every = _nearest_rest(tuple(states.values()))
    return tuple(
        make_setup(circuit, dict(zip(states, combo, strict=True)))
        for combo in islice(every, MOST_SETUPS)
    )


def _moving(circuit: Circuit, concerned: Concern | None) -> set[str]:
    """The controls that move something concerned."""
    parts = [p for p in circuit.parts.values() if concerned is None or p.id in concerned]
    by_pins = {pin.set_by for p in parts for pin in p.module_pins.values()}
    return {p.control for p in parts} | by_pins if concerned else set(circuit.controls)


def _rest_first(states: tuple[str, ...], rest: str) -> tuple[str, ...]:
    return (rest, *(s for s in states if s != rest))


def _nearest_rest(states: tuple[tuple[str, ...], ...]) -> Iterator[tuple[str, ...]]:
    """Combinations of states, the first of each being rest, by how many are not at rest."""
    for count in range(len(states) + 1):
        for away in combinations(range(len(states)), count):
            yield from product(*(s[1:] if k in away else s[:1] for k, s in enumerate(states)))


def distinct(
    circuit: Circuit, plant: Plant, setups: tuple[Setup, ...], concerned: Concern | None = None
) -> tuple[Setup, ...]:
    """One setup for each thing the healthy circuit does in what is concerned, the one nearest to
    rest."""
    table = Table(circuit, plant, (), ())
    table.healthy(setups)
    rest = {c.name: c.rest for c in circuit.controls.values()}
    watched = [p for p in loads(circuit) if concerned is None or p.id in concerned]
    shown = {p.id for p in circuit.parts_of_kind("potentiometer", "ladder switch")}
    switching = np.array(
        [
            (d.kind not in ("switch", "diode") or d.id in shown)
            and (concerned is None or d.id in concerned)
            for d in plant.net.devices
        ],
        dtype=bool,
    )
    chosen: dict[bytes, Setup] = {}
    for setup in sorted(setups, key=lambda s: len(s.asked(rest))):
        at = table.at(setup)
        v, x = at.v[0], plant.net.drop(at.v[0][None])[0]
        seen = " ".join(behaviour(plant.net, part, v, x, 1.0, circuit) for part in watched)
        chosen.setdefault(at.state[0][switching].tobytes() + seen.encode(), setup)
    return tuple(chosen.values())
