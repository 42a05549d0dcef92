"""Solve, let the devices switch, solve again: to a standstill, or to a chatter.

Which devices switch is in ``follow``. A row that comes back to a state it has left chatters: the
volts over the cycle are kept.
"""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from loomwise.solver.brains import Brain
from loomwise.solver.engines import Engine
from loomwise.solver.follow import Watched, follow, watch_nodes
from loomwise.solver.network import Floats, Ints, Network
from loomwise.solver.rows import Rows, States
from loomwise.solver.solution import Pack, Solution, Volts, laid_together

ROUNDS = 60
QUIET_V = 1e-8
"""A row that no device can see to differ by more than this from its base does what that does."""


@dataclass(frozen=True)
class Plant:
    """A network and the module logic that belongs to it."""

    net: Network
    brains: tuple[Brain, ...]

    @cached_property
    def watched(self) -> Watched:
        """What the devices and modules look at."""
        return watch_nodes(self.net, self.brains)


@dataclass(frozen=True)
class Cycle:
    """What a row that chatters goes through."""

    v: Floats  # (c, n + 1) volts of each state
    moving: NDArray[np.bool_]  # (d,) the devices that keep switching


@dataclass(frozen=True)
class Standstill:
    """Where f rows came to rest; ``v`` is the mean where it chatters.

    ``moving`` (f, d) marks the devices that keep switching.
    """

    v: Floats  # (f, n + 1)
    state: States  # (f, d)
    chatter: NDArray[np.bool_]
    moving: NDArray[np.bool_]
    cycles: dict[int, Cycle] = field(default_factory=dict)

    def moments(self, row: int) -> Floats:
        """Volts (c, n + 1) that a row goes through: one, or those of its cycle."""
        return self.cycles[row].v if row in self.cycles else np.asarray(self.v[row][None])


@dataclass
class Rest:
    """The same, kept small."""

    solution: Solution
    state: States  # (f, d)
    chatter: NDArray[np.bool_]
    moving: NDArray[np.bool_]
    cycles: dict[int, Cycle] = field(default_factory=dict)


def operate(plant: Plant, rows: Rows, engine: Engine) -> Standstill:
    """Bring every row to rest from its starting state."""
    rest = come_to_rest(plant, rows, engine)
    v = rest.solution.at(np.arange(len(rows)), np.arange(plant.net.n + 1))
    return Standstill(v, rest.state, rest.chatter, rest.moving, rest.cycles)


def come_to_rest(plant: Plant, rows: Rows, engine: Engine) -> Rest:
    """Bring every row to rest from its starting state; the solution is kept small."""
    count, state = len(rows), rows.start.copy()
    trail, parts = [state.copy()], list[tuple[Ints, Pack | Volts]]()
    quiet = np.zeros(count, dtype=bool)
    rest = Rest(Solution.of([], count), state, quiet, np.zeros(state.shape, dtype=bool))
    active, cycles = np.arange(count), list[tuple[int, int]]()
    for _ in range(ROUNDS):
        part = rows.take(active) if len(active) < count else rows
        found = engine.solution(plant.net, part, state[active])
        fresh = _next_states(plant, part, state[active], found)
        moved = (fresh != state[active]).any(axis=1)
        still = np.flatnonzero(~moved)
        parts += [(active[still[where]], pack) for where, pack in found.parts(still)]
        state[active] = fresh
        trail.append(state.copy())
        active = active[moved]
        since = _returned(trail, active)
        cycles += [(int(r), int(s)) for r, s in zip(active, since, strict=True) if s >= 0]
        active = active[since < 0]
        if not len(active):
            break
    cycles += [(int(row), 0) for row in active]
    parts += _chatter(rest, plant, rows, engine, trail, cycles)
    rest.solution = Solution.of(laid_together(parts), count)
    return rest


def _next_states(plant: Plant, rows: Rows, state: States, found: Solution) -> States:
    """The states that follow. Rows that no device sees to differ from their base do as it does."""
    fresh, watched, nodes = state.copy(), plant.watched, plant.watched.nodes
    own = watched.singular(plant.net, rows)
    everyone = np.arange(len(rows))
    for where, pack, place in found.runs(everyone):
        loud = np.ones(len(where), dtype=bool)
        if isinstance(pack, Pack) and len(where) > 1:
            alike = (state[where] == pack.base.state).all(axis=1)
            loud = own[where] | ~alike | (pack.largest_shift_v()[place] > QUIET_V)
            still = np.flatnonzero(~loud)
            if len(still):
                loud[still[0]] = True
        some = where[loud]
        v = np.zeros((len(some), plant.net.n + 1))
        v[:, nodes] = found.at(some, nodes)
        after = follow(plant.net, plant.brains, watched, rows.take(some), state[some], v)
        fresh[some] = after
        if not loud.all():
            example = after[np.searchsorted(np.flatnonzero(loud), still[0])]
            fresh[where[~loud]] = example
    return fresh


def _returned(trail: list[States], active: Ints) -> Ints:
    """For each active row the earliest step whose state it has come back to, or -1."""
    found = np.full(len(active), -1, dtype=np.int64)
    now = trail[-1][active]
    for step in range(len(trail) - 2, -1, -1):
        found[(trail[step][active] == now).all(axis=1)] = step
    return found


def _chatter(
    rest: Rest, plant: Plant, rows: Rows, engine: Engine, trail: list[States],
    cycles: list[tuple[int, int]],
) -> list[tuple[Ints, Pack | Volts]]:  # fmt: skip
    """Mark rows that came back to a state they had left; their volts are the cycle's mean."""
    if not cycles:
        return []
    seen = [_cycle(np.array([s[row] for s in trail[first:-1]])) for row, first in cycles]
    each = np.repeat([row for row, _ in cycles], [len(states) for states in seen])
    found = engine.solution(plant.net, rows.take(each), np.concatenate(seen))
    every, ends = np.arange(plant.net.n + 1), np.cumsum([len(states) for states in seen])
    means = np.empty((len(cycles), plant.net.n + 1))
    all_v = found.at(np.arange(len(each)), every)
    for k, ((row, _), states) in enumerate(zip(cycles, seen, strict=True)):
        v = all_v[ends[k] - len(states) : ends[k]]
        rest.chatter[row], rest.state[row] = True, states[0]
        rest.moving[row] = (states != states[0]).any(axis=0)
        rest.cycles[row] = Cycle(v.copy(), rest.moving[row].copy())
        means[k] = v.mean(axis=0)
    index = np.array([row for row, _ in cycles], dtype=np.int64)
    return [(index, Volts(rest.state[index], means))]


def _cycle(states: States) -> States:
    """The states up to where the first comes back."""
    again = (states[1:] == states[0]).all(axis=1)
    return states[: int(again.argmax()) + 1] if again.any() else states
