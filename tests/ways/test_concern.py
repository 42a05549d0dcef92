"""What concerns a complaint, and what does not."""

import pytest

from loomwise.circuit.reader import read_circuit
from loomwise.generate import generate_circuit
from loomwise.shelf import read_shelf
from loomwise.solver.result import loads
from loomwise.ways import concern
from tests.solver.bench import bench


def test_a_lamp_s_feed_switch_and_ground_are_concerned() -> None:
    """The left dipped lamp: its fuse, relay, switch and ground, and the wires and plugs between."""
    found = concern(read_shelf("headlamps"), ["L1"])
    assert all(name in found for name in ("BAT", "F1", "K1", "S1", "L1", "G1", "F1.2", "K1.85"))


def test_another_circuit_behind_another_fuse_is_not() -> None:
    """The main beams' own fuses and wires say nothing about the dipped lamp."""
    found = concern(read_shelf("headlamps"), ["L1"])
    assert not any(name in found for name in ("F3.2", "F4.2", "L2.1", "L4.1"))


TWO_FUSES = """
  F1: {kind: fuse, rating: 10 A}
  F2: {kind: fuse, rating: 10 A}
  S1: {kind: switch, pins: [1, 2], set by: left, positions: {off: [], on: [1-2]}}
  S2: {kind: switch, pins: [1, 2], set by: right, positions: {off: [], on: [1-2]}}
  E1: {kind: lamp, power: 21 W}
  E2: {kind: lamp, power: 21 W}
  E3: {kind: lamp, power: 21 W}
  SP1: {kind: splice, pins: [1, 2, 3]}
  SP2: {kind: splice, pins: [1, 2, 3]}
"""
CONTROLS = "left: {states: [off, on], rest: off}, right: {states: [off, on], rest: off}"
WIRES = """
  BAT.+ to SP1.1
  SP1.2 to F1.1
  SP1.3 to F2.1
  F1.2 to SP2.1
  SP2.2 to S1.1
  SP2.3 to S2.1
  S1.2 to E1.1
  S2.2 to E2.1
  F2.2 to E3.1
  E1.2 to G1.1
  E2.2 to G1.2
  E3.2 to G1.3
"""


def test_a_short_behind_the_same_fuse_is_concerned() -> None:
    """What hangs on the lamp's fuse can blow it: the other lamp's feed counts, its ground wire not;
    a lamp on another fuse does not count at all."""
    found = concern(bench(TWO_FUSES, WIRES, CONTROLS), ["E1"])
    assert "S2.2" in found and "E2.1" in found
    assert "E3.1" not in found and "F2.2" not in found
    assert "F2.1" in found  # a short before that fuse takes all with it


def test_what_a_module_reads_to_decide_is_concerned() -> None:
    """The fans' module runs them by the coolant sensor: the sensor and its wires count."""
    found = concern(read_shelf("radiator-fans"), ["M1"])
    assert all(name in found for name in ("A1", "B1", "B1.1"))


def test_what_was_measured_elsewhere_is_concerned() -> None:
    """A reading at the main beam's fuse brings in what hangs on that fuse, and no other."""
    circuit = read_shelf("headlamps")
    found = concern(circuit, ["L1"], ["F3.2"])
    assert "F3.2" in found and "L2.1" in found
    assert "F4.2" not in found


@pytest.mark.parametrize("seed", [1, 3])
def test_of_a_large_circuit_little_is_concerned(seed: int) -> None:
    """Of 150 parts a complaint about one load concerns less than half of the places."""
    circuit = read_circuit(generate_circuit(150, seed), "generated")
    some = loads(circuit)[::5]
    shares = []
    for load in some:
        found = concern(circuit, [load.id])
        shares.append(sum(place in found for place in circuit.places) / len(circuit.places))
    assert sorted(shares)[len(shares) // 2] < 0.4
