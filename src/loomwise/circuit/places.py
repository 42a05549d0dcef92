"""Where a probe can go: every pin, and both sides of every contact in use."""

from collections.abc import Iterator
from dataclasses import replace

from loomwise.circuit.draft import Draft
from loomwise.circuit.kinds.tables import access_methods, kinds, sockets
from loomwise.circuit.model import Connector, Part, Place, Segment
from loomwise.circuit.schema import LegsEntry


def make_places(draft: Draft) -> dict[str, Place]:
    """All places by id: pins in the order of the parts, then contacts."""
    places = (*_pins(draft), *_contact_sides(draft))
    return {place.id: _closed(draft, place) for place in places}


def _closed(draft: Draft, place: Place) -> Place:
    """Out of reach where nobody measures: in a unit that is left alone, and at its plugs."""
    connector = draft.connectors.get(place.owner)
    units = [draft.units.get(u) for u in (connector.halves if connector else (place.unit,))]
    alone = any(u is not None and u.leave_alone for u in units)
    return replace(place, method="none", minutes=0.0) if alone else place


def _pins(draft: Draft) -> Iterator[Place]:
    inside = {p for s in draft.segments.values() if s.kind == "inner" for p in (s.a, s.b)}
    for part in draft.parts.values():
        for pin in part.pins:
            name = f"{part.id}.{pin}"
            title = f"{kinds()[part.kind].title} {part.id}, pin {pin}"
            method = draft.entry.parts[part.id].access or _pin_method(draft, part, name in inside)
            minutes = access_methods()[method].minutes
            yield Place(name, part.id, pin, "", part.unit, title, method, minutes)


def _pin_method(draft: Draft, part: Part, inside: bool) -> str:
    """The usual way to a pin. ``inside``: its wire is out of reach inside the unit."""
    usual = {"battery": "post", "fuse": "fuse ear", "ground": "open"}
    if part.kind in usual:
        return usual[part.kind]
    if isinstance(draft.entry.parts[part.id], LegsEntry):
        return "none" if draft.is_unit(part.unit) and part.unit != part.id else "pierce"
    if part.kind == "relay":
        return "none" if part.fixed else "back-probe"
    return "none" if inside else "back-probe"


def _contact_sides(draft: Draft) -> Iterator[Place]:
    for segment in draft.segments.values():
        if segment.kind == "contact":
            connector = draft.connectors[segment.connector]
            yield _side(draft, segment, connector, segment.a, 0)
            yield _side(draft, segment, connector, segment.b, 1)


def _side(draft: Draft, contact: Segment, connector: Connector, name: str, half: int) -> Place:
    owner = connector.halves[half]
    method = draft.entry.connectors[connector.id].access or "back-probe"
    return Place(
        id=name,
        owner=connector.id,
        pin=contact.cavity,
        side="b" if half else "a",
        unit=owner if draft.is_unit(owner) else contact.unit,
        title=f"{connector.id} cavity {_named(connector, contact.cavity)}, "
        f"{owner.replace(' ', '-')} side",
        method=method,
        minutes=access_methods()[method].minutes,
    )


def _named(connector: Connector, cavity: str) -> str:
    """A cavity, and what a trailer socket has it for: "4 (right turn)"."""
    pins = sockets()[connector.standard] if connector.standard else ()
    function = next((pin.function for pin in pins if pin.pin == cavity), "")
    return f"{cavity} ({function})" if function else cavity
