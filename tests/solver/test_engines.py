"""The two engines: the direct one holds the laws, the quick one stays within 1 mV of it."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loomwise.edits import Bridge, Edit, Open
from loomwise.setups import Setup, parse_undoing, undoings, undone_edits
from loomwise.shelf import read_shelf
from loomwise.solver.engines import Direct, LowRank
from loomwise.solver.lines import groups, imbalance, jacobian, lines
from loomwise.solver.network import Floats, Network
from loomwise.solver.operate import Plant, Standstill, operate
from loomwise.solver.result import plant_of, start_state
from loomwise.solver.rows import Rows, States, prepared
from tests.reference.shelf_cases import drawn_faults, faults_of, whole_setups
from tests.solver.check_laws import assert_laws
from tests.solver.small import Element, network_of, solve_rows

WITHIN_V = 1e-3
SHELF = list(whole_setups())


def _standstill(
    name: str, controls: dict[str, str], variants: Sequence[Sequence[Edit]]
) -> tuple[Network, Rows, Standstill]:
    plant = plant_of(read_shelf(name))
    net, rows = prepared(plant.net, start_state(plant.net, controls), variants)
    return net, rows, operate(Plant(net, plant.brains), rows, LowRank())


def newton_step(net: Network, rows: Rows, state: States, v: Floats) -> Floats:
    """How far one step with each row's own full matrix moves its nodes (f, n)."""
    parts = []
    for index in np.array_split(np.arange(len(rows)), -(-len(rows) // 128)):
        part = lines(net, rows.take(index), state[index])
        matrix, missing = jacobian(net, part, v[index]), imbalance(net, part, v[index])
        parts.append(np.linalg.solve(matrix, missing[:, :, None])[:, :, 0])
    return np.concatenate(parts)


@pytest.mark.slow
@pytest.mark.parametrize(("name", "setup"), SHELF, ids=[f"{n}: {s}" for n, s in SHELF])
def test_low_rank_over_all_faults(name: str, setup: Setup) -> None:
    """Every fault in every setup: a full Newton step from the quick answer moves it under 1 mV.

    The step has the fault's own full matrix, so it is the distance to the direct answer; that
    itself is compared in the next test, on fewer rows, as it takes ten such steps.
    """
    controls = dict(setup.controls)
    net, rows, at = _standstill(name, controls, [(), *(f.edits for f in faults_of(name))])
    v = LowRank().solve(net, rows, at.state)
    assert np.abs(newton_step(net, rows, at.state, v)).max() < WITHIN_V


@pytest.mark.parametrize(("name", "setup"), SHELF, ids=[f"{n}: {s}" for n, s in SHELF])
def test_low_rank_agrees_with_direct(name: str, setup: Setup) -> None:
    """Faults drawn by weight, every mode, and every single open: both engines agree to 1 mV.

    Parting what feeds an island is where low-rank updates lose digits (islanding).
    """
    controls = dict(setup.controls)
    opens = [f for f in faults_of(name) if any(isinstance(e, Open) for e in f.edits)]
    drawn = drawn_faults(faults_of(name), 60, 1)
    net, rows, at = _standstill(name, controls, [(), *(f.edits for f in [*opens, *drawn])])
    quick, direct = (engine.solve(net, rows, at.state) for engine in (LowRank(), Direct()))
    assert np.abs(quick - direct).max() < WITHIN_V


@pytest.mark.parametrize(("name", "setup"), SHELF, ids=[f"{n}: {s}" for n, s in SHELF])
def test_direct_holds_the_laws(name: str, setup: Setup) -> None:
    """Currents sum to zero and powers balance to 1e-9, whatever is broken."""
    controls = dict(setup.controls)
    drawn = drawn_faults(faults_of(name), 40, 2)
    net, rows, at = _standstill(name, controls, [(), *(f.edits for f in drawn)])
    assert_laws(net, rows, at.state, Direct().solve(net, rows, at.state))


def test_two_opens_make_an_island() -> None:
    """A piece of loom cut free at both ends floats in both engines, and nothing else moves."""
    fans = read_shelf("radiator-fans")
    wire = [s.id for s in fans.segments.values() if s.wire == "wire K1.87-C1.1"]
    cuts = [(Open("C1.1"), Open("C3.1")), tuple(Open(w) for w in [*wire, "C3.1"]), ()]
    setup = {"key": "run", "AC": "off", "coolant": "hot"}
    net, rows, at = _standstill("radiator-fans", setup, cuts)
    quick, direct = (engine.solve(net, rows, at.state) for engine in (LowRank(), Direct()))
    assert np.abs(quick - direct).max() < WITHIN_V
    assert abs(direct[0, net.node_index["C3.1.a"]]) < 0.01


@pytest.mark.parametrize("shared", [True, False], ids=["in the base", "as a change"])
def test_an_island_beside_a_short(shared: bool) -> None:
    """Plug C7 parted and the module's ground shorted to feed: the loose piece must still be at 0 V.

    The loose switch hangs on nothing but its leaks, so a picoampere too much is a millivolt.
    """
    fans = read_shelf("radiator-fans")
    apart = undone_edits(fans, parse_undoing(fans, "C7 apart"))
    shorts = [f.edits for f in faults_of("radiator-fans") if "short to feed" in f.id]
    setup = {"key": "off", "AC": "off", "coolant": "warm"}
    net, rows, at = _standstill("radiator-fans", setup, [(*e, *apart) for e in shorts])
    rows = replace(rows, common=apart if shared else ())
    quick, direct = (engine.solve(net, rows, at.state) for engine in (LowRank(), Direct()))
    assert np.abs(quick - direct).max() < WITHIN_V


@settings(max_examples=60)
@given(st.data())
def test_any_opens_and_shorts(data: st.DataObject) -> None:
    """Conductors parted, plugs apart, fuses out, shorts beside them: both engines agree to 1 mV.

    What is undone is once in the base and once one more change of each row.
    """
    name, setup = data.draw(st.sampled_from(SHELF))
    circuit, faults = read_shelf(name), faults_of(name)
    opens = st.sampled_from([f for f in faults if any(isinstance(e, Open) for e in f.edits)])
    shorts = st.sampled_from([f for f in faults if any(isinstance(e, Bridge) for e in f.edits)])
    undone = data.draw(st.lists(st.sampled_from(undoings(circuit)), max_size=2, unique=True))
    apart = tuple(e for u in undone for e in undone_edits(circuit, u))
    one = st.tuples(st.lists(opens, max_size=2), st.lists(shorts, max_size=1))
    drawn = data.draw(st.lists(one, min_size=1, max_size=12))
    variants = [(*(e for f in [*o, *s] for e in f.edits), *apart) for o, s in drawn]
    net, rows, at = _standstill(name, dict(setup.controls), variants)
    direct = Direct().solve(net, rows, at.state)
    for common in (apart, ()):
        quick = LowRank().solve(net, replace(rows, common=common), at.state)
        assert np.abs(quick - direct).max() < WITHIN_V


def test_groups_keep_every_row() -> None:
    """Rows are grouped by device state; each row is in exactly one group."""
    state = np.array([[0, 1], [1, 1], [0, 1], [0, 0]], dtype=np.int8)
    found = sorted(sorted(g.tolist()) for g in groups(state))
    assert found == [[0, 2], [1], [3]]


def test_a_circuit_without_anything_that_switches() -> None:
    """A battery and a resistor are a circuit too: both engines solve it."""
    net = network_of([Element("B", "V", 12.0, "a", "body"), Element("R", "R", 6.0, "a", "body")])
    for engine in (Direct(), LowRank()):
        assert solve_rows(net, engine, 3)[2][:, net.node_index["a"]] == pytest.approx(12.0)
