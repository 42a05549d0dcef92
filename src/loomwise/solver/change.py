"""Rows as changes of a few branches of one base: their voltages by a small system each.

A base with conductances g and inverse Z, of which the branches in columns change their current by
w beyond the base's straight lines, has x = x0 - K w with K = A Z A^T. Where the only thing that
holds a piece is parted, 1 + K (g' - g) loses its digits; it is (g' + r) / (g + r) with r what the
rest of the circuit conducts between the branch's ends, which the base knows to all digits.

Shapes: f rows, q columns, l laws.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from loomwise.solver.base import Base
from loomwise.solver.laws import KNEE, LOAD
from loomwise.solver.lines import chord, laws, lines_at
from loomwise.solver.network import PARTED_S, Floats, Ints
from loomwise.solver.rows import Rows, States

CUT_S = 1e-5
"""A branch below this is as good as parted. [S]"""
ENTANGLED = 0.05
"""Parted conductors are independent below this: what they do to each other beside what each does
alone. [-]"""
TINY = 1e-300
SETTLED_V = 1e-9
LAW_MOVED_V, LAW_ERROR_V = 1e-4, 3e-6
"""A law is followed where it moved by more, and its straight line would be further off. [V]"""
SPEED_ERROR = 1e-9
"""The same of a motor: whether it turns at all is a matter of small differences. [-]"""

Which = NDArray[np.bool_]


def columns_of(base: Base, rows: Rows, state: States) -> Ints:
    """Branches (f, q) in which rows may differ from the base, -1 where there are fewer."""
    columns, flips = packed(rows.at), state != base.state
    for d in np.flatnonzero(flips.any(axis=0)).tolist():
        owned = np.flatnonzero(base.net.owner == d)
        columns = joined(columns, np.where(flips[:, d, None], owned[None, :], -1))
    return columns


def joined(columns: Ints, more: Ints) -> Ints:
    """Columns with further ones, none twice in a row."""
    fresh = ~(columns[:, :, None] == more[:, None, :]).any(axis=1)
    return packed(np.concatenate([columns, np.where(fresh, more, -1)], axis=1))


def packed(columns: Ints) -> Ints:
    """Columns moved to the left of their rows, as few as will do."""
    idle = columns < 0
    width = int((~idle).sum(axis=1).max(initial=0))
    order = np.argsort(idle, axis=1, kind="stable")[:, :width]
    return np.asarray(np.take_along_axis(columns, order, axis=1))


@dataclass(frozen=True)
class Change:
    """What rows change in a base. Unused columns are all zeros, but for a share of 1."""

    base: Base
    columns: Ints  # (f, q) -1: unused
    place: Ints  # (f, q) in the base's arrays
    g: Floats  # (f, q) beyond the base's slope; of a law, less the base's slope alone
    j: Floats  # (f, q) beyond the base's current at 0 V
    scale: Floats  # (f, q) share of a law, 0: a straight branch
    line: Floats  # (2, f, q) slope and current at 0 V of the straight branch itself
    k: Floats  # (f, q, q)
    share: Floats  # (f, q) 1 + K (g' - g) of each straight branch alone
    x0: Floats  # (f, q)
    parted: Which  # (f, q) conductors of the base that are parted

    @staticmethod
    def of(base: Base, rows: Rows, state: States, columns: Ints) -> "Change":
        """Find what differs, and gather what it meets in the base."""
        net, use = base.net, columns >= 0
        b = np.where(use, columns, 0)
        g, j, scale = lines_at(net, rows, state, b)
        g = np.where((net.law[b] > 0) & (scale == 0.0), PARTED_S, g)
        use &= (scale > 0.0) | (g != base.g[b]) | (j != base.j[b])
        place = np.zeros_like(b)
        place[use] = base.places(b[use])
        was, rest_s = base.g[b], base.rest_s[place] if base.count else np.zeros(b.shape)
        ends, coefs = net.ends[b], net.coefs[b]
        az = base.az[place[:, None, :, None], ends[:, :, None, :]]
        k = np.einsum("fqt,fqrt->fqr", coefs, az) * (use[:, :, None] & use[:, None, :])
        own = 1.0 + k[:, np.arange(b.shape[1]), np.arange(b.shape[1])] * (g - was)
        share = np.where(use & (g < was), (g + rest_s) / np.maximum(was + rest_s, TINY), own)
        parted = use & (g < CUT_S) & (scale == 0.0) & (was > CUT_S)
        x0 = base.x[place] * use if base.count else np.zeros(b.shape)
        return Change(
            base, np.where(use, columns, -1), place, (g - was) * use, (j - base.j[b]) * use,
            scale * use, np.stack([g * use, j * use]), k, share, x0, parted,
        )  # fmt: skip

    def take(self, index: Ints) -> "Change":
        """The change of some of the rows."""
        names = ("columns", "place", "g", "j", "scale", "k", "share", "x0", "parted")
        some = {name: getattr(self, name)[index] for name in names}
        return replace(self, line=self.line[:, index], **some)

    def voltages(self, w: Floats) -> Floats:
        """Voltages (f, q) of the columns at the currents w."""
        return np.asarray(self.x0 - np.einsum("fqr,fr->fq", self.k, w))

    def extra(self, x: Floats) -> tuple[Floats, Floats]:
        """Current beyond the base's straight line in each column, and its slope (f, q)."""
        w, slope = self.g * x + self.j, self.g
        if (self.scale > 0.0).any():
            value, rise = laws(self.base.net, np.maximum(self.columns, 0), x)
            bent = self.scale > 0.0
            w = np.where(bent, self.scale * value + w, w)
            slope = np.where(bent, np.maximum(self.scale * rise, PARTED_S) + slope, slope)
        return w, slope

    def matrix(self, slope: Floats) -> Floats:
        """1 + K s (f, q, q)."""
        matrix = self.k * slope[:, None, :]
        q = np.arange(slope.shape[1])
        bent = self.scale > 0.0
        matrix[:, q, q] = np.where(bent, 1.0 + matrix[:, q, q], self.share)
        return matrix

    def entangled(self, x: Floats) -> Which:
        """Rows (f,) in which parted conductors depend on each other, as where two of them are all
        that holds a piece: there the digits of each alone will not do. All else that changes is
        allowed for, at the columns' voltages x (f, q)."""
        many = np.flatnonzero(self.parted.sum(axis=1) > 1)
        found = np.zeros(len(self.x0), dtype=bool)
        if len(many):
            part = self.take(many)
            matrix, out = part.matrix(part.extra(x[many])[1]), part.parted
            q = np.arange(matrix.shape[1])
            rest = np.where(out[:, :, None] | out[:, None, :], np.eye(len(q)), matrix)
            toward = np.where(~out[:, :, None] & out[:, None, :], matrix, 0.0)
            back = np.where(out[:, :, None] & ~out[:, None, :], matrix, 0.0)
            matrix = matrix - back @ solved(rest, toward)
            own = np.where(out, np.abs(matrix[:, q, q]), np.inf)
            mutual = np.abs(matrix * matrix.transpose(0, 2, 1))
            mutual[:, q, q] = 0.0
            sizes = np.maximum(own[:, :, None] * own[:, None, :], TINY)
            found[many] = np.sqrt(mutual / sizes).sum(axis=2).max(axis=1) > ENTANGLED
        return found

    def settle(self) -> tuple[Floats, Which]:
        """Voltages (f, q) of the columns by Newton, and which rows (f,) it has brought to an end;
        straight ones are right after one step."""
        x, wild = self.x0.copy(), np.zeros(len(self.x0), dtype=bool)
        was_x, was_w = x.copy(), np.zeros_like(x)
        moving, part = np.arange(len(x)), self
        for _ in range(40):
            w, slope = part.extra(x[moving])
            bent = part.scale > 0.0
            turned = chord(x[moving], w, slope, was_x[moving], was_w[moving])
            slope = np.where(bent, turned, slope)
            was_x[moving], was_w[moving] = x[moving], w
            step = solved(part.matrix(slope), part.gap(x[moving], w)[:, :, None])[:, :, 0]
            x[moving] -= step
            still = (np.abs(step) * bent).max(axis=1, initial=0.0) > SETTLED_V
            if not still.any():
                break
            moving, part = moving[still], part.take(np.flatnonzero(still))
        else:
            wild[moving] = True
        return x, ~wild

    def gap(self, x: Floats, w: Floats) -> Floats:
        """What is missing to x = x0 - K w (f, q)."""
        q = np.arange(x.shape[1])
        own, others = self.k[:, q, q], self.k.copy()
        others[:, q, q] = 0.0
        alone = np.where(self.scale > 0.0, x + own * w, self.share * x + own * self.j)
        return np.asarray(alone + np.einsum("fqr,fr->fq", others, w) - self.x0)


def solved(matrix: Floats, right: Floats) -> Floats:
    """Solutions (f, q, p) of matrices (f, q, q), whose rows may differ by many powers of ten."""
    own = np.diagonal(matrix, axis1=1, axis2=2)[:, :, None]
    if matrix.shape[1] == 1:
        return np.asarray(right / own)
    return np.asarray(np.linalg.solve(matrix / own, right / own))


def followed(base: Base, place: Ints, w: Floats, columns: Ints, parted: Which) -> Ints:
    """Columns with the laws (f, l) that moved so far that they must be columns too, or -1.

    In rows (f,) with something ``parted`` a knee is always followed: what it lets through at its
    knee is little in the base, but may be all that a piece hangs on.
    """
    net, bent = base.net, base.bent
    found = np.full((len(w), len(bent)), -1, dtype=np.int64)
    if not len(bent) or not w.shape[1]:
        return found
    at = base.places(bent)
    top_v = base.top[at]
    moved = np.zeros(found.shape)
    for c in range(w.shape[1]):
        moved -= w[:, c, None] * base.laws[place[:, c]]
    rows = np.flatnonzero((np.abs(moved) > LAW_MOVED_V).any(axis=1))
    if len(rows):
        dx = moved[rows]
        value = base.law_scale * laws(net, bent, base.law_v + dx)[0]
        error_v = np.abs(value - base.law_a - base.g[bent] * dx) * top_v
        own = (columns[rows][:, :, None] == bent).any(axis=1)
        enough = np.where(net.law[bent] == LOAD, SPEED_ERROR, LAW_ERROR_V)
        knees = parted[rows, None] & (net.law[bent] == KNEE) & (np.abs(dx) > LAW_MOVED_V)
        found[rows] = np.where(((error_v > enough) | knees) & ~own, bent, -1)
    return found
