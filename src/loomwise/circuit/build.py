"""Put a circuit together from the entries of its file."""

import hashlib
from collections.abc import Mapping

from loomwise.circuit.check import check_draft
from loomwise.circuit.document import Document
from loomwise.circuit.draft import Draft
from loomwise.circuit.kinds.tables import sockets
from loomwise.circuit.model import Circuit, Connector, Control, LogicRule, Source, Unit
from loomwise.circuit.parts import add_parts
from loomwise.circuit.places import make_places
from loomwise.circuit.schema import CircuitEntry, ConnectorEntry
from loomwise.circuit.wiring import add_wires, read_wires


def build_circuit(
    document: Document, entry: CircuitEntry, dropped: Mapping[str, set[str]], text: str
) -> Circuit:
    """The circuit of the entries. It is sound only if ``document`` has no problems afterwards."""
    draft = Draft(document, entry, dropped)
    lines = read_wires(draft)
    draft.looms = {line.loom for line in lines.values()} - {""}
    draft.units.update(
        (name, Unit(name, name, unit.price, unit.minutes, unit.reach, unit.leave_alone))
        for name, unit in entry.units.items()
    )
    draft.controls.update(
        (name, Control(name, tuple(c.states), c.rest, c.set_by == "nobody"))
        for name, c in entry.controls.items()
    )
    draft.connectors.update(_connectors(document, entry))
    add_parts(draft)
    add_wires(draft, lines)
    check_draft(draft)
    return _circuit(draft, text)


def _connectors(document: Document, entry: CircuitEntry) -> dict[str, Connector]:
    return {
        name: Connector(
            id=name,
            halves=(given.halves[0], given.halves[1]),
            cavities=_cavities(given),
            rows=given.rows,
            minutes=given.minutes,
            sealed=given.access == "sealed",
            line=document.line(("connectors", name)),
            standard=given.standard or "",
        )
        for name, given in entry.connectors.items()
    }


def _cavities(given: ConnectorEntry) -> tuple[str, ...]:
    """Those of the file, or of the trailer socket; none is noted by the checks."""
    pins = sockets()[given.standard] if given.standard else ()
    return tuple(given.cavities or (pin.pin for pin in pins))


def _circuit(draft: Draft, text: str) -> Circuit:
    entry, line = draft.entry, draft.document.line
    return Circuit(
        title=entry.title,
        supply_v=entry.supply,
        note=entry.note,
        sources=tuple(Source(s.name, s.drawn) for s in entry.sources),
        units=draft.units,
        parts=draft.parts,
        segments=draft.segments,
        connectors=draft.connectors,
        places=make_places(draft),
        controls=draft.controls,
        logic=tuple(
            LogicRule(module, rule, line(("logic", module, number)))
            for module, rules in entry.logic.items()
            for number, rule in enumerate(rules)
        ),
        cautions=tuple(entry.cautions),
        labour_per_hour=entry.labour,
        positions={name: (spot[0], spot[1]) for name, spot in entry.positions.items()},
        text=text,
        digest=hashlib.sha256(text.encode("utf-8")).hexdigest(),
    )
