"""Which devices switch next, seen from what each of them looks at.

Devices switch by their time scales, the quickest first: diodes, then motors, relays, modules,
trips and breakers, and fuses last, so that a motor's first inrush blows nothing and a relay sees a
motor that turns.
Shapes: f rows, d devices, w devices that look at a branch.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwise.circuit.fuse_curve import OPENS_FROM_MULTIPLE
from loomwise.solver.brains import Brain, decisions
from loomwise.solver.lines import laws, lines_at
from loomwise.solver.network import Floats, Ints, Network
from loomwise.solver.rows import Rows, States

PRIORITY = {
    **{"diode": 0, "regulator": 0, "motor": 1, "relay": 2, "module": 3, "output": 4},
    **{"trip": 5, "breaker": 6, "fuse": 7, "switch": 9},
}
"""Order in which devices follow; a lower class must stand still before a higher one moves."""
SPEED_EPS = 1e-7
NEVER = 99
Which = NDArray[np.bool_]


@dataclass(frozen=True)
class Watched:
    """What devices look at: branches of those that look at one, and all nodes that matter."""

    devices: dict[str, Ints]  # by kind, those that look at a branch
    columns: dict[str, Ints]  # by kind, which of ``branches`` each looks at
    branches: Ints  # (w,)
    nodes: Ints
    priority: Ints  # (d,)
    drawn_limits: Floats  # (d, l)

    def singular(self, net: Network, rows: Rows) -> Which:
        """Rows (f,) in which a device is held, switches elsewhere, or its own branch is edited."""
        plain = np.array([np.array_equal(s, self.drawn_limits) for s in rows.limit_sets])
        own = np.zeros(len(net.branches) + 1, dtype=bool)
        own[self.branches] = True
        return np.asarray(
            (rows.held >= 0).any(axis=1) | ~plain[rows.limit_set] | own[rows.at].any(axis=1)
        )


def watch_nodes(net: Network, brains: tuple[Brain, ...]) -> Watched:
    """What the devices and the modules' logic look at."""
    branches, nodes = list[int](), set[int]()
    devices: dict[str, list[int]] = {kind: [] for kind in SWITCHING}
    columns: dict[str, list[int]] = {kind: [] for kind in SWITCHING}
    for d, device in enumerate(net.devices):
        if device.kind in SWITCHING:
            devices[device.kind].append(d)
            columns[device.kind].append(len(branches))
            branches.append(net.branch_index[device.watch[0]])
        elif device.kind == "module":
            nodes |= {net.node_index[w] for w in device.watch}
    for brain in brains:
        nodes.add(net.node_index[brain.ground])
        nodes |= {net.node_index[f"{brain.part.id}.{pin}"] for pin in brain.part.module_pins}
    at = np.array(branches, dtype=np.int64)
    nodes |= set(net.ends[at].ravel().tolist())
    width = max((len(d.limits) for d in net.devices), default=0)
    limits = np.zeros((len(net.devices), width))
    for d, device in enumerate(net.devices):
        limits[d, : len(device.limits)] = device.limits
    return Watched(
        {k: np.array(v, dtype=np.int64) for k, v in devices.items()},
        {k: np.array(v, dtype=np.int64) for k, v in columns.items()},
        at, np.array(sorted(nodes - {net.n}), dtype=np.int64),
        np.array([PRIORITY[d.kind] for d in net.devices], dtype=np.int64), limits,
    )  # fmt: skip


def follow(
    net: Network, brains: tuple[Brain, ...], watched: Watched, rows: Rows, state: States, v: Floats
) -> States:
    """The next states: only each row's quickest class of devices that wants to move does.

    ``v`` (f, n + 1) need be right at the watched nodes only.
    """
    at = watched.branches
    x = (v[:, net.ends[at].T] * net.coefs[at].T).sum(axis=1)
    g, j, scale = lines_at(net, rows, state, at)
    i = g * x + j
    if net.law[at].any():
        i = np.where(net.law[at] > 0, scale * laws(net, at, x)[0], i)
    wanted, limits = state.copy(), rows.limits
    for kind, moved in SWITCHING.items():
        d, c = watched.devices[kind], watched.columns[kind]
        if len(d):
            wanted[:, d] = moved(state[:, d], x[:, c], i[:, c], limits[:, d])
    _modules(net, brains, state, v, limits, wanted)
    wanted = np.where(rows.held >= 0, rows.held, wanted).astype(np.int8)
    moves = wanted != state
    rank = np.where(moves, watched.priority, NEVER).min(axis=1, initial=NEVER)
    allowed = moves & (watched.priority == rank[:, None])
    _worst_fuse_only(watched, limits, allowed, rank, i)
    return np.where(allowed, wanted, state).astype(np.int8)


def _worst_fuse_only(
    watched: Watched, limits: Floats, allowed: Which, rank: Ints, i: Floats
) -> None:
    """Where several fuses would go, the one furthest over its rating goes first."""
    fuses, at = watched.devices["fuse"], np.flatnonzero(rank == PRIORITY["fuse"])
    if not len(fuses) or not len(at):
        return
    here = np.ix_(at, fuses)
    over = np.abs(i[np.ix_(at, watched.columns["fuse"])]) / limits[:, :, 0][here]
    over[~allowed[here]] = -1.0
    keep = np.zeros_like(over, dtype=bool)
    keep[np.arange(len(at)), over.argmax(axis=1)] = True
    allowed[here] &= keep


def _modules(
    net: Network, brains: tuple[Brain, ...], state: States, v: Floats, limits: Floats,
    wanted: States,
) -> None:  # fmt: skip
    """Modules wake by their supply; outputs do what an awake module decides."""
    decided = decisions(brains, net, v)
    for d, device in enumerate(net.devices):
        if device.kind == "module":
            supply, ground = (v[:, net.node_index[w]] for w in device.watch)
            wanted[:, d] = supply - ground >= limits[:, d, 0]
        elif device.kind == "output":
            awake = state[:, net.device_index[device.watch[0]]] == 1
            on = decided.get(device.id, state[:, d] == 1)
            asleep = device.states.index("asleep") if "asleep" in device.states else 0
            wanted[:, d] = np.where(awake, on, asleep)
        elif device.kind == "trip":  # resets when its output is switched off
            wanted[:, d] &= state[:, net.device_index[device.watch[1]]] == 1


def _relay(now: States, x: Floats, i: Floats, limits: Floats) -> Floats:
    amps = np.abs(i)
    return np.where(amps >= limits[..., 0], 1, np.where(amps < limits[..., 1], 0, now))


def _diode(now: States, x: Floats, i: Floats, limits: Floats) -> Floats:
    return np.where(now == 0, x > limits[..., 0], i >= -limits[..., 1])


def _fuse(now: States, x: Floats, i: Floats, limits: Floats) -> Floats:
    return np.where((now == 1) | (np.abs(i) >= OPENS_FROM_MULTIPLE * limits[..., 0]), 1, 0)


def _motor(now: States, x: Floats, i: Floats, limits: Floats) -> Floats:
    breakaway = limits[..., 0]
    from_rest = np.where(i > breakaway, 1, np.where(i < -breakaway, 2, 0))
    forward, reverse = np.where(x > SPEED_EPS, 1, 0), np.where(x < -SPEED_EPS, 2, 0)
    return np.select([now == 0, now == 1], [from_rest, forward], reverse)


def _trip(now: States, x: Floats, i: Floats, limits: Floats) -> Floats:
    return np.where((now == 1) | (np.abs(i) >= limits[..., 0]), 1, 0)


def _breaker(now: States, x: Floats, i: Floats, limits: Floats) -> Floats:
    still_open = np.where(np.abs(x) < limits[..., 1], 0, 1)
    return np.where(now == 0, np.abs(i) >= limits[..., 0], still_open)


def _regulator(now: States, x: Floats, i: Floats, limits: Floats) -> Floats:
    """0 regulating, 1 at its limit, 2 idle: something else holds the voltage up."""
    set_v, most_a = limits[..., 0], limits[..., 1]
    holding = np.where(-i > most_a, 1, np.where(i > 0.0, 2, 0))
    return np.select(
        [now == 0, now == 1], [holding, np.where(x > set_v, 0, 1)], np.where(x < set_v, 0, 2)
    )


SWITCHING: dict[str, Callable[[States, Floats, Floats, Floats], Floats]] = {
    "relay": _relay, "diode": _diode, "fuse": _fuse, "motor": _motor, "trip": _trip,
    "breaker": _breaker, "regulator": _regulator,
}  # fmt: skip
