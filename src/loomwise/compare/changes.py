"""A difference of another drawing, entered by hand: one line each.

::

    change = "exchange" place "and" place      the wires at two pins or cavities exchanged
           | place "leads to" place            its wire goes there instead
           | place "joined to" place           a joint more
           | place "not joined to" place       a wire or joint less
           | relay "contact" ("NO" | "NC")     the contact exchanged

A place is PART.PIN, CONNECTOR.CAVITY, or one side of a contact (C1.2.a).
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from difflib import get_close_matches

from loomwise.circuit.model import Circuit, Segment
from loomwise.compare.drawing import owner, shown
from loomwise.compare.roads import far_end, reach
from loomwise.edits import Bridge, Edit, Open, exchanged_contacts
from loomwise.errors import InputError

JOINT_OHM = 0.0005
"""A joint that was not drawn. Engineering judgement."""
WHERE = "the other drawing"
_MANNER = (
    "write 'exchange C1.2 and C1.3', 'K1.87 leads to M2.+', 'SP1.3 joined to SP2.1', "
    "'K1.85 not joined to SP4.1' or 'K1 contact NC'"
)


class ChangeError(InputError):
    """A line about the other drawing that cannot be read or cannot be so."""


@dataclass(frozen=True)
class Change:
    """One structural change of a drawing. ``kind``: exchanged, leads elsewhere, extra, missing or
    contact; ``places`` are what it speaks of.
    """

    kind: str
    text: str
    places: tuple[str, ...]
    edits: tuple[Edit, ...] = ()


def parse_change(circuit: Circuit, line: str) -> Change:
    """Read one line about what the other drawing has otherwise, and check it.

    Raises
    ------
    ChangeError : not a change, a place or relay the circuit does not have, or one that changes
        nothing or shorts the battery.
    """
    text = " ".join(line.split())
    for pattern, make in _FORMS:
        found = re.fullmatch(pattern, text, re.IGNORECASE)
        if found:
            return make(circuit, *found.groups())
    raise ChangeError(f"'{text[:60]}' is not understood", WHERE, _MANNER)


def _exchange(circuit: Circuit, one: str, other: str) -> Change:
    a, b = _place(circuit, one), _place(circuit, other)
    text = f"exchange {shown(a)} and {shown(b)}"
    wires = _wire_at(circuit, a), _wire_at(circuit, b)
    if a == b or (wires[0] and wires[0] == wires[1]):
        raise ChangeError(f"'{text}' changes nothing", WHERE, "name the ends of two wires")
    if not any(wires):
        raise ChangeError(f"no wire ends at {one} or at {other}", WHERE, "name the ends of wires")
    edits: list[Edit] = []
    for here, there, wire in ((a, b, wires[0]), (b, a, wires[1])):
        if wire is not None:
            edits += [Open(wire.id), Bridge(there, far_end(wire, here), wire.resistance_ohm)]
    return Change("exchanged", text, (a, b), tuple(edits))


def _leads(circuit: Circuit, one: str, other: str) -> Change:
    a = _place(circuit, one)
    b = _place(circuit, other, _home(circuit, a))
    if _joined(circuit, a, b):
        hint = "name another place, or write 'not joined to'"
        raise ChangeError(f"{one} leads to {other} in this drawing too", WHERE, hint)
    wire = _wire_at(circuit, a)
    _refuse_short(circuit, a, b, cut=wire.id if wire else "")
    ohm = wire.resistance_ohm if wire else JOINT_OHM
    edits = (*((Open(wire.id),) if wire else ()), Bridge(a, b, ohm))
    return Change("leads elsewhere", f"{shown(a)} leads to {shown(b)}", (a, b), edits)


def _join(circuit: Circuit, one: str, other: str) -> Change:
    a = _place(circuit, one)
    b = _place(circuit, other, _home(circuit, a))
    if _joined(circuit, a, b):
        hint = "name another place, or write 'not joined to'"
        raise ChangeError(f"{one} is joined to {other} in this drawing too", WHERE, hint)
    _refuse_short(circuit, a, b)
    text = f"{shown(a)} joined to {shown(b)}"
    return Change("extra", text, (a, b), (Bridge(a, b, JOINT_OHM),))


def _part(circuit: Circuit, one: str, other: str) -> Change:
    a, b = _place(circuit, one), _place(circuit, other)
    edits: list[Edit] = []
    cut: set[str] = set()
    while a != b and (branch := reach(circuit, a, cut).get(b)):
        cut.add(branch)
        edits.append(Open(branch))
    if not edits:
        hint = "write 'joined to' for what only the other drawing joins"
        raise ChangeError(f"{one} is not joined to {other} in this drawing either", WHERE, hint)
    return Change("missing", f"{shown(a)} not joined to {shown(b)}", (a, b), tuple(edits))


def _contact(circuit: Circuit, name: str, contact: str) -> Change:
    relays = [p.id for p in circuit.parts_of_kind("relay")]
    part, wanted = circuit.parts.get(_known(name, relays, "relay")), contact.upper()
    has = part.options["contact"] if part else ""
    if has == "change-over":
        hint = "exchange the wires at its pins 87 and 87a instead"
        raise ChangeError(f"relay {name} has a change-over contact", WHERE, hint)
    if has == wanted:
        hint = "name another relay, or the other contact"
        raise ChangeError(f"the contact of {name} is {has} in this drawing too", WHERE, hint)
    text = f"{name} contact {wanted}"
    assert part is not None
    edits = exchanged_contacts(name, part.pins, part.values["contact_ohm"])
    return Change("contact", text, (name,), edits)


_P = r"([\w.+\-]+)"
_FORMS: tuple[tuple[str, Callable[..., Change]], ...] = (
    (rf"exchange {_P} and {_P}", _exchange),
    (rf"{_P} leads to {_P}", _leads),
    (rf"{_P} (?:is )?joined to {_P}", _join),
    (rf"{_P} (?:is )?not joined to {_P}", _part),
    (r"(\w+) contact (NO|NC)", _contact),
)


def _known(word: str, choices: list[str], what: str) -> str:
    if word in choices:
        return word
    near = get_close_matches(word, choices, 1)
    known = ", ".join(choices[:12]) + (" ..." if len(choices) > 12 else "")
    hint = f"did you mean {near[0]}?" if near else f"there is {known or 'none'}"
    raise ChangeError(f"there is no {what} {word[:40]}", WHERE, hint)


def _place(circuit: Circuit, word: str, home: str = "") -> str:
    """A place by its name; of a contact the side that faces ``home``, or the first."""
    segment = circuit.segments.get(word)
    if segment is not None and segment.kind == "contact":
        halves = circuit.connectors[segment.connector].halves
        return segment.b if home and home == halves[1] else segment.a
    contacts = [s.id for s in circuit.segments.values() if s.kind == "contact"]
    own = [n for n in (*circuit.places, *contacts) if owner(n) == owner(word)]
    if word in circuit.places or own:
        return _known(word, [n for n in own if n.count(".") == 1 or n == word], "place")
    return _known(word, [*circuit.places, *contacts], "place")


def _home(circuit: Circuit, place: str) -> str:
    return circuit.places[place].unit


def _wire_at(circuit: Circuit, place: str) -> Segment | None:
    """The one wire that ends at a place, if any does."""
    wires = [
        s for s in circuit.segments.values() if s.kind != "contact" and place in (s.a, s.b)
    ]  # fmt: skip
    if len(wires) > 1:
        hint = f"name the other end of the wire that is meant: {far_end(wires[0], place)}"
        raise ChangeError(f"{len(wires)} wires end at {place}", WHERE, hint)
    return wires[0] if wires else None


def _joined(circuit: Circuit, a: str, b: str) -> bool:
    if a == b:
        raise ChangeError(f"{a} and {b} are one place", WHERE, "name two places")
    return b in reach(circuit, a)


def _refuse_short(circuit: Circuit, a: str, b: str, cut: str = "") -> None:
    """No joint of the battery's plus with its minus or a ground point."""
    plus = {f"{p.id}.+" for p in circuit.parts_of_kind("battery")}
    minus = {f"{p.id}.-" for p in circuit.parts_of_kind("battery")}
    minus |= {f"{p.id}.{pin}" for p in circuit.parts_of_kind("ground") for pin in p.pins}
    near, far = ({*reach(circuit, x, {cut})} for x in (a, b))
    if (near & plus and far & minus) or (near & minus and far & plus):
        what = f"{shown(a)} joined to {shown(b)} would short the battery"
        raise ChangeError(what, WHERE, "no vehicle is wired so; check the names")
