"""How solved rows answer small changes: source resistance and sensitivities at probes.

With x = u.v the voltage of a branch and Z the small-signal inverse of a row, a relative rise d of
the branch's resistance (or of a law's resistance) moves the nodes by Z u i d, and a rise of its
EMF by Z u g per volt. Valid while no device changes state.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from loomwise.solver.base import Base
from loomwise.solver.change import Change, solved
from loomwise.solver.direct import bridged
from loomwise.solver.lines import laws, lines, lines_at, slopes
from loomwise.solver.network import LEAK_S, PARTED_S, Floats, Ints, Network
from loomwise.solver.rows import Rows, States
from loomwise.solver.solution import Pack, Solution, Volts


@dataclass(frozen=True)
class Named:
    """An uncertain value of the vehicle: the branches it scales, and its standard deviation.

    ``emf`` values are in volts, all others relative (0.1 = 10 %).
    """

    id: str
    branches: Ints
    sd: float
    emf: bool = False


@dataclass(frozen=True)
class Own:
    """Each row's own uncertain value: the branch that carries it (-1: none) and how much of the
    branch's resistance it is."""

    branch: Ints  # (f,)
    share: Floats  # (f,)

    def of(self, rows: Ints) -> "Own":
        """The own values of some rows."""
        return Own(self.branch[rows], self.share[rows])


@dataclass(frozen=True)
class Response:
    """At p probes of f rows: source resistance (f, p) and sensitivities (f, p, k + 1).

    The last sensitivity is to the row's own value, per unit of its natural logarithm.
    """

    source_ohm: Floats
    sensitivity: Floats


CHUNK = 4_000_000
"""Numbers worked on at once, which bounds the memory. [-]"""
QUIET_V, QUIET_OHM = 1e-6, 1e-6
"""A row that differs from its base by less, and lets the probe differ by less, answers as that."""


def respond(
    net: Network, rows: Rows, found: Solution, index: Ints, probes: Floats,
    named: Sequence[Named], own: Own,
) -> Response:  # fmt: skip
    """Responses of rows (f,), which are those at ``index`` of a solution, at probes (p, n + 1),
    each a row of weights on the nodes: red 1, black -1.

    The matrix being symmetric, one solve a probe gives its answer to every branch at once.
    """
    sums = Sums.of(net, named)
    source = np.empty((len(rows), len(probes)))
    sens = np.empty((len(rows), len(probes), len(named) + 1))
    bases: dict[int, _Asked] = {}
    for where, pack, place in found.runs(index):
        if isinstance(pack, Pack):
            asked = bases.setdefault(id(pack.base), _Asked(net, pack.base, probes, sums))
            size = max(1, CHUNK // (1 + len(probes) * (pack.w.shape[1] + 8) ** 2))
            for some in np.array_split(np.arange(len(where)), -(-len(where) // size)):
                part, its = rows.take(where[some]), own.of(where[some])
                source[where[some]], sens[where[some]] = asked.of(part, pack.take(place[some]), its)
        else:
            part = rows.take(where)
            source[where], sens[where] = _written_out(
                net, part, pack.take(place), probes, sums, own.of(where)
            )
    return Response(np.maximum(source, 0.0), sens)


@dataclass(frozen=True)
class Sums:
    """Branches sorted by the named value they belong to."""

    branches: Ints  # (a,)
    start: Ints  # (k,)
    emf: NDArray[np.bool_]  # (a,)

    @staticmethod
    def of(net: Network, named: Sequence[Named]) -> "Sums":
        """Of a network's named values."""
        sizes = [len(value.branches) for value in named]
        none = np.zeros(0, dtype=np.int64)
        return Sums(
            np.concatenate([none, *(value.branches for value in named)]),
            np.concatenate([none, np.cumsum([0, *sizes])[:-1]]),
            np.repeat([value.emf for value in named], sizes),
        )

    def over(self, x: Floats, push: Floats) -> Floats:
        """Sums (..., k) of x times what a rise of the value pushes (..., a)."""
        if not len(self.branches):
            return np.zeros((*x.shape[:-1], 0))
        return np.asarray(np.add.reduceat(x * push, self.start, axis=-1))


@dataclass(frozen=True)
class _Asked:
    """Some probes of one base."""

    net: Network
    base: Base
    probes: Floats  # (p, n + 1)
    sums: Sums

    @cached_property
    def transfer(self) -> Floats:
        """What a current at each node of the base does at each probe (p, n + 1)."""
        wide = np.zeros_like(self.probes)
        wide[:, :-1] = self.base.factor.solve(np.ascontiguousarray(self.probes[:, :-1].T)).T
        return wide

    @cached_property
    def _plain(self) -> tuple[Floats, Floats]:
        """Source resistance (p,) and sensitivities (p, k) of the base itself."""
        b, base = self.sums.branches, self.base
        x = _at(self.net, self.transfer, b)
        i = base.g[b] * _at(self.net, base.v[None], b)[0] + base.j[b]
        push = np.where(self.sums.emf, base.g[b], i)
        return (self.probes * self.transfer).sum(axis=1), self.sums.over(x, push)

    def of(self, rows: Rows, pack: Pack, own: Own) -> tuple[Floats, Floats]:
        """Source resistance (f, p) and sensitivities (f, p, k + 1) of rows."""
        source = np.repeat(self._plain[0][None], len(rows), axis=0)
        sens = np.zeros((len(rows), len(self.probes), self._plain[1].shape[1] + 1))
        sens[:, :, :-1] = self._plain[1]
        if not (pack.columns >= 0).any():
            return source, sens
        change = Change.of(self.base, rows, pack.state, pack.columns.astype(np.int64))
        inner, moved = self._inner(change, pack)
        source -= np.einsum("fqp,fqp->fp", inner, moved)
        reach = (np.abs(inner).max(axis=2) * self.base.top[change.place]).sum(axis=1)
        loud = np.flatnonzero((reach > QUIET_OHM) | (pack.largest_shift_v() > QUIET_V))
        size = max(1, CHUNK // (4 * len(self.probes) * (len(self.sums.branches) + self.net.n)))
        for some in np.array_split(loud, -(-len(loud) // size)) if len(loud) else ():
            sens[some] = self._sensitivity(
                rows.take(some), pack.take(some), change.place[some], inner[some], own.of(some)
            )
        return source, sens

    def _inner(self, change: Change, pack: Pack) -> tuple[Floats, Floats]:
        """Currents (f, q, p) that one ampere into a probe makes beyond the base's, and the base's
        voltages there."""
        nodes = np.flatnonzero(self.probes.any(axis=0))
        by_place = self.base.az[:, nodes] @ self.probes[:, nodes].T
        moved = by_place[change.place] * (change.columns >= 0)[:, :, None]
        slope = change.extra(change.voltages(pack.w))[1]
        inner = solved(change.matrix(slope), moved) * slope[:, :, None]
        return inner, moved

    def _sensitivity(self, rows: Rows, pack: Pack, place: Ints, inner: Floats, own: Own) -> Floats:
        """Sensitivities (f, p, k + 1) with the transfer to every branch written out."""
        w = np.repeat(self.transfer[None], len(rows), axis=0)
        for c in range(place.shape[1]):
            some = np.flatnonzero(np.abs(inner[:, c]).max(axis=1))
            w[some] -= inner[some, c, :, None] * self.base.az[place[some, c], None, :]
        v = pack.at(np.arange(len(pack)), np.arange(self.net.n + 1))
        return _sensitivities(self.net, rows, pack.state, v, w, self.sums, own)


def _written_out(
    net: Network, rows: Rows, volts: Volts, probes: Floats, sums: Sums, own: Own
) -> tuple[Floats, Floats]:
    """The same of rows with their volts written out, by each row's own matrix."""
    f, p = len(rows), len(probes)
    at = lines(net, rows, volts.state)
    g = slopes(net, at, volts.v)
    order = net.elimination(bridged(net, g))
    right = np.repeat(probes[:, :-1].T, f, axis=1)  # a probe's rows side by side
    z = order.factor(np.tile(g.T, (1, p)), LEAK_S).solve(right)
    w = np.zeros((f, p, net.n + 1))
    w[:, :, :-1] = z.reshape(net.n, p, f).transpose(2, 1, 0)
    source = np.einsum("pn,fpn->fp", probes, w)
    return source, _sensitivities(net, rows, volts.state, volts.v, w, sums, own)


def _at(net: Network, v: Floats, branches: Ints) -> Floats:
    """Voltages (..., a) of branches at node values (..., n + 1)."""
    ends, coefs = net.ends[branches], net.coefs[branches]
    return np.asarray(
        v[..., ends[:, 0]] * coefs[:, 0]
        + v[..., ends[:, 1]] * coefs[:, 1]
        + v[..., ends[:, 2]] * coefs[:, 2]
    )


def _sensitivities(
    net: Network, rows: Rows, state: States, v: Floats, w: Floats, sums: Sums, own: Own
) -> Floats:
    """Sensitivities (f, p, k + 1) from the transfer (f, p, n + 1) to every node."""
    b = sums.branches
    i, g = currents_at(net, rows, state, v, b)
    push = np.where(sums.emf, g, i)
    found = np.zeros((*w.shape[:2], len(sums.start) + 1))
    found[:, :, :-1] = sums.over(_at(net, w, b), push[:, None, :])
    some = np.flatnonzero(own.branch >= 0)
    if len(some):
        at_own = own.branch[some]
        i, _ = currents_at(net, rows.take(some), state[some], v[some], at_own[:, None])
        ends, coefs = net.ends[at_own], net.coefs[at_own]
        x = np.einsum("spt,st->sp", w[some[:, None], :, ends].transpose(0, 2, 1), coefs)
        found[some, :, -1] = x * (i[:, 0] * own.share[some])[:, None]
    return found


def currents_at(
    net: Network, rows: Rows, state: States, v: Floats, branches: Ints
) -> tuple[Floats, Floats]:
    """Currents of branches ((c,) or (f, c)) at node values (f, n + 1), and their straight-line
    conductance (0 of a law)."""
    g, j, scale = lines_at(net, rows, state, branches)
    branches = np.broadcast_to(branches, g.shape)
    f = np.arange(len(v))[:, None, None]
    x = (v[f, net.ends[branches]] * net.coefs[branches]).sum(axis=2)
    i = g * x + j
    if (scale > 0.0).any():
        i = np.where(scale > 0.0, scale * laws(net, branches, x)[0], i)
    return i, g


def slopes_at(net: Network, rows: Rows, state: States, v: Floats, branches: Ints) -> Floats:
    """Small-signal conductances (f, c) of branches (c,) at node values v."""
    g, _, scale = lines_at(net, rows, state, branches)
    if (net.law[branches] > 0).any():
        rise = laws(net, branches, _at(net, v, branches))[1]
        g = np.where(net.law[branches] > 0, np.maximum(scale * rise, PARTED_S), g)
    return np.asarray(g)


def tips(net: Network, probes: Ints) -> Floats:
    """Node numbers (p, 2) of red and black tips as probes (p, n + 1)."""
    rows = np.zeros((len(probes), net.n + 1))
    each = np.arange(len(probes))
    np.add.at(rows, (each, probes[:, 0]), 1.0)
    np.add.at(rows, (each, probes[:, 1]), -1.0)
    rows[:, -1] = 0.0
    return rows


def named_values(net: Network, spreads: Mapping[str, float]) -> tuple[Named, ...]:
    """The uncertain values of a network, by what its branches scatter with.

    ``spreads`` gives standard deviations: ``emf`` [V], ``battery`` and ``conductors`` and
    ``other`` relative.
    """
    members: dict[str, list[int]] = {}
    for b, branch in enumerate(net.branches):
        if branch.scatter:
            members.setdefault(branch.scatter, []).append(b)
    found: list[Named] = []
    for name, branches in members.items():
        at = np.array(branches, dtype=np.int64)
        if name.endswith(".cell"):
            found.append(Named(f"{name} emf", at, spreads["emf"], emf=True))
            found.append(Named(name, at, spreads["battery"]))
        else:
            found.append(Named(name, at, spreads.get(name, spreads["other"])))
    return tuple(found)
