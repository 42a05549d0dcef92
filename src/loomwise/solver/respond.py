"""How solved rows answer small changes: source resistance and sensitivities at probes.

With x = u.v the voltage of a branch and Z the small-signal inverse of a row, a relative rise d of
the branch's resistance (or of a law's resistance) moves the nodes by Z u i d, and a rise of its
EMF by Z u g per volt. Valid while no device changes state.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwise.solver.engines import Base, Change, LowRank
from loomwise.solver.lines import Lines, jacobian, lines
from loomwise.solver.network import Floats, Ints, Network
from loomwise.solver.rows import Rows, States


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


WAY_ROUND = 1e-3
"""With less than this share of its conductance round a branch, parting it is worked out exactly:
where a piece hangs on its leaks the digits of the share itself are no better than 1e-4. [-]"""
CHUNK = 4_000_000
"""Numbers worked on at once, which bounds the memory. [-]"""


def respond(
    engine: LowRank, net: Network, rows: Rows, state: States, v: Floats,
    probes: Floats, named: Sequence[Named], own: Own,
) -> Response:  # fmt: skip
    """Responses at probes (p, n + 1), each a row of weights on the nodes: red 1, black -1.

    The matrix being symmetric, one solve a probe gives its answer to every branch at once.
    """
    count, p = len(rows), len(probes)
    source = np.empty((count, p))
    sens = np.empty((count, p, len(named) + 1))
    size = max(1, CHUNK // (p * (len(net.branches) + net.n)))
    for index, base in engine.bundles(net, rows, state):
        for some in np.array_split(index, -(-len(index) // size)):
            part = lines(net, rows.take(some), state[some])
            w = _transfer(net, base, part, v[some], probes)
            source[some] = np.einsum("pn,fpn->fp", probes, w)
            sens[some] = _sensitivity(net, part, v[some], w, named, own.of(some))
    return Response(np.maximum(source, 0.0), sens)


def _transfer(net: Network, base: Base, at: Lines, v: Floats, probes: Floats) -> Floats:
    """What a current at each node does at each probe (f, p, n + 1)."""
    change = Change.of(net, base, at)
    x = net.drop(v)[np.arange(len(v))[:, None], change.columns]
    slope = change.extra(net, base, at, x)[1]
    matrix = np.eye(change.columns.shape[1]) + change.k * slope[:, None, :]
    inner = np.linalg.solve(matrix, change.az @ probes.T) * slope[:, :, None]
    w = (probes @ base.z)[None] - inner.transpose(0, 2, 1) @ change.az
    cut = np.flatnonzero(_loses_digits(change, slope, base, at))
    if len(cut):
        w[cut, :, :-1] = _exact(net, at.take(cut), v[cut], probes)
    return np.asarray(w)


def _loses_digits(change: Change, slope: Floats, base: Base, at: Lines) -> NDArray[np.bool_]:
    """Rows (f,) whose change may cut off an island, where digits cancel: a parted branch with no
    way round it worth naming, or several parted ones."""
    parted = change.parted(base, at)
    way_round = 1.0 + np.einsum("fqq->fq", change.k) * slope
    alone = (parted & (np.abs(way_round) < WAY_ROUND)).any(axis=1)
    return np.asarray(alone | (parted.sum(axis=1) > 1))


def _exact(net: Network, at: Lines, v: Floats, probes: Floats) -> Floats:
    """The same by each row's own matrix (f, p, n)."""
    tips = np.broadcast_to(probes[:, :-1].T, (len(v), net.n, len(probes)))
    z = np.linalg.solve(jacobian(net, at, v), tips)
    return np.asarray(z.transpose(0, 2, 1))


def _sensitivity(
    net: Network, at: Lines, v: Floats, w: Floats, named: Sequence[Named], own: Own
) -> Floats:
    """Sensitivities (f, p, k + 1) from the transfer to every branch."""
    f, p, _ = w.shape
    x = net.drop(w.reshape(f * p, -1)).reshape(f, p, -1)
    i = at.currents(net, net.drop(v))
    sens = np.zeros((f, p, len(named) + 1))
    for k, value in enumerate(named):
        push = at.g if value.emf else i
        sens[:, :, k] = np.einsum("fpb,fb->fp", x[:, :, value.branches], push[:, value.branches])
    rows = np.flatnonzero(own.branch >= 0)
    at_own = own.branch[rows]
    sens[rows, :, -1] = x[rows, :, at_own] * (i[rows, at_own] * own.share[rows])[:, None]
    return sens


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
