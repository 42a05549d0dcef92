"""One cause at one place that breaks or joins several conductors: a plug, a loom section.

Each is one hypothesis with a weight of its own, not a product of rare single faults.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from loomwise.circuit.model import Circuit, Segment
from loomwise.edits import AddOhm, Bridge, Edit, Open
from loomwise.faults.conductors import beside, neighbours
from loomwise.faults.draft import Draft, Variant, one
from loomwise.faults.grid import cells
from loomwise.faults.tables import mode

CORRODED_OHM = (0.1, 1000.0)
WET_OHM = (300.0, 1e5)
CELLS_PER_DECADE = 2
GNAWED = (2, 3, 4)
"""Neighbouring wires that one bite or chafe parts: engineering judgement."""
TOUCH_OHM = 0.05
Currents = Mapping[str, float]


def cause_faults(circuit: Circuit) -> Iterator[Draft]:
    """Faults of whole plugs and of loom sections, drafts without weights."""
    for connector in circuit.connectors.values():
        contacts = [
            s
            for s in circuit.segments.values()
            if s.kind == "contact" and s.connector == connector.id
        ]
        if len(contacts) > 1:
            yield from _plug(circuit, connector.id, contacts)
    for loom, wires in sections(circuit).items():
        yield from _gnawed(circuit, loom, wires)


def sections(circuit: Circuit) -> dict[str, list[Segment]]:
    """The wires of each loom, in the order of the file."""
    found: dict[str, list[Segment]] = {}
    for seg in circuit.segments.values():
        if seg.kind == "wire" and seg.loom:
            found.setdefault(seg.loom, []).append(seg)
    return found


def _plug(circuit: Circuit, name: str, contacts: Sequence[Segment]) -> Iterator[Draft]:
    unit = f"connector {name}"
    yield one("connector", "apart", name, unit, unit, *(Open(c.id) for c in contacts))
    corroded: list[Variant] = [
        (tuple(AddOhm(c.id, cell.middle_ohm) for c in contacts), cell, f"{cell.middle_ohm:.3g} ohm")
        for cell in cells(contacts[0].id, *CORRODED_OHM, CELLS_PER_DECADE)
    ]
    yield Draft(mode("connector", "corroded"), name, unit, unit, corroded)
    pairs = [(a, b) for a in contacts for b in neighbours(circuit, a) if a.id < b.id]
    if pairs:
        wet: list[Variant] = [
            (
                tuple(Bridge(a.a, b.a, c.middle_ohm) for a, b in pairs),
                None,
                f"{c.middle_ohm:.3g} ohm",
            )
            for c in cells(name, *WET_OHM, CELLS_PER_DECADE)
        ]
        yield Draft(mode("connector", "wet"), name, unit, unit, wet)


def _gnawed(circuit: Circuit, loom: str, wires: Sequence[Segment]) -> Iterator[Draft]:
    unit = f"loom {loom}"
    parted: list[Variant] = [
        (tuple(Open(w.id) for w in run), None, _names(run))
        for count in GNAWED
        for run in _runs(wires, count)
    ]
    if parted:
        yield Draft(mode("loom", "several wires parted"), loom, unit, unit, parted)
    joined: list[Variant] = [
        (_joined(run, a, b), None, _names(run)) for run, a, b in _touching(circuit, wires)
    ]
    if joined:
        yield Draft(mode("loom", "wires parted and touching"), loom, unit, unit, joined)


def _runs(wires: Sequence[Segment], count: int) -> Iterator[tuple[Segment, ...]]:
    for k in range(len(wires) - count + 1):
        yield tuple(wires[k : k + count])


def _touching(
    circuit: Circuit, wires: Sequence[Segment]
) -> Iterator[tuple[tuple[Segment, Segment], str, str]]:
    for first, _ in pairwise(wires):
        found = beside(circuit, first)
        if found is not None:
            yield (first, found[0]), found[1], found[2]


def _joined(run: tuple[Segment, Segment], a: str, b: str) -> tuple[Edit, ...]:
    """Both wires parted, and the stumps on the side of places ``a`` and ``b`` touching."""
    return (*(Open(w.id) for w in run), Bridge(a, b, TOUCH_OHM))


def _names(run: Sequence[Segment]) -> str:
    return " and ".join(w.unit.removeprefix("wire ") for w in run)
