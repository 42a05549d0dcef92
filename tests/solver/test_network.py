"""A compiled circuit: nodes, branches and the arrays that stand for them."""

import numpy as np
import pytest

from loomwise.circuit.model import BODY
from loomwise.shelf import read_shelf, shelf_names
from loomwise.solver.network import Branch, assemble, with_bridges
from loomwise.solver.result import plant_of


@pytest.mark.parametrize("name", shelf_names())
def test_every_place_is_a_node_and_every_conductor_a_branch(name: str) -> None:
    """Wherever a probe can go, and whatever can break, the solver knows it by the same name."""
    circuit = read_shelf(name)
    net = plant_of(circuit).net
    assert set(circuit.places) <= set(net.nodes)
    assert set(circuit.segments) <= set(net.branch_index)


def test_branch_voltages_are_rows_times_nodes() -> None:
    """The quick way to branch voltages gives what the incidence matrix gives."""
    winding = Branch("M", (("a", 1.0), ("b", -1.0), ("w", -11.0)), 1.0)
    net = assemble(("a", "b", "w"), (winding, Branch("R", (("b", 1.0), (BODY, -1.0)), 1.0)), ())
    v = np.random.default_rng(1).normal(size=(4, 4))
    v[:, -1] = 0.0
    assert np.allclose(net.drop(v), v[:, :-1] @ net.incidence().T)


def test_bridges_come_idle() -> None:
    """A branch made for a possible short carries nothing until a fault uses it."""
    net = assemble(("a", "b"), (Branch("R", (("a", 1.0), (BODY, -1.0)), 1.0),), ())
    wider = with_bridges(net, (("a", "b", None), ("a", "b", None), ("a", BODY, (3.0, 12.0))))
    assert len(wider.branches) == 3
    assert wider.g_on[1:].tolist() == [0.0, 0.0]
    assert with_bridges(wider, (("a", "b", None),)) is wider
