"""A circuit as arrays.

Every element is a branch of rank one: a row u of up to three (node, coefficient) pairs, so that
the branch voltage is x = u.v and its current i = g (x - emf) or a law of x. A motor's speed is a
node like any other; a winding reaches it with the coefficient -k. Current is positive into the
first end. Node n (the last column) is the body, 0 V.

Shapes: n nodes without the body, b branches, d devices.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from loomwise.circuit.model import BODY
from loomwise.solver.elimination import Elimination
from loomwise.solver.laws import FILAMENT, LINEAR

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEAK_S = 1e-9
"""Leak from every node to the body that keeps the matrix sound. [S]"""
PARTED_S = 1e-12
"""What is left of a branch that is parted or switched off. [S]"""


@dataclass(frozen=True)
class Branch:
    """One branch before it becomes a row. ``params`` belong to a law other than linear.

    ``device`` and ``states``: conducts only while that device is in one of these states.
    ``scatter`` names what the vehicle's own value of it varies with (see ``parameters``).
    """

    id: str
    terms: tuple[tuple[str, float], ...]
    conductance_s: float = 0.0
    emf_v: float = 0.0
    law: int = LINEAR
    params: tuple[float, float, float, float] = (1.0, 0.0, 1.0, 0.0)
    device: str = ""
    states: tuple[int, ...] = ()
    off_s: float = PARTED_S
    scatter: str = ""


@dataclass(frozen=True)
class Device:
    """Something that switches. ``watch`` names the branch or pins its transitions read.

    ``limits`` by kind: relay (pull-in A, drop-out A), motor (breakaway torque,), diode (knee V,
    blocks at A backwards), fuse (rating A,), breaker (trips at A, closes below V), regulator (set
    V, most A), trip (A,), module (lowest supply V,). ``control`` sets switches and free outputs.
    """

    id: str
    kind: str
    states: tuple[str, ...]
    watch: tuple[str, ...] = ()
    limits: tuple[float, ...] = ()
    control: str = ""


@dataclass(frozen=True)
class Network:
    """Arrays of one compiled circuit; see the module for shapes and signs."""

    nodes: tuple[str, ...]
    node_index: Mapping[str, int]
    branches: tuple[Branch, ...]
    branch_index: Mapping[str, int]
    devices: tuple[Device, ...]
    device_index: Mapping[str, int]
    ends: Ints  # (b, 3) node of each term, the body where there is none
    coefs: Floats  # (b, 3)
    g_on: Floats  # (b,)
    g_off: Floats  # (b,)
    emf: Floats  # (b,)
    law: Ints  # (b,)
    params: Floats  # (b, 4)
    owner: Ints  # (b,) device index, -1 where the branch always conducts
    mask: Ints  # (b,) bit s set: conducts in state s

    @property
    def n(self) -> int:
        """Number of nodes, the body not counted."""
        return len(self.nodes)

    @cached_property
    def bridges(self) -> NDArray[np.bool_]:
        """Which branches (b,) are bridges, idle until an edit makes them."""
        return np.array([b.id.startswith("bridge ") for b in self.branches], dtype=bool)

    @cached_property
    def _whole(self) -> Elimination:
        return Elimination.of(self.n, self.ends, self.coefs)

    @cached_property
    def _unbridged(self) -> Elimination:
        coefs = np.where(self.bridges[:, None], 0.0, self.coefs)
        return Elimination.of(self.n, self.ends, coefs)

    def elimination(self, bridged: bool = True) -> Elimination:
        """How nodal matrices are eliminated; without bridges less fills in."""
        return self._whole if bridged else self._unbridged

    def drop(self, v: Floats) -> Floats:
        """Branch voltages (f, b) of node voltages (f, n + 1) whose last column is the body."""
        result: Floats = (
            v[:, self.ends[:, 0]] * self.coefs[:, 0]
            + v[:, self.ends[:, 1]] * self.coefs[:, 1]
            + v[:, self.ends[:, 2]] * self.coefs[:, 2]
        )
        return result

    @cached_property
    def _meeting(self) -> tuple[Ints, Ints, Ints, Floats]:
        """Branch ends sorted by the node they meet at: branch, first of each node, node, coef."""
        ends, coefs = self.ends.T.ravel(), self.coefs.T.ravel()
        real = np.flatnonzero(coefs)
        order = real[np.argsort(ends[real], kind="stable")]
        nodes, first = np.unique(ends[order], return_index=True)
        return order % len(self.branches), first, nodes, coefs[order]

    def nodal(self, g: Floats) -> Floats:
        """Dense nodal matrices (f, n, n) of branch conductances (f, b), the leaks included."""
        order = self.elimination()
        value = order.entries(g.T, LEAK_S).T
        matrix = np.zeros((len(g), self.n, self.n))
        p, q = order.spots.T
        matrix[:, p, q] = value
        matrix[:, q, p] = value
        return matrix

    def gather(self, i: Floats) -> Floats:
        """Currents leaving each node (f, n + 1) of branch currents (f, b)."""
        branch, first, nodes, coefs = self._meeting
        total = np.zeros((len(i), self.n + 1))
        total[:, nodes] = np.add.reduceat(i[:, branch] * coefs, first, axis=1)
        return total

    def incidence(self) -> Floats:
        """Dense (b, n) incidence, the body's column left out."""
        dense = np.zeros((len(self.branches), self.n + 1))
        rows = np.arange(len(self.branches))
        for t in range(3):
            np.add.at(dense, (rows, self.ends[:, t]), self.coefs[:, t])
        return dense[:, : self.n]


def assemble(
    nodes: tuple[str, ...], branches: tuple[Branch, ...], devices: tuple[Device, ...]
) -> Network:
    """Arrays from branches and devices."""
    node_index = {name: i for i, name in enumerate(nodes)} | {BODY: len(nodes)}
    device_index = {d.id: i for i, d in enumerate(devices)}
    count = len(branches)
    ends = np.full((count, 3), len(nodes), dtype=np.int64)
    coefs = np.zeros((count, 3))
    for row, branch in enumerate(branches):
        for t, (node, coef) in enumerate(branch.terms):
            ends[row, t], coefs[row, t] = node_index[node], coef
    return Network(
        nodes=nodes,
        node_index=node_index,
        branches=branches,
        branch_index={b.id: i for i, b in enumerate(branches)},
        devices=devices,
        device_index=device_index,
        ends=ends,
        coefs=coefs,
        g_on=np.array([b.conductance_s for b in branches]),
        g_off=np.array([b.off_s for b in branches]),
        emf=np.array([b.emf_v for b in branches]),
        law=np.array([b.law for b in branches], dtype=np.int64),
        params=np.array([b.params for b in branches], dtype=float).reshape(count, 4),
        owner=np.array([device_index.get(b.device, -1) for b in branches], dtype=np.int64),
        mask=np.array([sum(1 << s for s in b.states) for b in branches], dtype=np.int64),
    )


def bridge_id(a: str, b: str, lamp: tuple[float, float] | None = None) -> str:
    """Id of the branch that a bridge between two places becomes."""
    return f"bridge {a} {b}" + (f" lamp {lamp[0]:g} {lamp[1]:g}" if lamp else "")


def with_bridges(
    net: Network, pairs: tuple[tuple[str, str, tuple[float, float] | None], ...]
) -> Network:
    """The same network with idle branches where bridges may come; places must exist."""
    fresh = [p for p in dict.fromkeys(pairs) if bridge_id(*p) not in net.branch_index]
    if not fresh:
        return net
    return _append(net, tuple(_bridge(*p) for p in fresh))


def _bridge(a: str, b: str, lamp: tuple[float, float] | None) -> Branch:
    terms = ((a, 1.0), (b, -1.0))
    if lamp is None:
        return Branch(bridge_id(a, b), terms)
    power_w, rated_v = lamp
    params = (rated_v, power_w / rated_v, 12.0, 0.0)
    return Branch(bridge_id(a, b, lamp), terms, law=FILAMENT, params=params)


def _append(net: Network, more: tuple[Branch, ...]) -> Network:
    extra = assemble(net.nodes, more, net.devices)
    return replace(
        net,
        branches=net.branches + more,
        branch_index={b.id: i for i, b in enumerate(net.branches + more)},
        ends=np.concatenate([net.ends, extra.ends]),
        coefs=np.concatenate([net.coefs, extra.coefs]),
        g_on=np.concatenate([net.g_on, extra.g_on]),
        g_off=np.concatenate([net.g_off, extra.g_off]),
        emf=np.concatenate([net.emf, extra.emf]),
        law=np.concatenate([net.law, extra.law]),
        params=np.concatenate([net.params, extra.params]),
        owner=np.concatenate([net.owner, extra.owner]),
        mask=np.concatenate([net.mask, extra.mask]),
    )
