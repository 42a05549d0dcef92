"""Pieces that hang loose: their volts by what flows to and from them as a whole.

Where a conductor is parted that alone held a piece, the piece hangs on its leaks, and a change of a
base gives its volts to no more than the digits that the leaks have left in the inverse. What the
branch does to the nodes is one volt for all of the piece; how many volts it must be follows from
the currents across the piece's border, none of which is a difference of large ones.
Shapes: f rows, q columns, s parted conductors of a row, a branches of the base that conduct.
"""

import numpy as np

from loomwise.solver.base import Base
from loomwise.solver.change import CUT_S, Change, Which, solved
from loomwise.solver.lines import laws
from loomwise.solver.network import LEAK_S, Floats, Ints

LOOSE = 1e-6
"""A parted conductor held a piece if so little of its conductance leads round it. [-]"""
TOUCHED = 1e-3
"""A branch touches a piece that moves if it sees this share of the piece's volts. [-]"""
NUMBERS = 2_000_000
"""Numbers worked on at once, which bounds the memory. [-]"""


def loosens(change: Change) -> Which:
    """Parted conductors (f, q) that alone held a piece."""
    return change.parted & (change.share < LOOSE)


def rejoined(change: Change) -> Which:
    """Rows (f,) in which something joins the piece that comes loose, or what it hung on, to what
    the base had apart: which piece moves then is not seen from the base."""
    use, q = change.columns >= 0, np.arange(change.columns.shape[1])
    joins = use & (change.base.g[np.where(use, change.columns, 0)] < CUT_S)
    joins &= change.line[0] >= CUT_S
    own = np.abs(change.k[:, q, q])
    touched = np.abs(change.k) > TOUCHED * own[:, :, None]
    both = loosens(change)[:, :, None] & joins[:, None, :] & touched
    return np.asarray(both.any(axis=(1, 2)))


def balanced(change: Change, w: Floats) -> Floats:
    """The currents (f, q) beyond the base's, with every loose piece in balance."""
    loose = loosens(change)
    rows, w = np.flatnonzero(loose.any(axis=1)), w.copy()
    most = int(loose.sum(axis=1).max(initial=1))
    size = max(1, NUMBERS // (most * (change.base.net.n + 4 * len(change.base.live))))
    for first in range(0, len(rows), size):
        some = rows[first : first + size]
        part = change.take(some)
        order = np.argsort(~loose[some], axis=1, kind="stable")[:, :most]
        use = np.take_along_axis(loose[some], order, axis=1)
        w[some] -= _missing(part, w[some], order, use)
    return w


def _missing(change: Change, w: Floats, order: Ints, use: Which) -> Floats:
    """By how much the currents (f, q) must be less; ``order`` (f, s) are the parted columns."""
    base, f = change.base, np.arange(len(w))[:, None]
    columns = np.where(change.columns >= 0, change.columns, 0)
    own = np.where(use, change.k[f, order, order], 1.0)
    u = base.az[change.place[f, order]] * (use / own)[:, :, None]
    v = base.v - np.einsum("fq,fqn->fn", w, base.az[change.place])
    du, x = _drops(base, u, base.live), _drops(base, v, base.live)
    at = np.searchsorted(base.live, columns).clip(0, len(base.live) - 1)
    row, column = np.nonzero((base.live[at] == columns) & (change.columns >= 0))
    du[row, :, at[row, column]] = 0.0
    du_c = np.stack([_drops(base, u[:, k], columns, f) for k in range(use.shape[1])], axis=1)
    i_c, slope_c = _currents(change, columns, _drops(base, v, columns, f), w)
    g, j = base.g[base.live], base.j[base.live]
    missing = -(du @ (g * x + j)[:, :, None])[:, :, 0] - LEAK_S * (u @ v[:, :, None])[:, :, 0]
    missing -= (du_c @ i_c[:, :, None])[:, :, 0]
    held = (du * g) @ du.transpose(0, 2, 1) + LEAK_S * (u @ u.transpose(0, 2, 1))
    held += (du_c * slope_c[:, None, :]) @ du_c.transpose(0, 2, 1)
    s = np.arange(use.shape[1])
    held[:, s, s] += ~use
    less = np.zeros_like(w)
    np.add.at(less, (f, order), solved(held, missing[:, :, None])[:, :, 0] / own * use)
    return less


def _drops(base: Base, v: Floats, branches: Ints, f: Ints | None = None) -> Floats:
    """Voltages of branches (a,) at node values (..., n + 1); with ``f`` of (f, a) at (f, n + 1)."""
    ends, coefs = base.net.ends[branches], base.net.coefs[branches]
    if f is not None:
        return np.asarray((v[f[:, :, None], ends] * coefs).sum(axis=2))
    return np.asarray(
        v[..., ends[:, 0]] * coefs[:, 0]
        + v[..., ends[:, 1]] * coefs[:, 1]
        + v[..., ends[:, 2]] * coefs[:, 2]
    )


def _currents(change: Change, columns: Ints, x: Floats, w: Floats) -> tuple[Floats, Floats]:
    """Currents and slopes (f, q) of the columns: of parted ones by their voltage, of the others by
    what they carry beyond the base, since a small error of their voltage is a large current."""
    base, (g, j) = change.base, change.line
    bent = change.scale > 0.0
    rise = laws(base.net, columns, x)[1]
    carried = base.g[columns] * x + base.j[columns] + w
    i = np.where(change.parted, g * x + j, np.where(change.columns >= 0, carried, 0.0))
    return i, np.where(bent, change.scale * rise, g)
