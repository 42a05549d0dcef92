"""One network in one device state, solved: what rows that differ in a few branches depart from.

What a branch does to the nodes (a row of A Z) is worked out when it is first asked for, so that
memory and time follow what is asked, not the size of the circuit.
Shapes: n nodes, b branches, m branches asked for so far.
"""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from loomwise.edits import Edit
from loomwise.solver.direct import bridged, newton
from loomwise.solver.elimination import Factor
from loomwise.solver.lines import lines, slopes
from loomwise.solver.network import LEAK_S, Floats, Ints, Network
from loomwise.solver.rows import States, make_rows

SPARE = 64
AT_ONCE = 256
"""Branches worked on at once, which bounds the memory. [-]"""


@dataclass
class Base:
    """A solved network. The body's column of all node arrays is zero."""

    net: Network
    state: States  # (d,)
    common: tuple[Edit, ...]
    v: Floats  # (n + 1,)
    g: Floats  # (b,) slopes
    j: Floats  # (b,) so that i = g x + j to first order
    law_scale: Floats  # (1, l) shares of the laws that flow
    factor: Factor
    slot: Ints  # (b,) place of a branch in the arrays below, -1: not asked for yet
    az: Floats  # (m or more, n + 1)
    count: int = 0
    top: Floats = field(default_factory=lambda: np.zeros(0))  # (m,) largest of |A Z|
    laws: Floats = field(default_factory=lambda: np.zeros((0, 0)))  # (m, l) drop at the laws
    rest_s: Floats = field(default_factory=lambda: np.zeros(0))  # (m,) of the circuit without it
    x: Floats = field(default_factory=lambda: np.zeros(0))  # (m,) voltage by balance of currents

    @property
    def size(self) -> int:
        """Bytes held."""
        return self.az.nbytes + self.factor.size + self.laws.nbytes + 5 * self.g.nbytes

    @cached_property
    def bent(self) -> Ints:
        """Branches that follow a law."""
        return np.flatnonzero(self.net.law)

    @cached_property
    def law_v(self) -> Floats:
        """Voltages at the laws (1, l)."""
        ends, coefs = self.net.ends[self.bent], self.net.coefs[self.bent]
        return np.asarray((self.v[ends] * coefs).sum(axis=1)[None])

    @cached_property
    def law_a(self) -> Floats:
        """Currents at the laws (1, l)."""
        return np.asarray(self.g[self.bent] * self.law_v + self.j[self.bent])

    def places(self, branches: Ints) -> Ints:
        """Places of branches, worked out where they are new."""
        fresh = np.unique(branches[self.slot[branches] < 0])
        for some in np.array_split(fresh, -(-len(fresh) // AT_ONCE)) if len(fresh) else ():
            self._add(some)
        return self.slot[branches]

    def _add(self, some: Ints) -> None:
        net, first, end = self.net, self.count, self.count + len(some)
        if end > len(self.az):
            wider = np.zeros((end + SPARE, net.n + 1))
            wider[:first] = self.az[:first]
            self.az = wider
        self.az[first:end, :-1] = self.factor.solve(_columns(net, some)).T
        new = self.az[first:end]
        self.slot[some], self.count = np.arange(first, end), end
        at_laws = (new[:, net.ends[self.bent]] * net.coefs[self.bent]).sum(axis=2)
        rest_s, x = self._alone(some, new)
        self.top = np.concatenate([self.top, np.abs(new).max(axis=1)])
        self.laws = np.concatenate([self.laws.reshape(first, len(self.bent)), at_laws])
        self.rest_s, self.x = np.concatenate([self.rest_s, rest_s]), np.concatenate([self.x, x])

    @cached_property
    def live(self) -> Ints:
        """Branches that conduct at all."""
        return np.flatnonzero(self.g > 0.0)

    def _alone(self, some: Ints, az: Floats) -> tuple[Floats, Floats]:
        """Conductance that the rest of the circuit has between each branch's ends, and the
        branch's voltage; both keep their digits where the branch is all that holds a piece.

        With u the potentials that one volt across the branch makes, the conductance is u's
        energy, and the branch's current what u's balance of all other currents leaves for it.
        """
        net, live = self.net, self.live
        own = (az[np.arange(len(some))[:, None], net.ends[some]] * net.coefs[some]).sum(axis=1)
        u = az / np.where(own > 0.0, own, 1.0)[:, None]
        drop = (u[:, net.ends[live].T] * net.coefs[live].T).sum(axis=1)
        drop[some[:, None] == live] = 0.0
        energy = (drop * drop) @ self.g[live] + LEAK_S * (u * u).sum(axis=1)
        x = (self.v[net.ends[live]] * net.coefs[live]).sum(axis=1)
        amps = -(drop @ (self.g[live] * x + self.j[live]) + LEAK_S * (u @ self.v))
        at = (self.v[net.ends[some]] * net.coefs[some]).sum(axis=1)
        g = self.g[some]
        held = g > energy
        return energy, np.where(held, (amps - self.j[some]) / np.where(held, g, 1.0), at)


def _columns(net: Network, some: Ints) -> Floats:
    """Columns (n, s) of what one ampere through each branch takes from the nodes."""
    right = np.zeros((net.n + 1, len(some)))
    for t in range(net.ends.shape[1]):
        np.add.at(right, (net.ends[some, t], np.arange(len(some))), net.coefs[some, t])
    return right[:-1]


def make_base(net: Network, state: States, common: tuple[Edit, ...], near: Floats | None) -> Base:
    """Solve the network with only the shared edits in one device state (d,).

    ``near`` (n + 1,) is where to begin.
    """
    rows = make_rows(net, state, [common])
    at = lines(net, rows, state[None, :])
    start = np.zeros((1, net.n + 1)) if near is None else near[None, :].copy()
    v = newton(net, at, start)
    g, x = slopes(net, at, v), net.drop(v)
    factor = net.elimination(bridged(net, g)).factor(g.T, LEAK_S)
    j = (at.currents(net, x) - g * x)[0]
    slot = np.full(len(net.branches), -1, dtype=np.int64)
    return Base(
        net, state, common, v[0], g[0], j, at.scale, factor, slot, np.zeros((SPARE, net.n + 1))
    )
