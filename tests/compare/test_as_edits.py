"""Drawing A with the edits does what drawing B does."""

import pytest

from loomwise.circuit.model import Circuit
from loomwise.compare import Comparison, as_edits, compare
from loomwise.edits import Edit
from loomwise.errors import InputError
from loomwise.shelf import read_shelf, shelf_text
from loomwise.solver.result import OperatingPoint, plant_of, solve_states
from tests.compare.drawings import all_controls, changed, read, renamed
from tests.compare.test_compare import CASES, FANS

STRUCTURAL = ("motor plug", "loom side of a plug", "change-over", "splice leg", "ground")
NEAR_V = 0.05
"""A wire that goes elsewhere has another length: a few centivolts at the currents of the fans."""


def _solved(circuit: Circuit, edits: tuple[Edit, ...] = ()) -> list[OperatingPoint]:
    plant = plant_of(circuit)
    return [solve_states(circuit, plant, states, edits)[0] for states in all_controls(circuit)]


def _assert_same(found: Comparison, a: list[OperatingPoint], b: list[OperatingPoint]) -> None:
    for one, other in zip(a, b, strict=True):
        assert {found.parts[load]: does for load, does in one.loads.items()} == dict(other.loads)
        for t, u in found.pins.items():
            if t in one.voltages_v and u in other.voltages_v and t not in one.floating:
                assert one.voltages_v[t] == pytest.approx(other.voltages_v[u], abs=NEAR_V), t


@pytest.mark.parametrize("name", STRUCTURAL)
@pytest.mark.parametrize("anew", [False, True], ids=["same names", "other names"])
def test_edits_make_one_drawing_the_other(name: str, anew: bool) -> None:
    """With every switch in every position, loads and volts are those of the other drawing."""
    text = changed(FANS, *next(c[1] for c in CASES if c[0] == name))
    a, b = read_shelf(FANS), read(renamed(text, 8) if anew else text)
    found = compare(a, b)
    made = as_edits(a, found.differences)
    assert made.edits and not made.not_expressed
    _assert_same(found, _solved(a, made.edits), _solved(b))


def test_the_other_way_round() -> None:
    """A fuse that only the first drawing has is taken out of the wire's way."""
    case = next(c for c in CASES if c[0] == "one more fuse")
    a, b = read(changed(FANS, *case[1])), read_shelf(FANS)
    found = compare(a, b)
    made = as_edits(a, found.differences)
    assert made.edits and not made.not_expressed
    _assert_same(found, _solved(a, made.edits), _solved(b))


def test_edits_of_a_shared_ground() -> None:
    """A ground point that only the other drawing has is a joint to the body."""
    point = "  G2:  {kind: ground, pins: [1]}      # front, left\n"
    legs = "G1:  {kind: ground, pins: [1]", "G1:  {kind: ground, pins: [1, 2]"
    text = changed("horn", ("C3.2 to G2.1", "C3.2 to G1.2"), (point, ""), legs)
    for a, b in ((read_shelf("horn"), read(text)), (read(text), read_shelf("horn"))):
        found = compare(a, b)
        assert [d.kind for d in found.differences] == ["part", "ground"]
        made = as_edits(a, found.differences)
        assert made.edits and not made.not_expressed
        _assert_same(found, _solved(a, made.edits), _solved(b))


@pytest.mark.parametrize("name", ["one more fuse", "fuse", "logic"])
def test_what_no_edit_can_express_is_said(name: str) -> None:
    """A part that is not there, a rating, a rule: listed instead of guessed."""
    a = read_shelf(FANS)
    b = read(changed(FANS, *next(c[1] for c in CASES if c[0] == name)))
    made = as_edits(a, compare(a, b).differences)
    assert not made.edits and len(made.not_expressed) == 1


def test_looks_need_no_edit() -> None:
    """Colours, cavities and splices change nothing that could be measured."""
    a = read_shelf(FANS)
    for name in ("colour", "cavities", "splices"):
        b = read(changed(FANS, *next(c[1] for c in CASES if c[0] == name)))
        made = as_edits(a, compare(a, b).differences)
        assert made.edits == () and made.not_expressed == ()


def test_differences_of_another_drawing_are_refused() -> None:
    """Edits made for one drawing are not put into another."""
    text = changed(FANS, *next(c[1] for c in CASES if c[0] == "motor plug"))
    found = compare(read(shelf_text(FANS)), read(text))
    with pytest.raises(InputError, match="the drawing has no"):
        as_edits(read_shelf("headlamps"), found.differences)
