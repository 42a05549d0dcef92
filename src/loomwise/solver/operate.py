"""Solve, let the devices switch, solve again: to a standstill, or to a chatter.

Devices switch by their time scales, the quickest first: diodes, then motors, relays, modules,
and fuses last, so that a motor's first inrush blows nothing and a relay sees a motor that turns.
A row that comes back to a state it has left chatters: the extremes over the cycle are kept.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwise.circuit.fuse_curve import OPENS_FROM_MULTIPLE
from loomwise.solver.brains import Brain, decisions
from loomwise.solver.engines import Engine
from loomwise.solver.lines import lines
from loomwise.solver.network import Device, Floats, Network
from loomwise.solver.rows import Rows, States

ROUNDS = 60
PRIORITY = {"diode": 0, "motor": 1, "relay": 2, "module": 3, "output": 4, "fuse": 5, "switch": 9}
"""Order in which devices follow; a lower class must stand still before a higher one moves."""
SPEED_EPS = 1e-7


@dataclass(frozen=True)
class Plant:
    """A network and the module logic that belongs to it."""

    net: Network
    brains: tuple[Brain, ...]


@dataclass(frozen=True)
class Standstill:
    """Where f rows came to rest. ``low`` and ``high`` differ from ``v`` only where it chatters.

    ``moving`` (f, d) marks the devices that keep switching.
    """

    v: Floats  # (f, n + 1)
    state: States  # (f, d)
    low: Floats
    high: Floats
    chatter: NDArray[np.bool_]
    moving: NDArray[np.bool_]


def operate(plant: Plant, rows: Rows, engine: Engine) -> Standstill:
    """Bring every row to rest from its starting state."""
    net, count = plant.net, len(rows)
    state = rows.start.copy()
    trail = [state.copy()]
    v = np.zeros((count, net.n + 1))
    result = _blank(v, state)
    active = np.arange(count)
    history: list[tuple[NDArray[np.int64], Floats]] = []
    for _ in range(ROUNDS):
        part = rows.take(active)
        v[active] = engine.solve(net, part, state[active], fine=False)
        history.append((active, v[active].copy()))
        fresh = follow(plant, part, state[active], v[active])
        moved = (fresh != state[active]).any(axis=1)
        state[active] = fresh
        trail.append(state.copy())
        active = active[moved]
        again = _returned(trail, active)
        _mark_chatter(result, trail, history, active[again >= 0], again[again >= 0])
        active = active[again < 0]
        if not len(active):
            break
    else:
        _mark_chatter(result, trail, history, active, np.zeros(len(active), dtype=np.int64))
    steady = ~result.chatter
    if steady.any():
        v[steady] = engine.solve(net, rows.take(np.flatnonzero(steady)), state[steady])
    for name in ("v", "low", "high"):
        getattr(result, name)[steady] = v[steady]
    result.state[steady] = state[steady]
    return result


def _blank(v: Floats, state: States) -> Standstill:
    quiet = np.zeros(len(v), dtype=bool)
    return Standstill(
        v.copy(), state.copy(), v.copy(), v.copy(), quiet, np.zeros(state.shape, dtype=bool)
    )


def _returned(trail: list[States], active: NDArray[np.int64]) -> NDArray[np.int64]:
    """For each active row the earliest step whose state it has come back to, or -1."""
    found = np.full(len(active), -1, dtype=np.int64)
    now = trail[-1][active]
    for step in range(len(trail) - 2, -1, -1):
        found[(trail[step][active] == now).all(axis=1)] = step
    return found


def _mark_chatter(
    result: Standstill, trail: list[States], history: list[tuple[NDArray[np.int64], Floats]],
    rows: NDArray[np.int64], since: NDArray[np.int64],
) -> None:  # fmt: skip
    for row, first in zip(rows, since, strict=True):
        cycle = np.array([v[np.searchsorted(index, row)] for index, v in history[first:]])
        states = np.array([s[row] for s in trail[first:]])
        result.chatter[row] = True
        result.moving[row] = (states != states[0]).any(axis=0)
        result.low[row], result.high[row] = cycle.min(axis=0), cycle.max(axis=0)
        result.v[row] = cycle.mean(axis=0)
        result.state[row] = states[0]


def follow(plant: Plant, rows: Rows, state: States, v: Floats) -> States:
    """The next states: only each row's quickest class of devices that wants to move does."""
    net = plant.net
    x = net.drop(v)
    i = lines(net, rows, state).currents(net, x)
    wanted = state.copy()
    decided = decisions(plant.brains, net, v)
    for d, device in enumerate(net.devices):
        limits = rows.limits[:, d].T
        wanted[:, d] = _wanted(net, device, limits, state[:, d], state, x, i, v, decided)
    wanted = np.where(rows.held >= 0, rows.held, wanted).astype(np.int8)
    priority = np.array([PRIORITY[d.kind] for d in net.devices])
    moves = wanted != state
    rank = np.where(moves, priority, 99).min(axis=1, initial=99)
    allowed = moves & (priority == rank[:, None])
    _worst_fuse_only(net, rows, allowed, rank, i)
    return np.where(allowed, wanted, state).astype(np.int8)


def _worst_fuse_only(
    net: Network, rows: Rows, allowed: NDArray[np.bool_], rank: NDArray[np.int64], i: Floats
) -> None:
    """Where several fuses would go, the one furthest over its rating goes first."""
    fuses = np.array([d for d, device in enumerate(net.devices) if device.kind == "fuse"], int)
    at = np.flatnonzero(rank == PRIORITY["fuse"])
    if not len(fuses) or not len(at):
        return
    links = np.array([net.branch_index[net.devices[d].watch[0]] for d in fuses])
    over = np.abs(i[np.ix_(at, links)]) / rows.limits[:, :, 0][np.ix_(at, fuses)]
    over[~allowed[np.ix_(at, fuses)]] = -1.0
    keep = np.zeros_like(over, dtype=bool)
    keep[np.arange(len(at)), over.argmax(axis=1)] = True
    allowed[np.ix_(at, fuses)] &= keep


def _wanted(
    net: Network, device: Device, limits: Floats, now: NDArray[np.int8], state: States,
    x: Floats, i: Floats, v: Floats, decided: dict[str, NDArray[np.bool_]],
) -> NDArray[np.int8]:  # fmt: skip
    if device.kind in ("switch",) or not device.watch:
        return now
    if device.kind == "module":
        supply, ground = (v[:, net.node_index[w]] for w in device.watch)
        return np.asarray(supply - ground >= limits[0], dtype=np.int8)
    if device.kind == "output":
        awake = state[:, net.device_index[device.watch[0]]] == 1
        return np.asarray(awake & decided.get(device.id, now == 1), dtype=np.int8)
    b = net.branch_index[device.watch[0]]
    moved = _SWITCHING[device.kind](now, x[:, b], i[:, b], limits)
    return np.asarray(moved, dtype=np.int8)


def _relay(now: NDArray[np.int8], x: Floats, i: Floats, limits: Floats) -> Floats:
    pull_in_a, drop_out_a = limits[:2]
    amps = np.abs(i)
    return np.where(amps >= pull_in_a, 1, np.where(amps < drop_out_a, 0, now))


def _diode(now: NDArray[np.int8], x: Floats, i: Floats, limits: Floats) -> Floats:
    return np.where(now == 0, x > limits[0], i >= 0.0)


def _fuse(now: NDArray[np.int8], x: Floats, i: Floats, limits: Floats) -> Floats:
    return np.where((now == 1) | (np.abs(i) >= OPENS_FROM_MULTIPLE * limits[0]), 1, 0)


def _motor(now: NDArray[np.int8], x: Floats, i: Floats, limits: Floats) -> Floats:
    breakaway = limits[0]
    from_rest = np.where(i > breakaway, 1, np.where(i < -breakaway, 2, 0))
    forward, reverse = np.where(x > SPEED_EPS, 1, 0), np.where(x < -SPEED_EPS, 2, 0)
    return np.select([now == 0, now == 1], [from_rest, forward], reverse)


_SWITCHING = {"relay": _relay, "diode": _diode, "fuse": _fuse, "motor": _motor}
