"""A tall drawing in parts for paper."""

import pytest

from loomwise.drawing import slices
from loomwise.drawing.sheet import Sheet
from loomwise.shelf import read_shelf
from loomwise.usecases.draw import sheet_of


@pytest.fixture(scope="module")
def fans() -> Sheet:
    """A drawing almost three times as high as wide."""
    return sheet_of(read_shelf("radiator-fans"))


def test_a_low_drawing_stays_whole(fans: Sheet) -> None:
    """What fits a page is not cut."""
    assert slices(fans, fans.height) == (fans,)


def test_nothing_is_lost_by_cutting(fans: Sheet) -> None:
    """Every part and plug is in exactly one part of the drawing, every wire in at least one."""
    parts = slices(fans, 900)
    assert len(parts) > 1 and all(p.height < 1300 for p in parts)
    assert sorted(b.block.id for p in parts for b in p.blocks) == sorted(
        b.block.id for b in fans.blocks
    )
    assert sorted(c.segment.id for p in parts for c in p.contacts) == sorted(
        c.segment.id for c in fans.contacts
    )
    assert {r.segment.id for p in parts for r in p.runs} == {r.segment.id for r in fans.runs}
    sleeves = [r for p in parts for r in p.runs if r.sleeve]
    assert len(sleeves) == len([r for r in fans.runs if r.sleeve])


def test_each_wire_over_a_cut_has_its_letter_on_both_sides(fans: Sheet) -> None:
    """Who turns the page finds the wire again by its letter."""
    upper, lower = slices(fans, 1000)[:2]
    below = {name: x for (x, y), name in upper.letters if y > upper.height / 2}
    above = {name: x for (x, y), name in lower.letters if y < lower.height / 2}
    assert below and below == above


def test_everything_lies_within_its_part(fans: Sheet) -> None:
    """Nothing is drawn outside of a part, where it would be cut off."""
    for part in slices(fans, 700):
        assert all(0 <= y <= part.height for r in part.runs for _, y in r.points)
        assert all(b.y >= 0 and b.y + b.block.height <= part.height for b in part.blocks)
