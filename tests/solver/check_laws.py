"""The laws every solved row must obey, checked without the solver's own bookkeeping."""

import numpy as np

from loomwise.circuit.model import BODY
from loomwise.solver.lines import lines
from loomwise.solver.network import LEAK_S, Floats, Network
from loomwise.solver.rows import Rows, States

RELATIVE = 1e-9
"""Of the largest current in the row: what the direct solve promises."""
ROUNDING = 64 * np.finfo(float).eps
"""Times conductance times volts: the last digits a current through a milliohm can have."""


def currents(net: Network, rows: Rows, state: States, v: Floats) -> Floats:
    """Branch currents (f, b)."""
    return lines(net, rows, state).currents(net, net.drop(v))


def assert_laws(net: Network, rows: Rows, state: States, v: Floats) -> None:
    """Currents sum to zero at every node and powers to zero over the circuit, row by row."""
    for f in range(len(rows)):
        one = rows.take(np.array([f]))
        missing, allowed = _node_sums(net, one, state[f : f + 1], v[f])
        worst = int((np.abs(missing) / allowed).argmax())
        assert abs(missing[worst]) <= allowed[worst], f"current at {net.nodes[worst]}, row {f}"
        power_w = _power_in(net, one, state[f : f + 1], v[f])
        assert abs(power_w) <= np.abs(v[f, :-1]) @ allowed, f"power of row {f}"


def _node_sums(net: Network, row: Rows, state: States, v: Floats) -> tuple[Floats, Floats]:
    """Current into each node's branches and leak (n,), and how much may be rounding."""
    i = currents(net, row, state, v[None, :])[0]
    g = np.abs(lines(net, row, state).g[0])
    missing = LEAK_S * v[:-1]
    rounding = np.zeros_like(missing)
    for b, branch in enumerate(net.branches):
        held_v = sum(abs(coef * v[net.node_index[node]]) for node, coef in branch.terms)
        for node, coef in branch.terms:
            if node != BODY:
                missing[net.node_index[node]] += coef * i[b]
                rounding[net.node_index[node]] += abs(coef) * g[b] * held_v
    return missing, RELATIVE * np.abs(i).max(initial=1e-12) + ROUNDING * rounding


def _power_in(net: Network, row: Rows, state: States, v: Floats) -> float:
    """Watts that go into all branches and leaks together; sources count negative."""
    i = currents(net, row, state, v[None, :])[0]
    x = net.drop(v[None, :])[0]
    return float(i @ x + LEAK_S * (v**2).sum())
