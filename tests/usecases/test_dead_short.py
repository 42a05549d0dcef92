"""A battery shorted by the drawing itself is found before anything is solved."""

import pytest

from loomwise.circuit.reader import read_circuit
from loomwise.shelf import read_shelf, shelf_names
from loomwise.usecases.dead_short import dead_short

SHORTED = """\
format: 1
title: Shorted
supply: 12 V
units:
  battery: {price: 1, minutes: 1}
parts:
  BAT: {kind: battery, in: battery}
  F1: {kind: fuse, rating: 10 A}
  SP1: {kind: splice, pins: [1, 2, 3]}
  G1: {kind: ground, pins: [1, 2]}
  G2: {kind: ground, pins: [1, 2]}
wires:
  - BAT.+ to SP1.1
  - SP1.2 to F1.1
  - F1.2 to G2.1
  - BAT.- to G1.1
  - SP1.3 to G2.2
"""


@pytest.mark.parametrize("name", shelf_names())
def test_good_circuits_have_none(name: str) -> None:
    """On every way from plus to minus of a good circuit stands a fuse or a part."""
    assert dead_short(read_shelf(name)) is None


def test_a_way_through_splices_and_body() -> None:
    """Two ground points are joined by the body, so a splice on one of them shorts the battery."""
    text = SHORTED.replace("{kind: fuse, rating: 10 A}", "{kind: fuse, rating: 10 A, in: battery}")
    short = dead_short(read_circuit(text, "s"))
    assert short is not None
    assert short.line == 13 and "line 13, 16, 17" in short.hint
    assert "SP1" in short.what
    mended = text.replace("  - SP1.3 to G2.2\n", "").replace("[1, 2, 3]", "[1, 2]")
    mended = mended.replace("G2: {kind: ground, pins: [1, 2]", "G2: {kind: ground, pins: [1]")
    assert dead_short(read_circuit(mended, "s")) is None
