"""The drawing of a circuit: in a setup, with faults, whole or one load's part."""

from dataclasses import dataclass, field

from loomwise.circuit.explain import nearest
from loomwise.circuit.model import Circuit
from loomwise.drawing import (
    Caption,
    Marks,
    Sheet,
    Solved,
    View,
    ViewName,
    draw,
    layout_graph,
    looks_of,
    moved_graph,
    part_of,
    read_layout,
    slices,
)
from loomwise.errors import InputError
from loomwise.evidence.items import near_places
from loomwise.faults import Fault
from loomwise.setups import Setup, parse_setup
from loomwise.solver.operate import Plant
from loomwise.solver.result import OperatingPoint, plant_of
from loomwise.usecases.faults_of import faults_of, find_fault
from loomwise.usecases.layouts import placed
from loomwise.usecases.new_file import write_new
from loomwise.usecases.predict import solve

LEAST_SHEET = 600.0
"""A narrower drawing is not enlarged to fill a page, so it is cut as if it were so wide. [px]"""
VIEWS: tuple[ViewName, ...] = ("insulation", "voltage")


@dataclass(frozen=True)
class Drawing:
    """What to draw, in words as a person writes them. ``load`` leaves only what concerns it.

    ``probes`` are places to mark, with a letter each.
    """

    setup: str = ""
    undo: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()
    view: str = "insulation"
    load: str = ""
    grey: bool = False
    probes: tuple[tuple[str, str], ...] = field(default=())


@dataclass(frozen=True)
class Drawn:
    """A drawing. ``text`` is the SVG, null where it went to ``file``; sizes in pixels."""

    circuit: str
    view: str
    setup: str
    load: str
    width: float
    height: float
    file: str | None
    text: str | None


def sheet_of(circuit: Circuit) -> Sheet:
    """Everything of a circuit in its place; from the cache where it was drawn before.

    Symbols that the file has positions for are moved there one after the other, and room is made
    for each.

    Raises
    ------
    LayoutError : the layout library is missing or cannot do it.
    """
    graph = layout_graph(circuit)
    answer = placed(graph)
    for part, spot in circuit.positions.items():  # each was moved on the drawing as it then was
        answer = placed(moved_graph(graph, answer, {part: spot}))
    return read_layout(circuit, answer)


def draw_circuit(circuit: Circuit, wanted: Drawing) -> str:
    """The drawing as SVG text.

    Raises
    ------
    InputError : an unknown view, control, part, place or fault.
    SolveError : the battery is shorted.
    LayoutError : the layout library is missing or cannot do it.
    """
    name = _view_name(wanted.view)
    setup = parse_setup(circuit, wanted.setup, wanted.undo, wanted.after)
    plant = plant_of(circuit)
    faults = _faults(circuit, plant, wanted.faults)
    shown = part_of(circuit, wanted.load) if wanted.load else circuit
    points = solve(circuit, plant, setup, faults)
    return picture(shown, setup, points, faults, wanted, name)


def picture(
    circuit: Circuit,
    setup: Setup,
    points: tuple[OperatingPoint, ...],
    faults: tuple[Fault, ...],
    wanted: Drawing,
    name: ViewName,
) -> str:
    """The drawing of a circuit that is solved already; the likeliest state of several."""
    return _drawn(sheet_of(circuit), setup, points, faults, wanted, name)


def pictures(
    circuit: Circuit,
    setup: Setup,
    points: tuple[OperatingPoint, ...],
    faults: tuple[Fault, ...],
    wanted: Drawing,
    tallest: float,
) -> tuple[str, ...]:
    """The same by insulation, in parts hardly more than ``tallest`` times as high as wide."""
    sheet = sheet_of(circuit)
    parts = slices(sheet, tallest * max(sheet.width, LEAST_SHEET))
    return tuple(_drawn(part, setup, points, faults, wanted, VIEWS[0]) for part in parts)


def _drawn(
    sheet: Sheet,
    setup: Setup,
    points: tuple[OperatingPoint, ...],
    faults: tuple[Fault, ...],
    wanted: Drawing,
    name: ViewName,
) -> str:
    circuit, point = sheet.circuit, points[0]
    out = [u.target for u in setup.undone if u.what in ("out", "off", "apart")]
    looks = looks_of(circuit, dict(setup.controls), point.states, out)
    solved = Solved(point.voltages_v, point.currents_a, point.floating)
    view = View(name, solved, circuit.supply_v, wanted.grey)
    lines = tuple(_lines(circuit, setup, faults, len(points), wanted.load))
    marks = Marks(tuple(fault_places(circuit, f) for f in faults), _probes(circuit, wanted.probes))
    return draw(sheet, view, Caption(circuit.title, lines, looks), marks)


def draw_to(circuit: Circuit, wanted: Drawing, file: str = "") -> Drawn:
    """The drawing, written to a new file if one is named.

    Raises
    ------
    InputError : as ``draw_circuit``; or the file is there or cannot be written.
    """
    text = draw_circuit(circuit, wanted)
    if file:
        write_new(file, text)
    setup = str(parse_setup(circuit, wanted.setup, wanted.undo, wanted.after))
    width, height = size_of(text)
    return Drawn(
        circuit.title, wanted.view, setup, wanted.load, width, height,
        file or None, None if file else text,
    )  # fmt: skip


def size_of(svg: str) -> tuple[float, float]:
    """Width and height of a drawing in its own pixels."""
    width, height = (float(word) for word in svg.split('viewBox="0 0 ')[1].split('"')[0].split())
    return width, height


def _view_name(word: str) -> ViewName:
    found = next((view for view in VIEWS if view == word), None)
    if found is None:
        raise InputError(f"no view '{word[:40]}'", "view", nearest(word, VIEWS, "views"))
    return found


def _faults(circuit: Circuit, plant: Plant, names: tuple[str, ...]) -> tuple[Fault, ...]:
    known = faults_of(circuit, plant) if names else ()
    return tuple(find_fault(known, name) for name in names)


def _lines(
    circuit: Circuit, setup: Setup, faults: tuple[Fault, ...], states: int, load: str
) -> list[str]:
    lines = [f"source: {source.name}, drawn {source.drawn}".replace("drawn redrawn", "redrawn")
             for source in circuit.sources]  # fmt: skip
    if load:
        lines.append(f"only what concerns {load}")
    lines.append(f"setup: {setup}")
    lines += [f"fault: {fault.title}" for fault in faults]
    if states > 1:
        lines.append(f"the likeliest of {states} stable states")
    return lines


def fault_places(circuit: Circuit, fault: Fault) -> tuple[str, ...]:
    """Parts, conductors and contacts on the drawing that a fault concerns."""
    words = fault.where.split(" and ")
    return tuple(name for word in words for name in _named(circuit, word))


def _named(circuit: Circuit, word: str) -> tuple[str, ...]:
    """A part or conductor; or the wires of a loom, the contacts of a connector."""
    if word in circuit.segments or word in circuit.parts:
        return (word,)
    several = tuple(s.id for s in circuit.segments.values() if word in (s.loom, s.connector))
    return several or (word.split(".")[0],)


def _probes(circuit: Circuit, probes: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
    for place, _ in probes:
        if place not in circuit.places:
            raise InputError(f"no place '{place[:40]}'", "probe", near_places(circuit, place))
    return probes
