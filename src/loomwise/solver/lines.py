"""What a row's branches are in given device states: straight lines and laws, and their balance."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwise.solver.laws import LAWS
from loomwise.solver.network import LEAK_S, PARTED_S, Floats, Ints, Network
from loomwise.solver.rows import EMF, G_OFF, G_ON, SCALE, Rows, States


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
    law, params = net.law[columns], net.params[columns]
    i, slope = np.zeros(x.shape), np.zeros(x.shape)
    for number, curve in LAWS.items():
        its = law == number
        if its.any():
            own_i, own_slope = curve(x, np.where(its[..., None], params, 1.0))
            i, slope = np.where(its, own_i, i), np.where(its, own_slope, slope)
    return i, slope


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
    g_on, g_off, emf, scale = rows.all_values()
    g = np.where(on, g_on, g_off)
    bent = np.flatnonzero(net.law)
    g[:, bent] = 0.0
    return Lines(g, np.where(on, -g_on * emf, 0.0), bent, (scale * on)[:, bent])


def lines_at(net: Network, rows: Rows, state: States, columns: Ints) -> tuple[Floats, ...]:
    """Slope, current at 0 V and share of a law (each (f, c)) of some branches: (c,) or (f, c)."""
    columns = np.broadcast_to(columns, (len(rows), columns.shape[-1]))
    owner = net.owner[columns]
    on = owner < 0
    if net.devices:
        number = np.take_along_axis(state, np.maximum(owner, 0), axis=1)
        on |= (net.mask[columns] >> number.astype(np.int64)) & 1 == 1
    value = rows.values(columns)
    straight = net.law[columns] == 0
    g = np.where(straight, np.where(on, value[..., G_ON], value[..., G_OFF]), 0.0)
    j = np.where(on, -value[..., G_ON] * value[..., EMF], 0.0)
    return g, j, np.where(straight, 0.0, value[..., SCALE] * on)


def imbalance(net: Network, at: Lines, v: Floats) -> Floats:
    """Current missing at each node (f, n); computed from branch voltages, so it keeps digits."""
    i = at.currents(net, net.drop(v))
    return np.asarray(-(net.gather(i) + LEAK_S * v)[:, :-1])


def slopes(net: Network, at: Lines, v: Floats, before: Floats | None = None) -> Floats:
    """Small-signal conductances (f, b) at node values v.

    Where a law's voltage has changed its sign since ``before`` its chord between the two: Newton's
    tangent would throw a filament with hardly any current to and fro.
    """
    g = at.g.copy()
    if len(at.bent):
        ends, coefs = net.ends[at.bent], net.coefs[at.bent]
        x = (v[:, ends] * coefs).sum(axis=2)
        i, slope = laws(net, at.bent, x)
        if before is not None:
            was = (before[:, ends] * coefs).sum(axis=2)
            slope = chord(x, i, slope, was, laws(net, at.bent, was)[0])
        g[:, at.bent] = np.maximum(at.scale * slope, PARTED_S)
    return g


def chord(x: Floats, i: Floats, slope: Floats, was_x: Floats, was_i: Floats) -> Floats:
    """The slope, or that of the chord where x has changed its sign."""
    turned = x * was_x < 0.0
    return np.where(turned, (i - was_i) / np.where(turned, x - was_x, 1.0), slope)


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
