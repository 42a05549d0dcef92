"""Current is read downwards."""

import pytest

from loomwise.circuit.reader import read_circuit
from loomwise.shelf import shelf_names
from loomwise.ways.heights import heights, solved
from tests.drawing.sheets import LAMP, lamp, sheet_of


def test_heights_rise_along_the_way() -> None:
    """From the battery through fuse, plug, switch and lamp to the ground each place is lower."""
    way = ["BAT.+", "F1.1", "F1.2", "C1.1.a", "C1.1.b", "S1.1", "S1.2", "E1.1", "E1.2", "G1.1"]
    found = [heights(lamp())[place] for place in way]
    assert found == sorted(found) and len(set(found)) == len(found)
    assert (found[0], found[-1]) == (0.0, 1.0)


def test_heights_are_a_dividers_volts() -> None:
    """Three equal resistances in series stand at thirds; a dead end at where it hangs."""
    joined = {
        "a": {"b": 1.0},
        "b": {"a": 1.0, "c": 1.0, "e": 1.0},
        "c": {"b": 1.0, "d": 1.0},
        "d": {"c": 1.0},
        "e": {"b": 1.0},
    }
    found = solved(joined, {"a": 0.0, "d": 1.0})
    assert found["b"] == pytest.approx(1 / 3, abs=1e-5)
    assert found["c"] == pytest.approx(2 / 3, abs=1e-5)
    assert found["e"] == pytest.approx(found["b"], abs=1e-5)


def test_a_loose_piece_has_a_height_too() -> None:
    """A circuit with no way to ground is drawn all the same."""
    text = LAMP.replace("  - E1.2 to G1.1, BN 1.5 mm2, 0.5 m\n", "")
    found = heights(read_circuit(text, "loose"))
    assert 0 <= found["E1.2"] <= 1


@pytest.mark.parametrize("name", shelf_names())
def test_feeds_stand_above_and_grounds_below(name: str) -> None:
    """Batteries have nothing above them, grounds stand at the foot of the sheet."""
    sheet = sheet_of(name)
    parts = sheet.circuit.parts
    for standing in sheet.blocks:
        if parts[standing.block.id].kind == "battery":
            assert standing.y == min(s.y for s in sheet.blocks)
        if parts[standing.block.id].kind == "ground":
            assert standing.y + standing.block.height > 0.9 * sheet.height


@pytest.mark.parametrize("name", shelf_names())
def test_fuses_hang_the_right_way(name: str) -> None:
    """The fed pin of every fuse is on top, and what follows it lies below."""
    sheet = sheet_of(name)
    for standing in sheet.blocks:
        if sheet.circuit.parts[standing.block.id].kind == "fuse":
            sides = {port.pin: port.side for port in standing.block.ports}
            assert sides == {"1": "top", "2": "bottom"}
