"""Differences of what the matched parts are: values, contacts, positions, module pins, logic."""

import re
from collections.abc import Iterator, Mapping

from loomwise.circuit.kinds.tables import kinds
from loomwise.circuit.model import ModulePin, Part
from loomwise.compare.difference import Difference
from loomwise.compare.pairing import Pairing
from loomwise.compare.say import listed
from loomwise.edits import Edit, exchanged_contacts
from loomwise.units import format_quantity

SAME = 1e-4
"""Values nearer than this (relative) are the same: written with other digits or units."""


def facts(p: Pairing) -> Iterator[Difference]:
    """All differences of the parts themselves."""
    if p.a.supply_v != p.b.supply_v:
        volts = f"{p.a.supply_v:g} V in A, {p.b.supply_v:g} V in B"
        yield Difference("supply", f"nominal supply: {volts}")
    for one, other in p.parts.items():
        part, twin = p.a.parts[one], p.b.parts[other]
        for kind, text in _of_part(p, part, twin):
            edits = _edits(kind, part)
            yield Difference(kind, text, (one,), (other,), edits, expressible=bool(edits))
    yield from _logic(p)


def _edits(kind: str, part: Part) -> tuple[Edit, ...]:
    """NO for NC is an edit; another value or rule is not."""
    if kind != "contact" or "change-over" in part.options["contact"]:
        return ()
    return exchanged_contacts(part.id, part.pins, part.values["contact_ohm"])


def _of_part(p: Pairing, part: Part, twin: Part) -> Iterator[tuple[str, str]]:
    if part.kind == "splice":
        return
    title = f"{kinds()[part.kind].title} {part.id}"
    for option, mine in part.options.items():
        its = twin.options.get(option, "")
        if mine != its:
            kind = "contact" if option == "contact" else "value"
            yield kind, f"{title}: {option} {mine} in A, {its} in B"
    for name, here, there in _values(p, part, twin):
        yield "value", f"{title}: {name} {here} in A, {there} in B"
    if part.fixed != twin.fixed:
        how = {True: "soldered in", False: "plugged in"}
        yield "value", f"{title} is {how[part.fixed]} in A, {how[twin.fixed]} in B"
    for text in (*_ohms(part, twin), *_positions(p, part, twin)):
        yield "positions" if part.positions else "value", f"{title}: {text}"
    for text in _module_pins(p, part, twin):
        yield "module pin", f"{title}: {text}"


def _values(p: Pairing, part: Part, twin: Part) -> Iterator[tuple[str, str, str]]:
    """Values of the kinds' table that differ; not those that only follow from others."""
    differing = []
    for value in kinds()[part.kind].values:
        here, there = (x.values.get(value.name) for x in (part, twin))
        if here is None or there is None or abs(here - there) <= SAME * max(abs(here), abs(there)):
            continue
        defaults = value.default_for(p.a.supply_v), value.default_for(p.b.supply_v)
        if (here, there) != defaults:
            differing.append((value, here, there))
    given = {value.name for value, *_ in differing}
    for value, here, there in differing:
        if value.name == "resistance_ohm" and "current_a" in given:
            continue
        name = re.sub(r"_(a|v|ohm|w)$", "", value.name).replace("_", " ")
        yield name, format_quantity(here, value.unit), format_quantity(there, value.unit)


def _ohms(part: Part, twin: Part) -> Iterator[str]:
    """A sensor's resistances, state by state; in their order where the names differ."""
    for state, its in _states(part.ohms, twin.ohms):
        here, there = part.ohms.get(state), twin.ohms.get(its)
        if here is None or there is None:
            yield f"no resistance for '{state or its}' in {'A' if here is None else 'B'}"
        elif abs(here - there) > SAME * max(here, there):
            shown = format_quantity(here, "ohm"), format_quantity(there, "ohm")
            yield f"{shown[0]} when {state} in A, {shown[1]} in B"


def _states(here: Mapping[str, object], there: Mapping[str, object]) -> list[tuple[str, str]]:
    if set(here) != set(there) and len(here) == len(there) and not set(here) & set(there):
        return list(zip(here, there, strict=True))
    return [(state, state) for state in dict.fromkeys([*here, *there])]


def _positions(p: Pairing, part: Part, twin: Part) -> Iterator[str]:
    for state, its in _states(part.positions, twin.positions):
        if state not in part.positions or its not in twin.positions:
            yield f"position '{state}' is only in {'A' if state in part.positions else 'B'}"
            continue
        here = {frozenset(pair) for pair in part.positions[state]}
        there = {frozenset(_pin_in_a(p, twin.id, x) for x in q) for q in twin.positions[its]}
        if here != there:
            yield f"in position {state} it joins {_pairs(here)} in A, {_pairs(there)} in B"


def _pin_in_a(p: Pairing, part: str, pin: str) -> str:
    place = f"{part}.{pin}"
    return p.back.get(place, place).partition(".")[2]


def _pairs(pairs: set[frozenset[str]]) -> str:
    return listed(sorted("-".join(sorted(pair)) for pair in pairs)) or "nothing"


def _module_pins(p: Pairing, part: Part, twin: Part) -> Iterator[str]:
    matched = {_pin_in_a(p, twin.id, name): pin for name, pin in twin.module_pins.items()}
    for name, pin in part.module_pins.items():
        place = f"{part.id}.{name}"
        if place not in p.terminals:
            yield f"pin {name} ({pin.role}) is only in A"
        elif (other := matched[name]) != pin and (words := _pin_words(pin, other)):
            yield f"pin {name}: {words}"
    for name, pin in twin.module_pins.items():
        if f"{twin.id}.{name}" not in p.back:
            yield f"pin {name} ({pin.role}) is only in B"


def _pin_words(pin: ModulePin, other: ModulePin) -> str:
    limits = [tuple(band.below_v for band in x.bands) for x in (pin, other)]
    if pin.role != other.role:
        return f"{pin.role} in A, {other.role} in B"
    if (pin.pull, pin.ohm, pin.to_v) != (other.pull, other.ohm, other.to_v):
        return f"{_pull(pin)} in A, {_pull(other)} in B"
    if limits[0] != limits[1]:
        return f"{_bands(pin)} in A, {_bands(other)} in B"
    return ""  # the same bands under other names


def _pull(pin: ModulePin) -> str:
    if pin.pull == "none":
        return "not pulled" if pin.role == "input" else f"{format_quantity(pin.ohm, 'ohm')}"
    volts = format_quantity(pin.to_v, "V")
    return f"pulled {pin.pull} to {volts} by {format_quantity(pin.ohm, 'ohm')}"


def _bands(pin: ModulePin) -> str:
    words = (
        f"{b.name} below {format_quantity(b.below_v, 'V')}" if b.below_v < float("inf") else b.name
        for b in pin.bands
    )
    return ", ".join(words) or "no bands"


def _logic(p: Pairing) -> Iterator[Difference]:
    for one, other in p.parts.items():
        here = {_plain(r.text, {}): r.text for r in p.a.logic if r.module == one}
        words = _words(p, one, other)
        there = {_plain(r.text, words): r.text for r in p.b.logic if r.module == other}
        lost = [f"'{text}'" for plain, text in here.items() if plain not in there]
        new = [f"'{text}'" for plain, text in there.items() if plain not in here]
        if lost or new:
            says = f"{listed(lost) or 'no such rule'} in A, {listed(new) or 'no such rule'} in B"
            yield Difference("logic", f"logic of module {one}: {says}", (one,), (other,))


def _words(p: Pairing, one: str, other: str) -> dict[str, str]:
    """What b's pins and bands of a module are called in a."""
    words: dict[str, str] = {}
    for name, pin in p.b.parts[other].module_pins.items():
        mine = _pin_in_a(p, other, name)
        words[name] = mine
        known = p.a.parts[one].module_pins.get(mine)
        for band, twin in zip(pin.bands, known.bands if known else (), strict=False):
            words.setdefault(band.name, twin.name)
    return words


def _plain(rule: str, words: Mapping[str, str]) -> str:
    tokens = re.findall(r"[\w+.\-]+|[^\s,]", rule)
    return " ".join(words.get(token, token) for token in tokens)
