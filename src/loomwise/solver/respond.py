"""How solved rows answer small changes: source resistance and sensitivities at probes.

With x = u.v the voltage of a branch and Z the small-signal inverse of a row, a relative rise d of
the branch's resistance (or of a law's resistance) moves the nodes by Z u i d, and a rise of its
EMF by Z u g per volt. Valid while no device changes state.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from loomwise.solver.engines import Base, Change, Lines, LowRank, jacobian, lines
from loomwise.solver.network import Floats, Ints, Network
from loomwise.solver.rows import Rows, States


@dataclass(frozen=True)
class Named:
    """An uncertain value of the vehicle: the branches it scales, and its standard deviation.

    ``emf`` values are in volts, all others relative (0.1 = 10 %). ``rows`` are the branches' rows
    of the incidence, (m, n + 1), the body's column zero.
    """

    id: str
    branches: Ints
    rows: Floats
    sd: float
    emf: bool = False


@dataclass(frozen=True)
class Own:
    """Each row's own uncertain value: the branch that carries it (-1: none) and how much of the
    branch's resistance it is."""

    branch: Ints  # (f,)
    share: Floats  # (f,)


@dataclass(frozen=True)
class Response:
    """At p probes of f rows: source resistance (f, p) and sensitivities (f, p, k + 1).

    The last sensitivity is to the row's own value, per unit of its natural logarithm.
    """

    source_ohm: Floats
    sensitivity: Floats


def respond(
    engine: LowRank, net: Network, rows: Rows, state: States, v: Floats,
    probes: Ints, named: Sequence[Named], own: Own,
) -> Response:  # fmt: skip
    """Responses at probes (p, 2), node numbers of the red and the black tip."""
    count = len(rows)
    source = np.empty((count, len(probes)))
    sens = np.empty((count, len(probes), len(named) + 1))
    for index, base in engine.bundles(net, rows, state):
        part = rows.take(index)
        pushes = _pushes(net, part, state[index], v[index], named, own, index)
        got = _group(net, base, part, state[index], v[index], probes, pushes)
        source[index], sens[index] = got
    return Response(source, sens)


def _pushes(
    net: Network, rows: Rows, state: States, v: Floats, named: Sequence[Named], own: Own,
    index: Ints,
) -> Floats:  # fmt: skip
    """Node injections (f, k + 1, n + 1) that each uncertain value stands for."""
    at = lines(net, rows, state)
    i = at.currents(net, net.drop(v))
    pushes = np.zeros((len(rows), len(named) + 1, net.n + 1))
    for k, value in enumerate(named):
        size = at.g if value.emf else i
        pushes[:, k, :] = size[:, value.branches] @ value.rows
    branch, share = own.branch[index], own.share[index]
    f = np.flatnonzero(branch >= 0)
    for t in range(3):
        size = i[f, branch[f]] * share[f] * net.coefs[branch[f], t]
        np.add.at(pushes, (f, np.full(len(f), len(named)), net.ends[branch[f], t]), size)
    pushes[:, :, -1] = 0.0
    return pushes


def _group(
    net: Network, base: Base, rows: Rows, state: States, v: Floats, probes: Ints, pushes: Floats
) -> tuple[Floats, Floats]:
    at = lines(net, rows, state)
    low = Change.of(net, base, at)
    source, sens = _quick(net, base, at, low, v, probes, pushes)
    cut = np.flatnonzero(low.cuts(base, at))
    if len(cut):
        source[cut], sens[cut] = _exact(net, at.take(cut), v[cut], probes, pushes[cut])
    return np.maximum(source, 0.0), sens


def _exact(
    net: Network, at: Lines, v: Floats, probes: Ints, pushes: Floats
) -> tuple[Floats, Floats]:
    """By each row's own matrix: for rows whose change cuts off an island, where digits cancel."""
    probe = np.zeros((net.n + 1, len(probes)))
    columns = np.arange(len(probes))
    np.add.at(probe, (probes[:, 0], columns), 1.0)
    np.add.at(probe, (probes[:, 1], columns), -1.0)
    matrices = jacobian(net, at, v)
    z = np.linalg.solve(matrices, np.broadcast_to(probe[:-1], (len(v), net.n, len(probes))))
    source = np.einsum("np,fnp->fp", probe[:-1], z)
    return source, np.einsum("fkn,fnp->fpk", pushes[:, :, :-1], z, optimize=True)


def _quick(
    net: Network, base: Base, at: Lines, low: Change, v: Floats, probes: Ints, pushes: Floats
) -> tuple[Floats, Floats]:
    """From the base inverse, by the change's small rank."""
    f = np.arange(len(v))[:, None]
    x = net.drop(v)[f, low.columns]
    slope = low.extra(net, base, at, x)[1]
    eye = np.eye(low.columns.shape[1])
    red, black = probes[:, 0], probes[:, 1]
    zp = base.z[red] - base.z[black]  # (p, n + 1)
    wp = low.az[:, :, red] - low.az[:, :, black]  # (f, q, p)
    inner = np.linalg.solve(eye + low.k * slope[:, None, :], wp) * slope[:, :, None]
    source = (zp[np.arange(len(probes)), red] - zp[np.arange(len(probes)), black]) - np.einsum(
        "fqp,fqp->fp", inner, wp
    )
    wk = np.einsum("fqn,fkn->fqk", low.az, pushes)
    sens = np.einsum("pn,fkn->fpk", zp, pushes) - np.einsum("fqp,fqk->fpk", inner, wk)
    return source, sens


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
    incidence = np.pad(net.incidence(), ((0, 0), (0, 1)))
    for name, branches in members.items():
        at = np.array(branches, dtype=np.int64)
        rows = incidence[at]
        if name.endswith(".cell"):
            found.append(Named(f"{name} emf", at, rows, spreads["emf"], emf=True))
            found.append(Named(name, at, rows, spreads["battery"]))
        else:
            found.append(Named(name, at, rows, spreads.get(name, spreads["other"])))
    return tuple(found)
