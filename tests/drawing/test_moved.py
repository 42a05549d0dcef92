"""Symbols moved by hand: they come where they were put, and the drawing stays legible."""

import pytest

from loomwise.drawing import Sheet, layout_graph, moved_graph, read_layout
from loomwise.layout import place
from loomwise.shelf import read_shelf
from tests.drawing.geometry import problems
from tests.drawing.sheets import drawn, sheet_of


def moved(name: str, **spots: tuple[float, float]) -> Sheet:
    """The sheet with symbols moved."""
    circuit = read_shelf(name)
    graph = layout_graph(circuit)
    return read_layout(circuit, place(moved_graph(graph, place(graph), spots)))


def corners(sheet: Sheet) -> dict[str, tuple[float, float]]:
    """The left upper corner of every symbol."""
    return {s.block.id: (s.x, s.y) for s in sheet.blocks}


@pytest.mark.parametrize("part", ["K1", "M2"])
def test_a_moved_symbol_keeps_the_drawing_legible(part: str) -> None:
    """Wherever a symbol is put, nothing comes to lie on anything else."""
    for spot in ((0.0, 600.0), (600.0, 300.0)):
        assert problems(drawn(moved("radiator-fans", **{part: spot}))) == []


def test_a_symbol_changes_sides() -> None:
    """The lamp that stood rightmost stands leftmost once it was put there."""
    before = corners(sheet_of("headlamps"))
    lamps = ("L1", "L2", "L3", "L4")
    last = max(lamps, key=lambda name: before[name])
    after = corners(moved("headlamps", **{last: (0.0, before[last][1])}))
    assert min(lamps, key=lambda name: after[name]) == last
    rest = [name for name in lamps if name != last]
    assert sorted(rest, key=lambda n: before[n]) == sorted(rest, key=lambda n: after[n])


def test_untouched_symbols_keep_their_order() -> None:
    """What nobody moved stays above, below and beside what it was."""
    before, after = corners(sheet_of("horn")), corners(moved("horn", H1=(0.0, 400.0)))
    rest = [name for name in before if name != "H1"]
    assert sorted(rest, key=lambda n: before[n][1]) == sorted(rest, key=lambda n: after[n][1])
