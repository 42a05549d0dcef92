import pytest

from loomwise.circuit.reader import read_circuit
from loomwise.circuit.wire import wire_resistance_ohm
from loomwise.circuit.wiring import CONTACT_OHM, INNER_OHM
from loomwise.faults import enumerate_faults
from loomwise.shelf import read_shelf, shelf_names, shelf_text
from tests.circuit.samples import changed, problems, small

FEED = "SP1.3 to C1.1 to C2.1 to S1.1, RDWH 0.75 mm2, 2 m, in dash loom"


def test_a_wire_through_two_plugs_is_five_pieces() -> None:
    """A fault before, in, between, in and after two plugs are five different repairs."""
    line = [(s.id, s.kind, s.unit) for s in small().segments.values() if s.line == 27]
    assert sorted(line) == [
        ("C1.1", "contact", "contact C1.1"),
        ("C1.1.b-C2.1.a", "wire", "wire C1.1-C2.1"),
        ("C2.1", "contact", "contact C2.1"),
        ("C2.1.b-S1.1", "inner", "panel"),
        ("SP1.3-C1.1.a", "inner", "fuse box"),
    ]


def test_a_contact_has_two_sides() -> None:
    """A mated contact is a small resistance of its own between the two halves."""
    contact = small().segments["C1.1"]
    assert (contact.a, contact.b) == ("C1.1.a", "C1.1.b")
    assert (contact.connector, contact.cavity) == ("C1", "1")
    assert contact.resistance_ohm == CONTACT_OHM


def test_the_wire_has_the_resistance_of_its_copper() -> None:
    """Two metres of 0.75 mm2 are 46 milliohm."""
    wire = small().segments["C1.1.b-C2.1.a"]
    assert wire.resistance_ohm == pytest.approx(wire_resistance_ohm(2.0, 0.75))
    assert (wire.colour, wire.area_mm2, wire.length_m) == ("RDWH", 0.75, 2.0)
    assert (wire.wire, wire.loom) == ("wire C1.1-C2.1", "dash loom")


def test_the_wires_unit_says_what_to_look_for() -> None:
    """The title of a wire tells where it runs and what it looks like."""
    title = small().units["wire C1.1-C2.1"].title
    assert title == "wire C1.1 to C2.1 (RDWH 0.75 mm2)"


def test_inside_one_unit_there_is_no_wire_to_replace() -> None:
    """Between a fuse and a relay of one fuse box runs a bus bar of that fuse box."""
    piece = small().segments["SP1.2-K1.30"]
    assert (piece.kind, piece.unit, piece.wire) == ("inner", "fuse box", "")
    assert piece.resistance_ohm == INNER_OHM


def test_the_length_is_shared_by_the_pieces_of_wire() -> None:
    """A length covers the whole line; pieces inside units take none of it."""
    circuit = small(
        (
            "{halves: [dash loom, panel], cavities: 2}",
            "{halves: [dash loom, door loom], cavities: 2}",
        )
    )
    pieces = [s for s in circuit.segments.values() if s.line == 27 and s.kind == "wire"]
    assert [(p.id, p.length_m) for p in pieces] == [("C1.1.b-C2.1.a", 1.0), ("C2.1.b-S1.1", 1.0)]
    assert [p.loom for p in pieces] == ["dash loom", "door loom"]


def test_the_halves_turn_with_the_direction_of_the_line() -> None:
    """Written from the other end, the same wire runs through the same sides of the plugs."""
    turned = FEED.replace("SP1.3 to C1.1 to C2.1 to S1.1", "S1.1 to C2.1 to C1.1 to SP1.3")
    ends = [
        {frozenset((s.a, s.b)) for s in circuit.segments.values()}
        for circuit in (small(), small((FEED, turned)))
    ]
    assert ends[0] == ends[1]


@pytest.mark.parametrize(
    ("line", "a", "b"),
    [
        ("C1.3 to L1.1, in dash loom", "C1.3.b", "L1.1"),
        ("C1.3 to SP1.3", "C1.3.a", "SP1.3"),
        ("L1.1 to C1.3, in dash loom", "L1.1", "C1.3.b"),
        ("L1.1 to C1.3 to SP1.3", "L1.1", "C1.3.b"),
    ],
)
def test_which_side_of_the_plug(line: str, a: str, b: str) -> None:
    """What the neighbours sit in, or the loom, tells which side of a plug a wire comes to."""
    circuit = small((FEED, line), ("  - K1.87 to L1.1, GY 1 mm2, 1.5 m\n", ""))
    assert any((s.a, s.b) == (a, b) for s in circuit.segments.values())


def test_a_side_that_nothing_tells_is_asked_for() -> None:
    """The program does not guess on which side of a plug a wire is crimped."""
    text = changed((FEED, "L1.1 to C1.3"), ("  - K1.87 to L1.1, GY 1 mm2, 1.5 m\n", ""))
    (problem,) = problems(text)
    assert "line 27: which side of C1 the wire comes to is not clear" in problem
    assert "add 'in fuse box' or 'in dash loom'" in problem


def test_a_line_that_comes_back_is_a_slip() -> None:
    """Out of the fuse box by a plug and straight to a relay in it: one of them is wrong."""
    (problem,) = problems(
        changed(
            (FEED, "SP1.3 to C1.3 to K1.87"),
            ("  - K1.87 to L1.1", "  - SP1.2 to L1.1"),
            ("  - SP1.2 to K1.30\n", ""),
        )
    )
    assert "goes over to the dash loom side, but K1 sits in the fuse box" in problem


def test_one_wire_a_pin() -> None:
    """Two wires on one pin are joined somewhere: that place is a splice."""
    (problem,) = problems(changed((FEED, "SP1.2 to S1.1")))
    assert problem.startswith("f, line 27: SP1.2 takes one wire, and this is a second; the first")
    assert "line 26; use a splice" in problem


def test_one_wire_a_cavity_side() -> None:
    """A cavity takes one crimped terminal from each side."""
    found = problems(changed(("S1.2 to C2.2 to C1.2", "S1.2 to C2.1 to C1.2")))
    assert (
        "f, line 28: C2.1 takes one wire, and this is a second; the first is in line 27" in found[0]
    )


def test_a_wire_runs_on_through_a_pin_only_at_a_splice() -> None:
    """A line does not pass through a pin: what leaves it again is a second wire."""
    (problem,) = problems(
        changed(
            ("K1.87 to L1.1,", "K1.87 to L1.1 to L1.2,"),
            ("  - L1.2 to G1.3, BN 1 mm2, 0.5 m\n", ""),
        )
    )
    assert "L1.1 takes one wire" in problem


def test_a_battery_post_takes_several_wires() -> None:
    """Several eyelets go under one battery clamp."""
    circuit = small((FEED, "BAT.+ to S1.1, RD 1 mm2"))
    assert sum(s.a == "BAT.+" for s in circuit.segments.values()) == 2


def test_both_lines_of_one_contact_may_be_written_apart() -> None:
    """A line may end at a plug and another go on from its other side."""
    circuit = small((FEED, "SP1.3 to C1.1\n  - C1.1 to C2.1 to S1.1, RDWH 0.75 mm2, 2 m"))
    assert circuit.segments["C1.1.b-C2.1.a"].length_m == 2.0
    assert circuit.segments["SP1.3-C1.1.a"].kind == "inner"


@pytest.mark.parametrize("name", shelf_names())
def test_every_conductor_has_two_places_and_a_unit(name: str) -> None:
    """A fault is somewhere: each conductor lies between two places and belongs to one unit."""
    circuit = read_shelf(name)
    for segment in circuit.segments.values():
        assert {segment.a, segment.b} <= set(circuit.places), segment.id
        assert segment.unit in circuit.units, segment.id
        assert segment.resistance_ohm > 0, segment.id
    assert {p.unit for p in circuit.places.values()} <= set(circuit.units)


@pytest.mark.parametrize("loom", ["front loom", "dash loom"])
def test_a_loom_that_is_also_a_unit_keeps_its_faults(loom: str) -> None:
    """A loom that can be bought as a whole still has wires that chafe and get gnawed, at its
    price."""
    text = shelf_text("horn")
    priced = text.replace("units:\n", f"units:\n  {loom}: {{price: 240, minutes: 150}}\n", 1)
    plain, bought = read_circuit(text, "horn.yaml"), read_circuit(priced, "horn.yaml")
    groups = [{f.group for f in enumerate_faults(c, {})} for c in (plain, bought)]
    assert groups[0] == groups[1]
    assert f"{loom} wires parted and touching" in groups[1]
    assert bought.units[f"loom {loom}"].price == 240
    assert plain.units[f"loom {loom}"].price == 40
