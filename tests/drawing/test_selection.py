"""One load's part of a circuit."""

import pytest

from loomwise.circuit.reader import read_circuit
from loomwise.drawing import part_of
from loomwise.errors import InputError
from loomwise.generate import generate_circuit
from loomwise.shelf import read_shelf
from loomwise.solver.result import loads
from tests.solver.bench import bench


def test_feed_ground_and_coil_are_there() -> None:
    """The left dipped lamp comes with its fuse, relay, the relay's switch and its ground."""
    part = part_of(read_shelf("headlamps"), "L1")
    assert {"BAT", "F1", "K1", "S1", "L1", "G1", "G2", "G3"} <= set(part.parts)


def test_other_loads_and_their_feeds_are_left_out() -> None:
    """The other lamps, the main beam's relay and its stalk have no say in it."""
    part = part_of(read_shelf("headlamps"), "L1")
    assert not {"L2", "L3", "L4", "K2", "S2", "F2", "F3", "F4"} & set(part.parts)
    assert not any("C3.56a" in name for name in part.segments)


def test_a_load_in_series_stays() -> None:
    """At low speed the left fan's current goes on through the right fan: both are drawn."""
    part = part_of(read_shelf("radiator-fans"), "M1")
    assert {"M1", "M2", "K1", "K2", "A1", "F1", "F3"} <= set(part.parts)
    assert "B1" not in part.parts  # what the module senses is no feed and no ground


def test_what_is_left_is_whole() -> None:
    """Every wire that is left ends at places that are left."""
    part = part_of(read_shelf("radiator-fans"), "M2")
    for segment in part.segments.values():
        assert segment.a in part.places and segment.b in part.places


def test_a_zener_beside_another_load_is_no_way() -> None:
    """A lamp's part leaves out the valve on another fuse, though its zener joins feed to ground."""
    parts = """
    F1: {kind: fuse, rating: 10 A}
    F2: {kind: fuse, rating: 10 A}
    SP1: {kind: splice, pins: [1, 2, 3]}
    SP2: {kind: splice, pins: [1, 2, 3]}
    SP3: {kind: splice, pins: [1, 2, 3]}
    E1: {kind: lamp, power: 21 W}
    Y1: {kind: solenoid}
    V1: {kind: zener, breakdown: 27 V, both ways: yes}
    """
    wires = """
    BAT.+ to SP1.1
    SP1.2 to F1.1
    F1.2 to E1.1
    E1.2 to G1.1
    SP1.3 to F2.1
    F2.2 to SP2.1
    SP2.2 to Y1.1
    SP2.3 to V1.K
    Y1.2 to SP3.1
    V1.A to SP3.2
    SP3.3 to G1.2
    """
    assert not {"F2", "Y1", "V1"} & set(part_of(bench(parts, wires), "E1").parts)


def test_a_window_comes_without_the_other_one() -> None:
    """The driver's window, turned both ways by its switch, leaves out the passenger's."""
    part = part_of(read_shelf("power-window"), "M1")
    assert {"BAT", "CB1", "K1", "S2", "M1", "G2"} <= set(part.parts)
    assert not {"S3", "S4", "M2"} & set(part.parts)


def test_a_large_circuit_gets_small() -> None:
    """Of 150 parts a load's own are a page, whichever load it is."""
    circuit = read_circuit(generate_circuit(150, 3), "large")
    for load in loads(circuit)[::4]:
        part = part_of(circuit, load.id)
        assert load.id.partition(".")[0] in part.parts and len(part.parts) <= 40
        assert any(p.kind == "battery" for p in part.parts.values())


def test_one_filament_of_two() -> None:
    """The left main beam is drawn with its own fuse and relay, without those of dipped beam."""
    part = part_of(read_shelf("light-stalk"), "E1.1")
    assert {"E1", "F3", "K2"} <= set(part.parts)
    assert not {"F2", "K1", "E3", "E4"} & set(part.parts)


def test_a_load_that_is_not_there() -> None:
    """A slip of the pen is named with what was meant."""
    with pytest.raises(InputError, match="L1"):
        part_of(read_shelf("headlamps"), "l1")
