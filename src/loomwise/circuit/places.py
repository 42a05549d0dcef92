"""Where a probe can go: every pin, and both sides of every contact in use."""

from collections.abc import Iterator

from loomwise.circuit.draft import Draft
from loomwise.circuit.kinds.tables import access_methods, kinds, sockets
from loomwise.circuit.model import Connector, Part, Place, Segment
from loomwise.circuit.schema import LegsEntry


def make_places(draft: Draft) -> dict[str, Place]:
    """All places by id: pins in the order of the parts, then contacts."""
    return {place.id: place for place in (*_pins(draft), *_contact_sides(draft))}


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
