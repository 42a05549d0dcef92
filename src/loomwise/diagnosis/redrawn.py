"""Doubts of the drawing that change how the vehicle works: edits, like faults, but no repair.

Two wires exchanged at a plug; a joint too many or too few; a relay's contact the other way; a path
nobody drew. How likely any of them is depends on who drew it.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations

from loomwise.circuit.model import BODY, Circuit
from loomwise.diagnosis.doubts import drawing_doubt
from loomwise.edits import Bridge, Edit, Open, exchanged_contacts
from loomwise.faults import Fault
from loomwise.solver.stamps.feeds import metal

DRAWING = "drawing"
"""The mode of these hypotheses."""
MATED_OHM, JOINT_OHM = 0.001, 0.001
UNDRAWN_OHM = (0.3, 5.0, 60.0)
"""A path nobody drew: a strap, a lamp or motor, a small load. Engineering judgement. [ohm]"""
STRUCTURE = 0.5
"""Chance of such a doubt beside that of exchanged labels: engineering judgement."""
METALS_OHM = (0.003, 0.03, 0.3)
"""What joins two metals that nobody drew: a second strap, a coupling or cable, a loose touch.
Engineering judgement. [ohm]"""
SHARES = {"wires": 0.35, "joint": 0.25, "contact": 0.1, "path": 0.3, "metals": 0.2}
"""How the chance of such a doubt is shared among its kinds, paths between separate metals on top:
engineering judgement."""

Doubt = tuple[str, str, tuple[Edit, ...]]


def redrawn(circuit: Circuit) -> tuple[Fault, ...]:
    """All such doubts of one drawing, as hypotheses without a unit."""
    kinds = {
        "wires": tuple(_wires(circuit)),
        "joint": (*_missing_joints(circuit), *_extra_joints(circuit)),
        "contact": tuple(_contacts(circuit)),
        "path": tuple(_paths(circuit)),
        "metals": tuple(_metals(circuit)),
    }
    return tuple(
        as_doubt(name, title, edits, STRUCTURE * drawing_doubt(circuit) * SHARES[kind] / len(found))
        for kind, found in kinds.items()
        for name, title, edits in found
    )


def as_doubt(name: str, title: str, edits: Sequence[Edit], weight: float) -> Fault:
    """A doubt of the drawing as a hypothesis."""
    return Fault(name, name, DRAWING, name, "", title, tuple(edits), weight, doubt=name)


def _wires(circuit: Circuit) -> Iterator[Doubt]:
    for connector in circuit.connectors.values():
        used = [c for c in connector.cavities if f"{connector.id}.{c}" in circuit.segments]
        for p, q in combinations(used, 2):
            a, b = f"{connector.id}.{p}", f"{connector.id}.{q}"
            edits = (
                Open(a), Open(b),
                Bridge(f"{a}.a", f"{b}.b", MATED_OHM), Bridge(f"{b}.a", f"{a}.b", MATED_OHM),
            )  # fmt: skip
            title = f"the wires at cavities {p} and {q} of {connector.id} lead crosswise"
            yield f"{a}x{b}", title, edits


def _missing_joints(circuit: Circuit) -> Iterator[Doubt]:
    """Two splices, or two ground points' wires, that are one on the vehicle."""
    homes: dict[str, list[str]] = {}
    for part in circuit.parts_of_kind("splice"):
        home = next(
            (s.loom for s in circuit.segments.values() if s.loom and _touches(s.a, s.b, part.id)),
            part.unit,
        )
        homes.setdefault(home, []).append(part.id)
    for splices in homes.values():
        for a, b in combinations(splices, 2):
            pins = [f"{s}.{circuit.parts[s].pins[0]}" for s in (a, b)]
            yield f"{a}={b}", f"{a} and {b} are joined", (Bridge(pins[0], pins[1], JOINT_OHM),)


def _touches(a: str, b: str, part: str) -> bool:
    return part in (a.partition(".")[0], b.partition(".")[0])


def _extra_joints(circuit: Circuit) -> Iterator[Doubt]:
    for part in circuit.parts_of_kind("splice"):
        for pin in part.pins:
            where = f"{part.id}.{pin}"
            yield f"{where} apart", f"{where} is not joined to {part.id}", (Open(where),)


def _contacts(circuit: Circuit) -> Iterator[Doubt]:
    for part in circuit.parts_of_kind("relay"):
        edits = exchanged_contacts(part.id, part.pins, part.values["contact_ohm"])
        title = f"the contact of {part.id} closes where it is drawn to open"
        yield f"{part.id} NO/NC", title, edits


def _metals(circuit: Circuit) -> Iterator[Doubt]:
    """Between body, engine, frame and trailer: a cable, a coupling, a strap."""
    grounds = circuit.parts_of_kind("ground")
    metals = sorted({metal(p) for p in grounds})
    for a, b in combinations(metals, 2):
        names = " and ".join(m.removesuffix("#metal") for m in (a, b))
        for ohm in METALS_OHM:
            title = f"a path nobody drew between {names}, about {ohm:g} ohm"
            yield f"{names} {ohm:g}", title, (Bridge(a, b, ohm),)


def _paths(circuit: Circuit) -> Iterator[Doubt]:
    """From one place of every wire between plugs or parts to ground and to a live feed."""
    feed = next(f"{p.id}.+" for p in circuit.parts_of_kind("battery"))
    nets = dict.fromkeys(s.wire for s in circuit.segments.values() if s.kind == "wire")
    for wire in nets:
        place = circuit.wire_segments(wire)[0].b
        for far, words in ((BODY, "ground"), (feed, "a live feed")):
            for ohm in UNDRAWN_OHM:
                if far != place:
                    title = f"a path nobody drew from {place} to {words}, about {ohm:g} ohm"
                    yield f"{place} to {words} {ohm:g}", title, (Bridge(place, far, ohm),)
