"""Elimination node by node: the same answers as a dense solver, many circuits at once."""

import numpy as np
import pytest

from loomwise.shelf import read_shelf
from loomwise.solver.elimination import DENSE, Elimination
from loomwise.solver.network import LEAK_S, Network
from loomwise.solver.result import plant_of


@pytest.fixture(scope="module")
def net() -> Network:
    """The radiator fans: more nodes than are left to the dense solver."""
    return plant_of(read_shelf("radiator-fans")).net


def test_many_circuits_at_once(net: Network) -> None:
    """Five vehicles with other resistances: every node as a dense solver has it."""
    draw = np.random.default_rng(1)
    g = draw.uniform(0.1, 10.0, (5, len(net.branches)))
    amps = draw.normal(size=(net.n, 5))
    assert net.n > DENSE
    found = net.elimination().factor(g.T, LEAK_S).solve(amps)
    exact = np.linalg.solve(net.nodal(g), amps.T[:, :, None])[:, :, 0].T
    assert np.allclose(found, exact, rtol=1e-9, atol=1e-9)


def test_one_circuit_and_many_right_sides(net: Network) -> None:
    """One circuit asked about every branch at once answers as one by one."""
    g = np.random.default_rng(2).uniform(0.1, 10.0, (1, len(net.branches)))
    factor = net.elimination().factor(g.T, LEAK_S)
    right = net.incidence().T
    each = np.hstack([factor.solve(right[:, [b]]) for b in range(right.shape[1])])
    assert np.allclose(factor.solve(right), each, rtol=1e-12, atol=1e-12)


def test_a_loose_end_keeps_its_leaks() -> None:
    """A wire of 0.1 mohm that hangs on 1 nS a node: its volts are right to a thousandth."""
    count = 50
    ends = np.array([[k, k + 1, 60] for k in range(count - 1)])
    coefs = np.tile([1.0, -1.0, 0.0], (count - 1, 1))
    order = Elimination.of(60, ends, coefs)
    amps = np.zeros((60, 1))
    amps[0] = 1e-9
    volts = order.factor(np.full((count - 1, 1), 1e4), LEAK_S).solve(amps)
    assert volts[:count, 0] == pytest.approx(1.0 / count, rel=1e-3)
    assert volts[count:, 0] == pytest.approx(0.0)


def test_nodal_matrix_is_the_sum_of_its_branches(net: Network) -> None:
    """Dense matrices are A^T G A and a leak on every node."""
    g = np.random.default_rng(3).uniform(0.1, 10.0, (2, len(net.branches)))
    a = net.incidence()
    for row in range(2):
        whole = a.T @ (g[row][:, None] * a) + LEAK_S * np.eye(net.n)
        assert np.allclose(net.nodal(g)[row], whole)
