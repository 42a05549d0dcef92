"""What a row's branches are in given device states: straight lines and laws, and their balance."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwise.solver.laws import FILAMENT, filament, load
from loomwise.solver.network import LEAK_S, PARTED_S, Floats, Ints, Network
from loomwise.solver.rows import Rows, States


def conducting(net: Network, state: States) -> NDArray[np.bool_]:
    """Which branches conduct (f, b) in device states (f, d)."""
    if not net.devices:
        return np.ones((len(state), len(net.branches)), dtype=bool)
    bits = (net.mask >> state[:, net.owner].astype(np.int64)) & 1
    return np.asarray((net.owner < 0) | (bits == 1))


def laws(net: Network, columns: Ints, x: Floats) -> tuple[Floats, Floats]:
    """Current and slope of branches that follow a law.

    ``columns`` (l,) or (f, l) name them, ``x`` (f, l) are their voltages (speeds for loads).
    """
    params, is_lamp = net.params[columns], net.law[columns] == FILAMENT
    i_lamp, s_lamp = filament(x, np.where(is_lamp[..., None], params, 1.0))
    i_load, s_load = load(x, params)
    return np.where(is_lamp, i_lamp, i_load), np.where(is_lamp, s_lamp, s_load)


@dataclass(frozen=True)
class Lines:
    """Straight-line values of rows in given states: i = g (x - emf), and the laws' columns."""

    g: Floats  # (f, b)
    j: Floats  # (f, b) i at x = 0
    bent: Ints  # (l,) columns that follow a law
    scale: Floats  # (f, l), 0 where the branch does not conduct

    def take(self, rows: NDArray[np.bool_] | Ints) -> "Lines":
        """The lines of some of the rows."""
        return Lines(self.g[rows], self.j[rows], self.bent, self.scale[rows])

    def currents(self, net: Network, x: Floats) -> Floats:
        """Branch currents (f, b) at branch voltages x (f, b)."""
        i = self.g * x + self.j
        if len(self.bent):
            i[:, self.bent] = self.scale * laws(net, self.bent, x[:, self.bent])[0]
        return i


def lines(net: Network, rows: Rows, state: States) -> Lines:
    """What the rows' branches are in these states."""
    on = conducting(net, state)
    g = np.where(on, rows.g_on, rows.g_off)
    bent = np.flatnonzero(net.law)
    g[:, bent] = 0.0
    return Lines(g, np.where(on, -rows.g_on * rows.emf, 0.0), bent, (rows.scale * on)[:, bent])


def imbalance(net: Network, at: Lines, v: Floats) -> Floats:
    """Current missing at each node (f, n); computed from branch voltages, so it keeps digits."""
    i = at.currents(net, net.drop(v))
    return np.asarray(-(net.gather(i) + LEAK_S * v)[:, :-1])


def slopes(net: Network, at: Lines, v: Floats) -> Floats:
    """Small-signal conductances (f, b) at node values v."""
    g = at.g.copy()
    if len(at.bent):
        x = (v[:, net.ends[at.bent]] * net.coefs[at.bent]).sum(axis=2)
        g[:, at.bent] = np.maximum(at.scale * laws(net, at.bent, x)[1], PARTED_S)
    return g


def jacobian(net: Network, at: Lines, v: Floats) -> Floats:
    """Small-signal nodal matrices (f, n, n) at node values v."""
    return net.nodal(slopes(net, at, v))


def groups(state: NDArray[np.int8] | NDArray[np.uint8]) -> list[NDArray[np.int64]]:
    """Row indices of equal device states."""
    if not state.size:
        return [np.arange(len(state))] if len(state) else []
    packed = np.ascontiguousarray(state).view(f"V{state.shape[1]}").ravel()
    _, which = np.unique(packed, return_inverse=True)
    order = np.argsort(which, kind="stable")
    return np.split(order, np.flatnonzero(np.diff(which[order])) + 1)
