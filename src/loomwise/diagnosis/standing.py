"""How rows of a table come to rest in a setup: from the healthy circuit's states, from the setup
before, or with relays held in.

Shapes: f rows asked for, d devices.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from loomwise.circuit.model import BODY
from loomwise.edits import Bridge
from loomwise.solver.engines import Engine
from loomwise.solver.network import Floats, Ints, Network
from loomwise.solver.operate import Cycle, Plant, Rest, come_to_rest
from loomwise.solver.respond import currents_at
from loomwise.solver.rows import Rows, States
from loomwise.solver.solution import Pack, Solution, Volts

AT_ONCE = 4500
"""Rows brought to rest at once, which bounds the memory. [-]"""
Which = NDArray[np.bool_]


def devices_of(net: Network, kind: str) -> Ints:
    """The devices of a kind."""
    return np.array([d for d, x in enumerate(net.devices) if x.kind == kind], dtype=np.int64)


def at_rest(plant: Plant, rows: Rows, engine: Engine, again: States | None = None) -> Rest:
    """Bring rows to rest, some at a time.

    ``again`` (f or 1, d) is where rows begin anew in which only its hysteresis holds a relay in: on
    the vehicle that is reached from rest.
    """
    parts = []
    for index in np.array_split(np.arange(len(rows)), -(-len(rows) // AT_ONCE) or 1):
        some = rows.take(index)
        rest = come_to_rest(plant, some, engine)
        if again is not None:
            held = np.flatnonzero(only_held(plant.net, some, rest))
            if len(held):
                begin = again[index[held]] if len(again) > 1 else again
                anew = some.take(held).starting(begin)
                rest = replaced(rest, held, come_to_rest(plant, anew, engine))
        parts.append(rest)
    return parts[0] if len(parts) == 1 else _joined(parts)


def device_amps(net: Network, rows: Rows, rest: Rest, devices: Ints) -> Floats:
    """Current (f, r) that each device looks at, a relay's in its coil, without its sign."""
    at = np.array([net.branch_index[net.devices[d].watch[0]] for d in devices], dtype=np.int64)
    nodes = np.unique(net.ends[at])
    v = np.zeros((len(rows), net.n + 1))
    v[:, nodes] = rest.solution.at(np.arange(len(rows)), nodes)
    return np.abs(currents_at(net, rows, rest.state, v, at)[0])


def only_held(net: Network, rows: Rows, rest: Rest) -> Which:
    """Rows (f,) where a relay is in although its coil's current would not pull it in."""
    relays = devices_of(net, "relay")
    amps = device_amps(net, rows, rest, relays)
    held = (rest.state[:, relays] == 1) & (rows.held[:, relays] < 0)
    weak = held & (amps < rows.limits_of(relays)[:, :, 0]) if len(relays) else held
    return np.asarray(rest.chatter | weak.any(axis=1))


def in_hysteresis(net: Network, rows: Rows, rest: Rest) -> Which:
    """Rows (f,) where the coil of a relay that is out carries enough to keep it in."""
    relays = devices_of(net, "relay")
    if not len(relays):
        return np.zeros(len(rows), dtype=bool)
    amps = device_amps(net, rows, rest, relays)
    out = (rest.state[:, relays] == 0) & (rows.held[:, relays] < 0)
    return np.asarray((out & (amps >= rows.limits_of(relays)[:, :, 1])).any(axis=1))


def joins_two(edits: Sequence[object]) -> bool:
    """Whether a fault joins two conductors, neither of them the body."""
    return any(isinstance(e, Bridge) and BODY not in (e.a, e.b) for e in edits)


def pulled_in(net: Network, state: States) -> States:
    """The states (f, d) with every relay in."""
    pulled = state.copy()
    pulled[:, devices_of(net, "relay")] = 1
    return pulled


def replaced(rest: Rest, index: Ints, other: Rest, of: Ints | None = None) -> Rest:
    """A rest with some of its rows taken from rows ``of`` (all if None) of another."""
    of = np.arange(len(index)) if of is None else of
    left = np.setdiff1d(np.arange(len(rest.state)), index)
    parts: list[tuple[Ints, Pack | Volts]] = [
        *((left[where], pack) for where, pack in rest.solution.parts(left)),
        *((index[where], pack) for where, pack in other.solution.parts(of)),
    ]
    state, chatter, moving = rest.state.copy(), rest.chatter.copy(), rest.moving.copy()
    state[index], chatter[index] = other.state[of], other.chatter[of]
    moving[index] = other.moving[of]
    new, gone = other.cycles, set(index.tolist())
    cycles = {k: cycle for k, cycle in rest.cycles.items() if k not in gone}
    cycles |= {int(index[k]): new[int(o)] for k, o in enumerate(of) if int(o) in new}
    return Rest(Solution.of(parts, len(state)), state, chatter, moving, cycles)


def part_of(rest: Rest, index: Ints) -> Rest:
    """Some rows of a rest."""
    cycles = {k: rest.cycles[int(r)] for k, r in enumerate(index) if int(r) in rest.cycles}
    return Rest(
        Solution.of(rest.solution.parts(index), len(index)), rest.state[index],
        rest.chatter[index], rest.moving[index], cycles,
    )  # fmt: skip


def _joined(rests: Sequence[Rest]) -> Rest:
    parts, cycles, first = list[tuple[Ints, Pack | Volts]](), dict[int, Cycle](), 0
    for rest in rests:
        everyone = np.arange(len(rest.state))
        parts += [(where + first, pack) for where, pack in rest.solution.parts(everyone)]
        cycles |= {k + first: cycle for k, cycle in rest.cycles.items()}
        first += len(rest.state)
    state, chatter, moving = (
        np.concatenate([getattr(r, name) for r in rests]) for name in ("state", "chatter", "moving")
    )
    return Rest(Solution.of(parts, first), state, chatter, moving, cycles)
