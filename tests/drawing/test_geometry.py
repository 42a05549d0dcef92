"""Every drawing can be read without touching it: measured in the SVG itself."""

import re

import pytest

from loomwise.circuit.reader import read_circuit
from loomwise.drawing import Marks, Sheet, layout_graph, read_layout
from loomwise.generate import generate_circuit
from loomwise.layout import place
from loomwise.shelf import read_shelf, shelf_names
from loomwise.solver.result import loads
from tests.contract.examples import CASES, example
from tests.drawing.awkward import AWKWARD
from tests.drawing.geometry import loose_ends, problems
from tests.drawing.sheets import drawn, laid_out, sheet_of


def wire_ends(sheet: Sheet) -> dict[str, tuple[str, str]]:
    """Where each wire has to come to."""
    segments = sheet.circuit.segments.values()
    return {s.id: (s.a, s.b) for s in segments if s.kind != "contact"}


@pytest.mark.parametrize("view", ["insulation", "voltage"])
@pytest.mark.parametrize("name", ["lamp", *shelf_names()])
def test_circuits_at_hand_are_legible(name: str, view: str) -> None:
    """No letters on letters, no wire through a part, no joint that is none, in either view."""
    sheet = sheet_of(name)
    svg = drawn(sheet, view)
    assert problems(svg) == []
    assert loose_ends(svg, wire_ends(sheet)) == []


@pytest.mark.parametrize("name", shelf_names())
def test_one_loads_part_is_legible(name: str) -> None:
    """The same holds where only one load's part is drawn."""
    circuit = read_shelf(name)
    for load in {loads(circuit)[0].id, loads(circuit)[-1].id}:
        sheet = sheet_of(name, load)
        svg = drawn(sheet)
        assert problems(svg) == []
        assert loose_ends(svg, wire_ends(sheet)) == []


@pytest.mark.parametrize("name", CASES)
def test_every_kind_is_legible(name: str) -> None:
    """The same holds for every kind of part that can stand in a circuit file."""
    sheet = laid_out(example(name))
    svg = drawn(sheet)
    assert problems(svg) == []
    assert loose_ends(svg, wire_ends(sheet)) == []


def test_an_awkward_circuit_is_legible() -> None:
    """Long names, bare contacts, wires from a part to itself: the same holds."""
    sheet = laid_out(read_circuit(AWKWARD, "awkward"))
    svg = drawn(sheet)
    assert problems(svg) == []
    assert loose_ends(svg, wire_ends(sheet)) == []


@pytest.mark.parametrize(("parts", "seed"), [(12, 1), (40, 3), (150, 3)])
def test_invented_circuits_are_legible(parts: int, seed: int) -> None:
    """Small or large, a circuit nobody drew before is drawn without touching it."""
    sheet = laid_out(read_circuit(generate_circuit(parts, seed), "invented"))
    assert loose_ends(drawn(sheet), wire_ends(sheet)) == []
    if parts < 100:  # measuring every wire against every other takes a while
        assert problems(drawn(sheet)) == []


@pytest.mark.parametrize("name", shelf_names())
def test_marks_lie_beside_everything(name: str) -> None:
    """The badges of the fault and the probes cover no letters and no other badge."""
    circuit = read_shelf(name)
    wires = [s.id for s in circuit.segments.values() if s.kind == "wire"]
    probes = tuple((p, f"R{n}") for n, p in enumerate(list(circuit.places)[:12], 1))
    marks = Marks(((wires[0],), (loads(circuit)[0].id,), (wires[-1],)), probes)
    svg = drawn(sheet_of(name), marks=marks)
    assert [p for p in problems(svg) if p.startswith("text")] == []
    assert svg.count('class="badge"') == 3 + len(probes)


def test_text_on_text_is_found() -> None:
    """The measure finds a text that was moved onto another."""
    svg = drawn(sheet_of("lamp"))
    place = re.search(r'<text (x="\S+" y="\S+")[^>]*>F1<', svg)
    assert place
    spoiled = re.sub(r'<text x="\S+" y="\S+"([^>]*>E1<)', rf"<text {place[1]}\1", svg)
    assert "text 'F1' lies on text 'E1'" in " ".join(problems(spoiled))


def test_a_wire_through_a_part_is_found() -> None:
    """The measure finds a wire that was moved over a part, its letters and its wires."""
    svg = drawn(sheet_of("lamp"))
    hit = re.search(r'<rect x="(\S+)" y="(\S+)" width="(\S+)" [^>]*data-part="E1"', svg)
    group = re.search(r'<g class="wire" data-wire="BAT.--G1.2">.*?</g>', svg, re.DOTALL)
    assert hit and group
    axis, top = float(hit[1]) + float(hit[3]) / 2, float(hit[2])
    moved = re.sub(r' d="[^"]+"', f' d="M{axis} {top - 60}L{axis} {top + 60}"', group[0])
    found = " ".join(problems(svg.replace(group[0], moved)))
    assert "wire BAT.--G1.2 runs through the symbol of E1" in found
    assert "BAT.--G1.2 run as one" in found


def test_a_false_joint_is_found() -> None:
    """A way of laying out that lets two wires run as one does not pass."""
    circuit = read_shelf("radiator-fans")
    graph = layout_graph(circuit)
    squeezed = {"elk.spacing.edgeEdge": "1", "elk.layered.spacing.edgeEdgeBetweenLayers": "1"}
    graph["layoutOptions"] |= squeezed
    found = " ".join(problems(drawn(read_layout(circuit, place(graph)))))
    assert "run as one" in found and "seem joined" in found


def test_leaving_the_canvas_is_found() -> None:
    """The measure finds a drawing that is cut off."""
    svg = drawn(sheet_of("lamp"))
    narrow = re.sub(r'viewBox="0 0 \S+', 'viewBox="0 0 200', svg)
    assert "leaves the canvas" in " ".join(problems(narrow))


def test_a_wire_that_ends_elsewhere_is_found() -> None:
    """The measure finds a wire that does not come to the pin it should."""
    svg = drawn(sheet_of("lamp"))
    assert loose_ends(svg, {"S1.2-E1.1": ("S1.2", "E1.2")}) == [
        "wire S1.2-E1.1 does not come to E1.2"
    ]
