"""Edits as rows: every edit changes what it names, and refuses what is not there."""

import numpy as np
import pytest

from loomwise.circuit.model import BODY
from loomwise.edits import (
    AddOhm,
    Bridge,
    BridgeLamp,
    Ease,
    Edit,
    Hold,
    Limit,
    Open,
    Scale,
    SetEmf,
    SetOhm,
)
from loomwise.errors import SetupError
from loomwise.solver.network import bridge_id
from loomwise.solver.rows import bridges_in, prepared
from tests.solver.bench import bench, brought_to_rest, node_v, state_of

PARTS = """
F1: {kind: fuse, rating: 10 A}
R1: {kind: resistor, resistance: 2 ohm}
R2: {kind: resistor, resistance: 4 ohm}
L1: {kind: lamp, power: 21 W}
"""
WIRES = """
BAT.+ to F1.1
F1.2 to R1.1
R1.2 to R2.1
R2.2 to G1.1
BAT.+ to L1.1
L1.2 to G1.2
"""
CIRCUIT = bench(PARTS, WIRES)


def _middle_v(*edits: Edit) -> float:
    plant, _, at = brought_to_rest(CIRCUIT, {}, [edits])
    return float(node_v(plant, at, "R1.2")[0])


@pytest.mark.parametrize(
    ("edits", "volts"),
    [
        ((), 12 * 4 / 6),
        ((AddOhm("R1.element", 6.0),), 12 * 4 / 12),
        ((SetOhm("R2.element", 1.0),), 12 * 1 / 3),
        ((Scale("R2.element", 2.0),), 12 * 2 / 4),
        ((SetEmf("BAT.cell", 6.0),), 6 * 4 / 6),
        ((Open("R1.element"),), 0.0),
        ((Open("R2.element"),), 12.0),
        ((Bridge("R1.2", BODY, 4.0),), 12 * 2 / 4),
        ((Bridge("R1.2", "R1.1", 2.0),), 12 * 4 / 5),
        ((Bridge("R1.2", BODY, 4.0, emf_v=12.0),), 12 * 1.5 / 2),
        ((Hold("F1", "blown"),), 0.0),
    ],
    ids=str,
)  # fmt: skip
def test_edits_by_hand(edits: tuple[Edit, ...], volts: float) -> None:
    """A divider of 2 and 4 ohm with one thing changed gives what a person works out."""
    assert _middle_v(*edits) == pytest.approx(volts, abs=0.1)  # wires and cell take the rest


def test_edits_add_up() -> None:
    """Two bad joints in one wire are as bad as one of their sum."""
    both = _middle_v(AddOhm("R1.element", 1.0), AddOhm("R1.element", 2.0))
    assert both == pytest.approx(_middle_v(AddOhm("R1.element", 3.0)), rel=1e-12)


def test_a_lamp_as_bridge() -> None:
    """A test lamp to ground at a live point takes its quarter ampere; elsewhere it is not there."""
    edits = [(BridgeLamp("F1.2", BODY, 3.0, 12.0),), ()]
    plant, rows, at = brought_to_rest(CIRCUIT, {}, edits)
    b = plant.net.branch_index[bridge_id("F1.2", BODY, (3.0, 12.0))]
    assert rows.scale[:, b].tolist() == [1.0, 0.0]
    volts = node_v(plant, at, "F1.2")
    assert 0.0 < volts[1] - volts[0] < 0.02


@pytest.mark.parametrize(
    "edit",
    [Open("R9.element"), AddOhm("R9.element", 1.0), Hold("K9", "pulled"), Hold("F1", "wet"),
     Bridge("R9.1", BODY, 1.0), BridgeLamp("R9.1", BODY, 3.0, 12.0), SetEmf("", 1.0),
     Limit("F9", 0, 2.0)],
    ids=str,
)  # fmt: skip
def test_what_is_not_there_is_refused(edit: Edit) -> None:
    """A fault at a part that the circuit does not have is an error that names it."""
    with pytest.raises(SetupError) as caught:
        brought_to_rest(CIRCUIT, {}, [(edit,)])
    named = [str(x) for x in vars(edit).values() if isinstance(x, str) and x != BODY]
    assert any(name in str(caught.value) for name in named)


def test_a_held_device_names_the_states_it_has() -> None:
    """The error for a wrong state says which states there are."""
    with pytest.raises(SetupError, match="intact, blown"):
        brought_to_rest(CIRCUIT, {}, [(Hold("F1", "wet"),)])


def test_a_limit_that_a_device_does_not_have_is_refused() -> None:
    """A fuse has one rating and no second: the error says so instead of changing nothing."""
    for index in (1, -1):
        with pytest.raises(SetupError, match="F1 has no limit"):
            brought_to_rest(CIRCUIT, {}, [(Limit("F1", index, 2.0),)])


def test_limits_belong_to_one_device_and_ease_to_every_relay() -> None:
    """Another fuse leaves the relays alone; an easier vehicle is easier at every relay only."""
    parts = """
    F1: {kind: fuse, rating: 10 A}
    K1: {kind: relay, contact: NO}
    K2: {kind: relay, contact: NO}
    """
    wires = "BAT.+ to F1.1\nF1.2 to K1.86\nK1.85 to G1.1\nBAT.+ to K2.86\nK2.85 to G1.2"
    edits: list[tuple[Edit, ...]] = [
        (), (Limit("F1", 0, 0.5),), (Ease(0.9),), (Limit("K1", 1, 0.5), Ease(0.9))
    ]  # fmt: skip
    plant, rows, _ = brought_to_rest(bench(parts, wires), {}, edits)
    fuse, *relays = (plant.net.device_index[n] for n in ("F1", "K1", "K2"))
    share = rows.limits / rows.limits[0].clip(1e-12)
    assert share[:, fuse, 0] == pytest.approx([1.0, 0.5, 1.0, 1.0])
    assert share[:, relays[0]] == pytest.approx(np.array([[1, 1], [1, 1], [0.9, 0.9], [0.9, 0.45]]))
    assert share[:, relays[1]] == pytest.approx(np.array([[1, 1], [1, 1], [0.9, 0.9], [0.9, 0.9]]))


def test_rows_do_not_touch_each_other() -> None:
    """A fault in one variant leaves the others as they were."""
    plant, rows, at = brought_to_rest(CIRCUIT, {}, [(), (Open("R2.element"),), ()])
    volts = node_v(plant, at, "R1.2")
    assert volts[0] == volts[2] != volts[1]
    assert len(rows.take(np.array([1, 2]))) == 2


def test_bridges_are_shared() -> None:
    """The same pair of places becomes one branch, however many variants bridge it."""
    net = brought_to_rest(CIRCUIT, {}, [()])[0].net
    edits = [(Bridge("R1.1", BODY, ohm),) for ohm in (0.1, 1.0, 10.0)]
    wider, _ = prepared(net, np.zeros(len(net.devices), dtype=np.int8), edits)
    assert len(wider.branches) == len(net.branches) + 1
    assert len(bridges_in(edits[0])) == 1


def test_starting_from_another_state() -> None:
    """A row begun elsewhere keeps what is held: a welded contact stays welded."""
    plant, rows, _ = brought_to_rest(CIRCUIT, {}, [(Hold("F1", "blown"),), ()])
    again = rows.starting(np.zeros((1, len(plant.net.devices)), dtype=np.int8))
    d = plant.net.device_index["F1"]
    assert again.start[:, d].tolist() == [1, 0]
    assert state_of(plant, brought_to_rest(CIRCUIT, {}, [()])[2], "F1") == "intact"
