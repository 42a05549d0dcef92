"""Units outlined on the drawing: whole units that stand together, and nothing of others."""

import pytest

from loomwise.shelf import shelf_names
from tests.drawing.geometry import problems, read
from tests.drawing.sheets import drawn, sheet_of

TOGETHER = {
    "blower": "resistor pack",
    "starting-charging": "starter",
    "body-feeds": "glove box lamp",
}


@pytest.mark.parametrize(("name", "unit"), TOGETHER.items())
def test_a_unit_whose_parts_stand_together(name: str, unit: str) -> None:
    """The parts that are replaced as one have a dashed outline with the unit's name."""
    svg = drawn(sheet_of(name))
    assert unit in read(svg).outlines
    assert f"<title>{unit}</title>" in svg


def test_a_unit_that_is_spread_has_none() -> None:
    """A fuse box whose fuses stand all over the sheet is named beside each of them only."""
    model = read(drawn(sheet_of("headlamps")))
    assert "fuse box" not in model.outlines
    assert sum(text == "fuse box" for text, _ in model.texts) > 5


@pytest.mark.parametrize("name", shelf_names())
def test_only_parts_of_the_unit_are_inside(name: str) -> None:
    """Whatever stands in an outline is of that unit, and all of the unit is in it."""
    sheet = sheet_of(name)
    model = read(drawn(sheet))
    for unit, (left, top, right, bottom) in model.outlines.items():
        for part, box in model.symbols.items():
            inside = left <= box[0] and box[2] <= right and top <= box[1] and box[3] <= bottom
            if part in sheet.circuit.parts and sheet.circuit.parts[part].kind != "ground":
                own = sheet.circuit.parts[part].unit == unit
                assert inside or not own
            else:
                assert not inside


def test_an_outline_through_letters_is_found() -> None:
    """The measure finds an outline that cuts what it should stand around."""
    svg = drawn(sheet_of("blower"))
    at = svg.index('class="unit"')
    broken = svg[:at] + svg[at:].replace('width="', 'width="5', 1)
    assert any("outline" in p or "canvas" in p for p in problems(broken))
