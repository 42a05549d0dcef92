"""Two ways to solve the same rows for given device states.

``Direct`` factors every row's own matrix. ``LowRank`` groups rows by device state and solves each
group as a change of small rank on one base inverse, with iterative refinement: fast, and within
1 mV of the direct way. Cutting an island off a base cancels digits; refinement brings them back,
and a row where it does not is solved directly.
"""

from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from loomwise.edits import Edit
from loomwise.solver.lines import Lines, groups, imbalance, jacobian, laws, lines, slopes
from loomwise.solver.network import PARTED_S, Floats, Ints, Network
from loomwise.solver.pieces import CUT_S, piece_error_v
from loomwise.solver.rows import Rows, States, make_rows

TOLERANCE_V = 1e-10
DIRECT_CHUNK = 128
OWN_BASE_ROWS = 24
MOST_BASES = 400
"""Inverses kept, the oldest going first: 0.25 MB each at 170 nodes. [-]"""
LOOSE_ERROR_V = 2e-4
"""A row that may be further off than this where a piece hangs loose is solved directly. [V]"""


class Engine(Protocol):
    """Solves rows for fixed device states."""

    def solve(self, net: Network, rows: Rows, state: States, fine: bool = True) -> Floats:
        """Node values (f, n + 1); the last column is the body at 0.

        Not ``fine``: good enough to see which devices switch.
        """
        ...


class Direct:
    """Every row by its own matrix; Newton on the laws. Residuals to rounding."""

    def solve(self, net: Network, rows: Rows, state: States, fine: bool = True) -> Floats:
        """See ``Engine``; always fine."""
        parts = [
            self._chunk(net, rows.take(index), state[index])
            for index in np.array_split(np.arange(len(rows)), -(-len(rows) // DIRECT_CHUNK))
        ]
        return np.concatenate(parts)

    def _chunk(self, net: Network, rows: Rows, state: States) -> Floats:
        at = lines(net, rows, state)
        v = np.zeros((len(rows), net.n + 1))
        for _ in range(80):
            before = v[:, :-1].copy()
            v = self._step(net, at, v)
            if np.abs(v[:, :-1] - before).max(initial=0.0) < TOLERANCE_V:
                break
        return self._polish(net, at, v)

    def _step(self, net: Network, at: Lines, v: Floats) -> Floats:
        missing = imbalance(net, at, v)
        v = v.copy()
        v[:, :-1] += np.linalg.solve(jacobian(net, at, v), missing[:, :, None])[:, :, 0]
        return v

    def _polish(self, net: Network, at: Lines, v: Floats) -> Floats:
        for _ in range(2):
            v = self._step(net, at, v)
        return v


@dataclass(frozen=True)
class Base:
    """The network with the edits all rows share, in one device state, and its inverse."""

    v: Floats  # (n + 1,)
    g: Floats  # (b,) slopes
    j: Floats  # (b,) so that i = g x + j to first order
    z: Floats  # (n + 1, n + 1), body row and column zero


@dataclass
class LowRank:
    """Rows as changes of small rank on one base per device state. Keeps its bases.

    The network given to ``solve`` must be the one it was made for, but for added bridges.
    """

    bases: dict[tuple[bytes, int, tuple[Edit, ...]], Base] = field(default_factory=dict)
    direct: Direct = field(default_factory=Direct)

    def solve(self, net: Network, rows: Rows, state: States, fine: bool = True) -> Floats:
        """See ``Engine``."""
        v = np.empty((len(rows), net.n + 1))
        at = lines(net, rows, state)
        for index, base in self.bundles(net, rows, state):
            part = at.take(index)
            v[index], settled = Change.of(net, base, part).newton(net, base, part, fine)
            rest = index[~settled]
            if len(rest):
                v[rest] = self.direct.solve(net, rows.take(rest), state[rest])
        return v

    def bundles(self, net: Network, rows: Rows, state: States) -> list[tuple[Ints, Base]]:
        """Rows solved together and the base they depart from.

        A device state shared by many rows gets a base of its own; the rest depart from the
        commonest one, their switched devices being further changes of rank one.
        """
        by_size = sorted(groups(state), key=len, reverse=True)
        large = [g for k, g in enumerate(by_size) if k == 0 or len(g) >= OWN_BASE_ROWS]
        bundles = [(g, self.base(net, state[g[0]], rows.common)) for g in large]
        if len(large) < len(by_size):
            bundles.append((np.concatenate(by_size[len(large) :]), bundles[0][1]))
        return bundles

    def base(self, net: Network, state: States, common: tuple[Edit, ...]) -> Base:
        """The base for one device state (d,) and the edits all rows share; kept once made."""
        key = state.tobytes(), len(net.branches), common
        if key not in self.bases:
            while len(self.bases) >= MOST_BASES:
                del self.bases[next(iter(self.bases))]
            self.bases[key] = make_base(net, state, common)
        return self.bases[key]


def make_base(net: Network, state: States, common: tuple[Edit, ...] = ()) -> Base:
    """Solve the network with only the shared edits in one device state (d,), and invert it."""
    rows = make_rows(net, state, [common])
    at = lines(net, rows, state[None, :])
    v = Direct().solve(net, rows, state[None, :])
    g, x = slopes(net, at, v), net.drop(v)
    z = np.zeros((net.n + 1, net.n + 1))
    z[:-1, :-1] = np.linalg.inv(jacobian(net, at, v)[0])
    return Base(v[0], g[0], (at.currents(net, x) - g * x)[0], z)


@dataclass(frozen=True)
class Change:
    """The few branches of each row that differ from the base (all laws count as differing).

    ``columns`` (f, q) with padding pointing at a branch whose change is forced to zero by ``use``.
    """

    columns: Ints
    use: NDArray[np.bool_]
    az: Floats  # (f, q, n + 1) rows of A Z
    k: Floats  # (f, q, q) A Z A^T
    x: Floats  # (f, q) base branch voltages

    @staticmethod
    def of(net: Network, base: Base, at: Lines) -> "Change":
        """Find what differs, and gather the pieces of the base inverse that it meets."""
        differs = (at.g != base.g) | (at.j != base.j)
        differs[:, at.bent] = (at.scale > 0.0) | (base.g[at.bent] > PARTED_S)
        width = int(differs.sum(axis=1).max(initial=0))
        columns = np.argsort(~differs, axis=1, kind="stable")[:, :width]
        use = np.take_along_axis(differs, columns, axis=1)
        ends, coefs = net.ends[columns], net.coefs[columns]
        az = np.einsum("fqt,fqtn->fqn", coefs, base.z[ends])
        f = np.arange(len(columns))[:, None, None, None]
        q = np.arange(width)[None, :, None, None]
        k = np.einsum("frt,fqrt->fqr", coefs, az[f, q, ends[:, None, :, :]])
        x = np.einsum("fqt,fqt->fq", coefs, base.v[ends])
        return Change(columns, use, az, k, x)

    def extra(self, net: Network, base: Base, at: Lines, x: Floats) -> tuple[Floats, Floats]:
        """Current beyond the base's straight line in each column, and its slope (f, q)."""
        rows = np.arange(len(self.columns))[:, None]
        g, j = at.g[rows, self.columns], at.j[rows, self.columns]
        i, slope = g * x + j, g.copy()
        bent = net.law[self.columns] > 0
        if bent.any():
            where = np.searchsorted(at.bent, self.columns).clip(0, len(at.bent) - 1)
            scale = at.scale[rows, where]
            value, rise = laws(net, self.columns, x)
            i = np.where(bent, scale * value, i)
            slope = np.where(bent, np.maximum(scale * rise, PARTED_S), slope)
        gap = i - base.g[self.columns] * x - base.j[self.columns]
        return gap * self.use, (slope - base.g[self.columns]) * self.use

    def newton(
        self, net: Network, base: Base, at: Lines, fine: bool
    ) -> tuple[Floats, NDArray[np.bool_]]:
        """Node values (f, n + 1), and which rows settled to the engine's accuracy."""
        x = self.settle(net, base, at, 1e-9 if fine else 1e-5)
        w, slope = self.extra(net, base, at, x)
        v = base.v - np.einsum("fq,fqn->fn", w, self.az)
        if not fine:
            return v, np.isfinite(v).all(axis=1)
        return self.refine(net, base, at, v, slope)

    def settle(self, net: Network, base: Base, at: Lines, tolerance_v: float) -> Floats:
        """Branch voltages (f, q) by Newton; rows that have settled are left alone.

        Straight branches are right after one step, but for rounding where one cuts off an island,
        which refinement mends: only the laws decide how long it takes.
        """
        x, eye = self.x.copy(), np.eye(self.columns.shape[1])
        moving, part, here = np.arange(len(x)), self, at
        bends = (net.law[self.columns] > 0) & self.use
        for _ in range(40):
            w, slope = part.extra(net, base, here, x[moving])
            gap = x[moving] - part.x + np.einsum("fqr,fr->fq", part.k, w)
            matrix = eye + part.k * slope[:, None, :]
            step = np.linalg.solve(matrix, gap[:, :, None])[:, :, 0]
            x[moving] -= step
            still = (np.abs(step) * bends[moving]).max(axis=1, initial=0.0) > tolerance_v
            if not still.any():
                break
            if 2 * still.sum() < len(moving):
                moving, part, here = moving[still], part.take(still), here.take(still)
        return x

    def parted(self, base: Base, at: Lines) -> NDArray[np.bool_]:
        """Columns (f, q) where a conductor of the base is parted."""
        g = at.g[np.arange(len(self.columns))[:, None], self.columns]
        was = base.g[self.columns]
        return np.asarray(self.use & (g < CUT_S) & (was > CUT_S))

    def take(self, rows: NDArray[np.bool_]) -> "Change":
        """The change of some of the rows."""
        return Change(self.columns[rows], self.use[rows], self.az[rows], self.k[rows], self.x[rows])

    def refine(
        self, net: Network, base: Base, at: Lines, v: Floats, slope: Floats
    ) -> tuple[Floats, NDArray[np.bool_]]:
        """Iterative refinement on the true residual; two steps do for all but cut-off islands."""
        change, missing = np.full(len(v), np.inf), np.empty((len(v), net.n))
        moving, part, here = np.arange(len(v)), self, at
        for _ in range(5):
            missing[moving] = imbalance(net, here, v[moving])
            dv = part.respond(base, missing[moving], slope[moving])
            v[moving] += dv
            change[moving] = np.abs(dv).max(axis=1)
            still = ~(change[moving] < 1e-7)
            if not still.any():
                break
            if 2 * still.sum() < len(moving):
                moving, part, here = moving[still], part.take(still), here.take(still)
        settled = np.isfinite(change) & (change < 1e-5)
        # What was missing before the last step still bounds it: that step is below 10 µV.
        settled &= piece_error_v(net, at, v, missing) < LOOSE_ERROR_V
        return v, np.asarray(settled)

    def respond(self, base: Base, injected: Floats, slope: Floats) -> Floats:
        """Node response (f, n + 1) of the changed network to currents injected (f, n)."""
        first = injected @ base.z[:-1, :]
        x = np.einsum("fqn,fn->fq", self.az[:, :, :-1], injected)
        eye = np.eye(self.columns.shape[1])
        matrix = eye + self.k * slope[:, None, :]
        inner = np.linalg.solve(matrix, x[:, :, None])[:, :, 0]
        return np.asarray(first - np.einsum("fq,fqn->fn", slope * inner, self.az))
