"""Trailer sockets: pins by their standard, and a trailer's own ground."""

import pytest

from loomwise.circuit.kinds.tables import sockets
from loomwise.circuit.reader import read_circuit
from loomwise.edits import Open
from loomwise.setups import undoings
from tests.solver.bench import solve

TRAILER = """
format: 1
title: Trailer lamps
supply: 12 V
units: {bench: {price: 1, minutes: 1}, battery: {price: 1, minutes: 1}}
connectors:
  X1: {halves: [tow bar, trailer loom], standard: ISO 11446}
parts:
  BAT: {kind: battery, in: battery}
  G1: {kind: ground, pins: [b, 1]}
  G9: {kind: ground, pins: [1, 2, 3], metal: trailer}
  L1: {kind: lamp, power: 21 W, in: bench}
  L2: {kind: lamp, power: 5 W, in: bench}
  SP1: {kind: splice, pins: [1, 2]}
wires:
  - BAT.- to G1.b, BK 16 mm2, 0.2 m
  - BAT.+ to X1.1 to L1.1, YE 1.5 mm2, 4 m, in trailer loom
  - L1.2 to G9.1
  - SP1.1 to X1.7 to L2.1, BK 1.5 mm2, 4 m, in trailer loom
  - SP1.2 to G1.1
  - L2.2 to G9.2
  - G9.3 to X1.3 to BAT.-, WH 2.5 mm2, 5 m, in trailer loom
"""
COUNTS = {"ISO 1724": 7, "ISO 11446": 13, "ISO 1185": 7, "ISO 12098": 15}


def test_every_standard_has_its_pins() -> None:
    """7, 13, 7 and 15 contacts, numbered from 1, each with its use and where that is from."""
    assert {name: len(pins) for name, pins in sockets().items()} == COUNTS
    for pins in sockets().values():
        assert [p.pin for p in pins] == [str(n) for n in range(1, len(pins) + 1)]
        assert all(p.function and p.source for p in pins)


@pytest.mark.parametrize(
    ("standard", "pin", "function"),
    [("ISO 11446", "4", "right turn"), ("ISO 11446", "13", "ground of 9"),
     ("ISO 12098", "7", "stop lamps"), ("ISO 12098", "14", "CAN_H")],
)  # fmt: skip
def test_published_pins(standard: str, pin: str, function: str) -> None:
    """As on https://en.wikipedia.org/wiki/ISO_11446 and
    https://www.tralert.com/en/lighting-terms/15-pin-iso-12098/ ."""
    assert next(p.function for p in sockets()[standard] if p.pin == pin) == function


def test_a_socket_says_what_its_pins_are_for() -> None:
    """The place at a contact names its use, and the trailer can be unplugged."""
    circuit = read_circuit(TRAILER, "trailer.yaml")
    assert "1 (left turn)" in circuit.places["X1.1.a"].title
    assert "X1 apart" in {str(u) for u in undoings(circuit)}
    assert solve(circuit)[0].loads == {"L1": "bright", "L2": "dark"}


def test_a_bad_trailer_ground_feeds_back() -> None:
    """Ground contact 3 open: the turn lamp's current looks for its way home through the tail
    lamp, which glows, and the trailer's metal is live."""
    circuit = read_circuit(TRAILER, "trailer.yaml")
    point = solve(circuit, "", [Open("X1.3")])[0]
    assert point.loads["L1"] == "dark"
    assert point.loads["L2"] == "bright"
    assert point.voltages_v["G9.1"] > 9.0


def test_a_connector_needs_cavities_or_a_standard() -> None:
    """Neither given, the reader says what is missing."""
    text = TRAILER.replace(", standard: ISO 11446", "")
    with pytest.raises(Exception, match="connector X1 has no cavities"):
        read_circuit(text, "trailer.yaml")
