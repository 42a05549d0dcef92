"""Setups of the healthy circuit solved side by side, and what else they can come to by history.

Shapes: f setups, b branches, d devices, n nodes.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from loomwise.circuit.model import Circuit, Part
from loomwise.setups import Setup
from loomwise.solver.engines import Direct
from loomwise.solver.lines import lines
from loomwise.solver.network import Floats, Ints, Network
from loomwise.solver.operate import Plant, operate
from loomwise.solver.result import STEPS, carried, health, levels, loads, start_state
from loomwise.solver.rows import States, make_rows
from loomwise.solver.solution import Drops, Seen

Which = NDArray[np.bool_]
FORGETFUL = ("switch", "diode", "motor")
"""Devices whose state tells nothing about what went before that a person would notice."""
GENERATIONS = 4
"""Changes of one control followed each other at most, looking for what holds itself."""
MOST_ROWS = 4000


@dataclass(frozen=True)
class Solved:
    """Rows at rest; ``does`` numbers what each load does (f,), 0 being nothing."""

    circuit: Circuit
    plant: Plant
    setups: tuple[Setup, ...]
    state: States  # (f, d)
    i: Floats  # (f, b)
    moving: Which  # (f, d)
    does: Mapping[str, Ints]

    @property
    def net(self) -> Network:
        """The network that was solved."""
        return self.plant.net

    @cached_property
    def remembered(self) -> Which:
        """Which devices (d,) may keep a trace of what went before."""
        keeps = [d.kind not in FORGETFUL and not d.control for d in self.net.devices]
        return np.array(keeps, dtype=bool)

    @cached_property
    def traces(self) -> tuple[bytes, ...]:
        """For each row the states of the devices that remember."""
        return tuple(row[self.remembered].tobytes() for row in self.state)


def solve_setups(circuit: Circuit, plant: Plant, setups: Sequence[Setup]) -> Solved:
    """Every setup from rest."""
    starts = np.array([_start(plant.net, s) for s in setups])
    return _solved(circuit, plant, setups, starts)


def _start(net: Network, setup: Setup) -> States:
    return start_state(net, dict(setup.controls + setup.settled))


def _solved(circuit: Circuit, plant: Plant, setups: Sequence[Setup], starts: States) -> Solved:
    net = plant.net
    rows = make_rows(net, starts[0], [()] * len(starts)).starting(starts)
    at = operate(plant, rows, Direct())
    x = net.drop(at.v)
    i = lines(net, rows, at.state).currents(net, x)
    does = {
        p.id: doing(net, p, at.v, x, health(net, rows, p), circuit.supply_v) for p in loads(circuit)
    }
    return Solved(circuit, plant, tuple(setups), at.state, i, at.moving, does)


def doing(net: Network, part: Part, v: Floats, x: Seen, left: Floats, supply_v: float) -> Ints:
    """What a load does in each row (f,), as the number of its word; 0 is nothing."""
    level = levels(net, part, v, x, left, supply_v)
    dead = np.zeros((1, net.n + 1))
    still = levels(net, part, dead, Drops(net, dead), np.ones(1), supply_v)
    edges = np.array([below for below, _ in STEPS[part.kind]])
    number, idle = (np.searchsorted(edges, some, side="right") for some in (level, still))
    return np.asarray(np.where(number == idle, 0, number + 1), dtype=np.int64)


def word(part: Part, number: int) -> str:
    """The word for what a load does; none for nothing."""
    return STEPS[part.kind][number - 1][1] if number else ""


def by_history(plain: Solved) -> Solved | None:
    """Where setups can come to other than from rest, by changing one control after another."""
    seen = set(zip(plain.setups, plain.traces, strict=True))
    rank = {s: k for k, s in enumerate(plain.setups)}
    found: list[Solved] = []
    frontier = plain
    for _ in range(GENERATIONS):
        pairs = _moves(frontier, plain, rank)
        if not pairs:
            break
        setups = [s for s, _ in pairs]
        after = _solved(plain.circuit, plain.plant, setups, np.array([st for _, st in pairs]))
        fresh = []
        for k, mark in enumerate(zip(setups, after.traces, strict=True)):
            if mark not in seen and not after.moving[k].any():
                seen.add(mark)
                fresh.append(k)
        if not fresh:
            break
        frontier = _take(after, fresh)
        found.append(frontier)
    return _joined(found) if found else None


def _moves(
    frontier: Solved, plain: Solved, rank: Mapping[Setup, int]
) -> list[tuple[Setup, States]]:
    """One control changed: the setup come to, and the states begun from, each once."""
    net, traces, found = plain.net, plain.traces, dict[tuple[Setup, bytes], States]()
    for k, (setup, trace) in enumerate(zip(frontier.setups, frontier.traces, strict=True)):
        for after in _neighbours(setup, plain.setups):
            if traces[rank[after]] == trace or len(found) >= MOST_ROWS:
                continue  # the same devices stand the same there anyway
            begun = carried(net, frontier.state[k][None, :], _start(net, after))[0]
            found.setdefault((after, begun.tobytes()), begun)
    return [(setup, begun) for (setup, _), begun in found.items()]


def _neighbours(setup: Setup, setups: Sequence[Setup]) -> list[Setup]:
    own = _pairs(setup)
    return [
        s for s in setups if sum(a != b for a, b in zip(own, _pairs(s), strict=True)) == 1
    ]  # fmt: skip


def _take(some: Solved, rows: Sequence[int]) -> Solved:
    index = np.array(rows, dtype=np.int64)
    return Solved(
        some.circuit, some.plant, tuple(some.setups[k] for k in rows), some.state[index],
        some.i[index], some.moving[index], {p: w[index] for p, w in some.does.items()},
    )  # fmt: skip


def _joined(parts: Sequence[Solved]) -> Solved:
    first = parts[0]
    return Solved(
        first.circuit, first.plant, tuple(s for p in parts for s in p.setups),
        np.concatenate([p.state for p in parts]), np.concatenate([p.i for p in parts]),
        np.concatenate([p.moving for p in parts]),
        {name: np.concatenate([p.does[name] for p in parts]) for name in first.does},
    )  # fmt: skip


def by_distance(setups: Sequence[Setup], circuit: Circuit) -> list[int]:
    """Numbers of the setups, the nearest to rest first."""
    rest = {c.name: c.rest for c in circuit.controls.values()}

    def away(k: int) -> int:
        return len(setups[k].asked(rest)) + sum(s == "on" for _, s in setups[k].settled)

    return sorted(range(len(setups)), key=away)


def telling(plain: Solved, running: Sequence[int], most: int) -> list[int]:
    """The rows worth trying faults in, the nearest to rest first: rest, those in which loads run,
    and those in which one thing is missing for it, as a fault may stand in for it."""
    near = by_distance(plain.setups, plain.circuit)
    rank = {_pairs(s): k for k, s in enumerate(plain.setups)}
    rest = dict(_pairs(plain.setups[near[0]]))
    chosen = {near[0], *running}
    for k in running:
        pairs = _pairs(plain.setups[k])
        for n, (name, state) in enumerate(pairs):
            back = (*pairs[:n], (name, rest[name]), *pairs[n + 1 :])
            if state != rest[name] and back in rank:
                chosen.add(rank[back])
    return [k for k in near if k in chosen][:most]


def _pairs(setup: Setup) -> tuple[tuple[str, str], ...]:
    return setup.controls + setup.settled
