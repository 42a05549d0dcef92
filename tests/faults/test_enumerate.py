from collections import defaultdict

import pytest

from loomwise.circuit.reader import read_circuit
from loomwise.edits import Bridge
from loomwise.faults import Fault, enumerate_faults
from loomwise.faults.conductors import CHAFED, neighbours
from loomwise.faults.tables import modes
from loomwise.shelf import read_shelf, shelf_names
from tests.reference.shelf_cases import faults_of


@pytest.mark.parametrize("name", shelf_names())
def test_weights_sum_to_one(name: str) -> None:
    """Beforehand something is at fault: the weights of all single faults sum to one."""
    faults = faults_of(name)
    assert sum(f.weight for f in faults) == pytest.approx(1.0, abs=1e-12)
    assert min(f.weight for f in faults) > 0.0


@pytest.mark.parametrize("name", shelf_names())
def test_every_fault_is_in_something_that_can_be_repaired(name: str) -> None:
    """A suspect nobody can buy, clean or rerun is no help: each fault names a unit."""
    circuit = read_shelf(name)
    assert {f.unit for f in faults_of(name)} <= circuit.units.keys()


@pytest.mark.parametrize("name", shelf_names())
def test_ids_are_unique_and_cells_share_their_fault(name: str) -> None:
    """Two faults never share an id; the cells of one fault share group, unit and weight."""
    faults = faults_of(name)
    assert len({f.id for f in faults}) == len(faults)
    groups: dict[str, list[Fault]] = defaultdict(list)
    for f in faults:
        groups[f.group].append(f)
    for cells in groups.values():
        assert len({(c.unit, c.mode, c.where) for c in cells}) == 1
        assert all(c.weight == pytest.approx(cells[0].weight) for c in cells)


def test_weights_divide_a_class_by_place_and_length() -> None:
    """All contacts are equally suspect; a wire of twice the length is twice as likely chafed."""
    faults = faults_of("horn")

    def weight(where: str, mode: str) -> float:
        return sum(f.weight for f in faults if f.where == where and f.mode == mode)

    assert weight("C1.3", "open") == pytest.approx(weight("C4.1", "open"))
    chafed = "short to ground"
    circuit = read_shelf("horn")
    front, ground = circuit.segments["C1.3.b-C3.1.a"], circuit.segments["C3.2.a-G2.1"]
    assert front.length_m > 2.0 * ground.length_m
    ratio = weight(front.id, chafed) / weight(ground.id, chafed)
    assert ratio == pytest.approx(front.length_m / ground.length_m)


def test_classes_keep_their_percentages() -> None:
    """Corroded grounds are 7 to 4 likelier than wires chafed to ground, as the table says."""
    faults = faults_of("horn")
    percent = {(m.applies, m.mode): m.percent for m in modes()}

    def weight(*wheres: str, mode: str) -> float:
        return sum(f.weight for f in faults if f.where in wheres and f.mode == mode)

    grounds = weight("G1.stud", "G2.stud", "G3.stud", mode="resistance")
    wires = sum(f.weight for f in faults if f.mode == "short to ground")
    table = percent["ground", "resistance"] / percent["wire", "short to ground"]
    assert grounds / wires == pytest.approx(table)


GRID = """
format: 1
title: One plug of six
supply: 12 V
units: {box: {price: 100, minutes: 30}, heater: {price: 30, minutes: 20}}
connectors:
  C1: {halves: [box, loom], cavities: 6, rows: 2, minutes: 2}
parts:
  BAT: {kind: battery, in: box}
  SP1: {kind: splice, pins: [0, 1, 2, 3, 5, 6], in: box}
  SP2: {kind: splice, pins: [0, 1, 2, 3, 5, 6]}
  R1: {kind: heater, power: 20 W, in: heater}
  G1: {kind: ground, pins: [1, 2]}
wires:
  - BAT.+ to SP1.0
  - BAT.- to G1.1
  - SP1.1 to C1.1 to SP2.1
  - SP1.2 to C1.2 to SP2.2
  - SP1.3 to C1.3 to SP2.3
  - SP1.5 to C1.5 to SP2.5
  - SP1.6 to C1.6 to SP2.6
  - SP2.0 to R1.1
  - R1.2 to G1.2
"""


@pytest.mark.parametrize(
    ("cavity", "near"),
    [("1", {"2"}), ("2", {"1", "3", "5"}), ("3", {"2", "6"}), ("5", {"2", "6"}), ("6", {"3", "5"})],
)
def test_neighbours_come_from_the_cavity_grid(cavity: str, near: set[str]) -> None:
    """In a plug of two rows of three, cavity 2 touches 1, 3 and 5; 4 is empty; no diagonals."""
    circuit = read_circuit(GRID, "plug.yaml")
    found = neighbours(circuit, circuit.segments[f"C1.{cavity}"])
    assert {s.cavity for s in found} == near


LOOM = """
format: 1
title: Wires of one loom
supply: 12 V
units: {box: {price: 100, minutes: 30}, heater: {price: 30, minutes: 20}}
connectors:
  C1: {halves: [box, loom], cavities: 4, minutes: 2}
parts:
  BAT: {kind: battery, in: box}
  SP1: {kind: splice, pins: [0, 1, 2, 3], in: box}
  R1: {kind: heater, power: 20 W, in: heater}
  R2: {kind: heater, power: 20 W, in: heater}
  R3: {kind: heater, power: 20 W, in: heater}
  G1: {kind: ground, pins: [1, 2, 3, 4]}
wires:
  - BAT.+ to SP1.0
  - BAT.- to G1.1, BK 16 mm2, 0.3 m
  - SP1.1 to C1.1 to R1.1, RD 2.5 mm2, 0.8 m, in loom
  - SP1.2 to C1.2 to R2.1, RD 0.5 mm2, 0.8 m, in loom
  - R1.2 to G1.2, BN 2.5 mm2, 0.5 m, in loom
  - R2.2 to G1.3, BN 2.5 mm2, 1.2 m, in loom
  - SP1.3 to C1.3 to R3.1, RD 2.5 mm2, 0.8 m, in other loom
  - R3.2 to G1.4, BN 2.5 mm2, 0.3 m, in other loom
"""


@pytest.mark.parametrize(
    ("wire", "ends"),
    [
        ("C1.1.b-R1.1", ("C1.1.b",)),
        ("C1.2.b-R2.1", ("C1.2.b", "R2.1")),
        ("R2.2-G1.3", ("R2.2", "G1.3")),
    ],
)
def test_a_short_sits_at_either_end_where_that_matters(wire: str, ends: tuple[str, ...]) -> None:
    """A long or thin wire is chafed near either end, half the weight each; a stout short one is the
    same fault all along."""
    faults = enumerate_faults(read_circuit(LOOM, "loom.yaml"), {})
    found = [f for f in faults if f.group == f"{wire} short to ground"]
    weight = {end: sum(f.weight for f in found if f.id.endswith(f" at {end}")) for end in ends}
    assert list(weight.values()) == pytest.approx(
        [sum(f.weight for f in found) / len(ends)] * len(ends)
    )
    places = {e.a for f in found for e in f.edits if isinstance(e, Bridge)}
    assert places == set(ends)


def test_wires_that_lie_side_by_side_may_touch() -> None:
    """Two wires of one loom from the same plug, part or stud may chafe through together; wires of
    two looms do not."""
    faults = enumerate_faults(read_circuit(LOOM, "loom.yaml"), {})
    pairs = {f.where: f.edits for f in faults if f.mode == CHAFED}
    assert pairs.keys() == {
        "C1.1.b-R1.1 and C1.2.b-R2.1", "C1.2.b-R2.1 and R2.2-G1.3", "R1.2-G1.2 and R2.2-G1.3"
    }  # fmt: skip
    (bridge,) = pairs["C1.1.b-R1.1 and C1.2.b-R2.1"]
    assert isinstance(bridge, Bridge) and (bridge.a, bridge.b) == ("C1.1.b", "C1.2.b")


@pytest.mark.parametrize("name", shelf_names())
def test_pairs_of_wires_are_no_more_than_the_wires(name: str) -> None:
    """Each wire is taken to touch one neighbour, so a thick loom does not swamp the list."""
    wires = [s for s in read_shelf(name).segments.values() if s.kind == "wire"]
    pairs = {f.where for f in faults_of(name) if f.mode == CHAFED}
    assert 0 < len(pairs) < len(wires)


def test_each_pair_of_neighbours_leaks_once() -> None:
    """Water between cavities 2 and 5 is one fault, not two."""
    faults = enumerate_faults(read_circuit(GRID, "plug.yaml"), {})
    pairs = {f.where for f in faults if f.mode == "leak to neighbour"}
    assert pairs == {
        f"C1.{p} and C1.{q}"
        for p, q in (("1", "2"), ("2", "3"), ("2", "5"), ("3", "6"), ("5", "6"))
    }
