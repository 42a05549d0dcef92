"""Pieces that hang on nothing but their leaks."""

from collections.abc import Sequence

import numpy as np
import pytest

from loomwise.edits import Edit, Open
from loomwise.solver.base import make_base
from loomwise.solver.change import Change, columns_of
from loomwise.solver.engines import LowRank
from loomwise.solver.loose import balanced, loosens
from loomwise.solver.network import LEAK_S, PARTED_S, Network
from loomwise.solver.rows import make_rows
from tests.solver.small import Element, network_of

STRING = (
    Element("B", "V", 12.0, "a", "body"),
    Element("S", "R", 0.001, "a", "b"),
    Element("T", "R", 0.001, "b", "c"),
    Element("U", "R", 0.001, "c", "d"),
    Element("upper leak", "R", 20e6, "a", "d"),
    Element("lower leak", "R", 10e6, "d", "body"),
)
RING = (*STRING, Element("round", "R", 0.001, "a", "d"))


def _changed(net: Network, edits: Sequence[Edit]) -> Change:
    """The network with edits, as a change of itself."""
    none = np.zeros(0, dtype=np.int8)
    base, rows = make_base(net, none, (), None), make_rows(net, none, [tuple(edits)])
    return Change.of(base, rows, rows.start, columns_of(base, rows, rows.start))


def test_a_loose_piece_stands_where_its_leaks_put_it() -> None:
    """Part the wire before three joined ends: all of them stand at the volts that two leaks of
    20 and 10 megohms make of 12 V, to a tenth of a millivolt."""
    net = network_of(STRING)
    rows = make_rows(net, np.zeros(0, dtype=np.int8), [(Open("S"),), ()])
    v = LowRank().solve(net, rows, rows.start)
    above_s, below_s = 1.0 / 20e6 + PARTED_S, 1.0 / 10e6 + 3 * LEAK_S
    expected = 12.0 * above_s / (above_s + below_s)
    for end in "bcd":
        assert v[0, net.node_index[end]] == pytest.approx(expected, abs=1e-4)
        assert v[1, net.node_index[end]] == pytest.approx(12.0, abs=1e-4)


def test_a_piece_off_as_a_whole_is_brought_back_as_a_whole() -> None:
    """Currents 5 mV off in the one conductor that held the piece are put right; where nothing came
    loose nothing is touched."""
    change = _changed(network_of(STRING), [Open("S")])
    x, _ = change.settle()
    w = balanced(change, change.extra(x)[0])
    off = w.copy()
    q = int(np.flatnonzero(loosens(change)[0])[0])
    off[0, q] += 0.005 / change.k[0, q, q]
    assert balanced(change, off)[0, q] == pytest.approx(w[0, q], rel=1e-12)
    ring = _changed(network_of(RING), [Open("T")])
    w = ring.extra(ring.settle()[0])[0]
    assert (balanced(ring, w) == w).all()


def test_what_a_way_round_holds_is_not_loose() -> None:
    """Part the middle wire of a string and the far side is a piece of its own; in a ring the same
    wire parted leaves everything held."""
    assert loosens(_changed(network_of(STRING), [Open("T")])).any()
    assert not loosens(_changed(network_of(RING), [Open("T")])).any()
