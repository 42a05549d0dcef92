"""How rows of a table answer at probes and in branches, with their sensitivities.

Shapes: f rows, p probes or branches, k uncertain values, n nodes.
"""

from collections.abc import Sequence

import numpy as np

from loomwise.diagnosis.table import Table
from loomwise.setups import Setup
from loomwise.solver.network import Floats, Ints
from loomwise.solver.respond import Named, Response, currents_at, respond, slopes_at, tips
from loomwise.solver.solution import Solution, laid_together

AT_ONCE = 500
"""Rows whose currents are worked out at once, which bounds the memory. [-]"""


def responses(table: Table, setup: Setup, rows: Ints, probes: Ints) -> Response:
    """Source resistance and sensitivities at probes (p, 2) of these rows."""
    return _answers(table, setup, rows, tips(table.net, probes))


def currents(
    table: Table, setup: Setup, rows: Ints, branches: Sequence[int]
) -> tuple[Floats, Floats]:
    """Currents (f, p) of branches in these rows [A], and their sensitivities (f, p, k + 1)."""
    parts = [
        _currents(table, setup, some, np.array(branches, dtype=np.int64))
        for some in np.array_split(rows, -(-len(rows) // AT_ONCE) or 1)
    ]
    return np.concatenate([a for a, _ in parts]), np.concatenate([s for _, s in parts])


def _currents(table: Table, setup: Setup, rows: Ints, b: Ints) -> tuple[Floats, Floats]:
    kept, made, net = table.at(setup, rows), table.rows_at(setup, rows), table.net
    state, nodes = kept.states_of(rows), np.unique(net.ends[b])
    v = np.zeros((len(rows), net.n + 1))
    v[:, nodes] = kept.volts_at(rows, nodes)
    amps, g = currents_at(net, made, state, v, b)
    probes = np.zeros((len(b), net.n + 1))
    np.add.at(probes, (np.arange(len(b))[:, None], net.ends[b]), net.coefs[b])
    probes[:, -1] = 0.0
    answer = _answers(table, setup, rows, probes).sensitivity
    sens = answer * slopes_at(net, made, state, v, b)[:, :, None]
    for k, value in enumerate(table.named):
        among = np.isin(b, value.branches)
        sens[:, among, k] -= g[:, among] if value.emf else amps[:, among]
    own = table.own.of(rows)
    sens[:, :, -1] -= np.where(own.branch[:, None] == b, amps * own.share[:, None], 0.0)
    return amps, sens


def pushed(table: Table, setup: Setup, rows: Ints, probes: Ints, branches: Ints) -> Floats:
    """Volts (f, p, k) at probes (p, 2) for one volt more of EMF in each of some branches (k,)."""
    each = tuple(Named(str(b), np.array([b]), 1.0, emf=True) for b in branches.tolist())
    return _answers(table, setup, rows, tips(table.net, probes), each).sensitivity[:, :, :-1]


def _answers(
    table: Table, setup: Setup, rows: Ints, probes: Floats, named: Sequence[Named] | None = None
) -> Response:
    kept = table.at(setup, rows)
    parts = [(where, pack.take(place)) for where, pack, place in kept.runs(rows)]
    found = Solution.of(laid_together(parts), len(rows))
    made, own = table.rows_at(setup, rows), table.own.of(rows)
    named = table.named if named is None else named
    return respond(table.net, made, found, np.arange(len(rows)), probes, named, own)
