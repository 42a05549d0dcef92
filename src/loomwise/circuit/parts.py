"""Make parts from their entries: pins, values with their defaults, unit, what sets them."""

import re
from collections.abc import Iterable, Mapping, Sequence

from loomwise.circuit.document import Path
from loomwise.circuit.draft import Draft
from loomwise.circuit.explain import nearest
from loomwise.circuit.fuse_curve import cold_resistance_ohm
from loomwise.circuit.kinds.tables import kinds, unit_defaults
from loomwise.circuit.model import Band, ModulePin, Part, Unit
from loomwise.circuit.schema import (
    LegsEntry,
    ModuleEntry,
    ModulePinEntry,
    PartEntry,
    PlugInEntry,
    RelayEntry,
    SensorEntry,
    SwitchEntry,
)
from loomwise.errors import QuantityError
from loomwise.units import parse_quantity

RELAY_PINS = {
    "NO": ("30", "85", "86", "87"),
    "NC": ("30", "85", "86", "87a"),
    "change-over": ("30", "85", "86", "87", "87a"),
}
MOTOR_SHARE = {"motor": 7.0, "two-speed motor": 8.0}
"""Standstill over running current, for a winding nobody measured. Engineering judgement."""

Pairs = tuple[tuple[str, str], ...]


def add_parts(draft: Draft) -> None:
    """Put every part of the file, and the units they are for themselves, into the draft."""
    for name, entry in draft.entry.parts.items():
        _check_location(draft, name, entry)
        unit = _unit(draft, name, entry)
        if unit not in draft.units and unit == name:
            draft.units[unit] = _own_unit(draft, name, entry)
        draft.parts[name] = _part(draft, name, entry, unit)


def _part(draft: Draft, name: str, entry: PartEntry, unit: str) -> Part:
    path: Path = ("parts", name)
    pins = _pins(draft, path, entry)
    return Part(
        id=name,
        kind=entry.kind,
        unit=unit,
        pins=pins,
        values=_values(entry, draft.entry.supply),
        options=_options(entry),
        fixed=isinstance(entry, PlugInEntry) and entry.fixed == "yes",
        control=entry.set_by if isinstance(entry, SwitchEntry | SensorEntry) else "",
        positions=_positions(draft, path, entry, pins),
        ohms=_ohms(draft, path, entry),
        module_pins=_module_pins(draft, path, entry),
        line=draft.document.line(path),
    )


def _check_location(draft: Draft, name: str, entry: PartEntry) -> None:
    where = entry.in_
    if not where or draft.is_unit(where):
        return
    known, what = draft.names("units"), "which is not declared under units"
    if isinstance(entry, LegsEntry):
        halves = {owner for c in draft.connectors.values() for owner in c.halves}
        known, what = [*known, *sorted(draft.looms | halves)], "which is no unit and no loom"
        if where in known:
            return
    hint = nearest(where, known, "names")
    draft.add(("parts", name, "in"), f"part {name} is in '{where}', {what}", hint)


def _unit(draft: Draft, name: str, entry: PartEntry) -> str:
    if isinstance(entry, PlugInEntry) and entry.fixed == "no":
        return name
    if isinstance(entry, LegsEntry):
        return entry.in_ if entry.kind == "splice" and draft.is_unit(entry.in_) else name
    return entry.in_


def _own_unit(draft: Draft, name: str, entry: PartEntry) -> Unit:
    """Reaching a plugged-in part takes what it takes to reach the unit it is plugged into."""
    default = unit_defaults()[entry.kind]
    home = draft.units.get(entry.in_)
    reach = home.access_minutes if home else 0.0
    return Unit(name, f"{entry.kind} {name}", default.price, default.minutes, reach)


def _pins(draft: Draft, path: Path, entry: PartEntry) -> tuple[str, ...]:
    if isinstance(entry, RelayEntry):
        return RELAY_PINS[entry.contact]
    if not isinstance(entry, LegsEntry | SwitchEntry | ModuleEntry):
        return kinds()[entry.kind].pins
    pins = tuple(dict.fromkeys(entry.pins))
    if len(pins) < len(entry.pins):
        draft.add((*path, "pins"), f"part {path[-1]} has a pin twice", "name every pin once")
    for pin in pins if isinstance(entry, SwitchEntry) else ():
        if "-" in pin:
            what, hint = f"switch {path[-1]}: pin '{pin}' has a hyphen", "a pair is written 30-15"
            draft.add((*path, "pins"), what, f"{hint}; name the pin without one")
    return pins


def _values(entry: PartEntry, supply_v: float) -> dict[str, float]:
    """Given values, and the table's defaults for the rest; what code derives comes last."""
    kind = kinds()[entry.kind]
    values: dict[str, float] = {}
    for value in kind.values:
        given = getattr(entry, value.name)
        kept = given if given is not None else value.default_for(supply_v)
        if kept is not None:
            values[value.name] = kept
    if kind.name == "fuse":
        values["resistance_ohm"] = cold_resistance_ohm(values["rating_a"])
    if kind.name in MOTOR_SHARE:
        derived = supply_v / values["current_a"] / MOTOR_SHARE[kind.name]
        values.setdefault("resistance_ohm", derived)
    return values


def _options(entry: PartEntry) -> dict[str, str]:
    if not isinstance(entry, RelayEntry):
        return {}
    return {"contact": entry.contact, "suppression": entry.suppression}


def _positions(
    draft: Draft, path: Path, entry: PartEntry, pins: Sequence[str]
) -> Mapping[str, Pairs]:
    if not isinstance(entry, SwitchEntry):
        return {}
    at = (*path, "positions")
    states = _states(draft, (*path, "set by"), at, entry.set_by, entry.positions, "position")
    return {s: _pairs(draft, (*at, s), entry.positions.get(s, ()), pins) for s in states}


def _pairs(draft: Draft, path: Path, texts: Iterable[str], pins: Sequence[str]) -> Pairs:
    pairs = [(a, b) for a, b in (text.split("-") for text in texts)]
    for a, b in pairs:
        for pin in (p for p in (a, b) if p not in pins):
            what = f"switch {path[1]} has no pin {pin}"
            draft.add(path, what, nearest(pin, pins, "pins"))
        if a == b:
            draft.add(path, f"switch {path[1]} joins pin {a} to itself", "name two pins")
    return tuple(pairs)


def _ohms(draft: Draft, path: Path, entry: PartEntry) -> Mapping[str, float]:
    if not isinstance(entry, SensorEntry):
        return {}
    at = (*path, "ohms")
    states = _states(draft, (*path, "set by"), at, entry.set_by, entry.ohms, "resistance")
    return {state: entry.ohms[state] for state in states if state in entry.ohms}


def _states(
    draft: Draft, by: Path, at: Path, control: str, given: Iterable[str], what: str
) -> tuple[str, ...]:
    """The states of the control, in its order; what the part lacks or has too many is noted."""
    given = list(given)
    if draft.is_dropped("controls", control):
        return tuple(given)
    found = draft.controls.get(control)
    if found is None:
        hint = nearest(control, draft.controls, "controls")
        draft.add(by, f"part {by[1]}: there is no control '{control}'", hint)
        return tuple(given)
    for state in (s for s in found.states if s not in given):
        hint = f"'{control}' can be {', '.join(found.states)}; give one for each"
        draft.add(at, f"part {at[1]} has no {what} for {control} = {state}", hint)
    for state in (s for s in given if s not in found.states):
        hint = nearest(state, found.states, f"states of '{control}'")
        draft.add((*at, state), f"part {at[1]}: '{control}' cannot be '{state}'", hint)
    return found.states


def _module_pins(draft: Draft, path: Path, entry: PartEntry) -> Mapping[str, ModulePin]:
    if not isinstance(entry, ModuleEntry):
        return {}
    return {
        name: _module_pin(draft, (*path, "pins", name), pin) for name, pin in entry.pins.items()
    }


def _module_pin(draft: Draft, path: Path, pin: ModulePinEntry) -> ModulePin:
    subject = f"module {path[1]}, pin {path[3]}"
    extras = [key for key in ("to", "resistance", "bands") if getattr(pin, key)]
    if pin.role != "input" and (extras or pin.pull != "none"):
        what = f"{subject}: only an input is pulled or has bands, this is '{pin.role}'"
        draft.add(path, what, "take pull, to, resistance and bands out, or make it an input")
    if pin.pull != "none" and pin.resistance is None:
        hint = "add for example 'resistance: 4.7 kohm'"
        draft.add(path, f"{subject} is pulled {pin.pull}, but by what resistance?", hint)
    to_v = pin.to if pin.to is not None else (draft.entry.supply if pin.pull == "up" else 0.0)
    bands = _bands(draft, (*path, "bands"), subject, pin.bands)
    return ModulePin(pin.role, pin.resistance or 0.0, pin.pull, to_v, bands)


def _bands(draft: Draft, path: Path, subject: str, texts: Sequence[str]) -> tuple[Band, ...]:
    bands = []
    for i, text in enumerate(texts):
        try:
            bands.append(_band(text, last=i == len(texts) - 1))
        except QuantityError as error:
            draft.add((*path, i), f"{subject}: {error.message}", error.hint)
            return ()
    limits = [band.below_v for band in bands]
    if limits != sorted(set(limits)):
        draft.add(path, f"{subject}: the bands do not rise", "begin with the lowest voltage")
    if len({band.name for band in bands}) < len(bands):
        draft.add(path, f"{subject} has two bands of one name", "give each its own")
    return tuple(bands)


def _band(text: str, last: bool) -> Band:
    found = re.fullmatch(r"([\w+.\-]{1,30})(?:\s+below\s+(.+))?", text.strip())
    hint = "write for example [hot below 0.75 V, warm below 2 V, cold]; only the last has no limit"
    if found is None or (found[2] is None) != last:
        raise QuantityError(f"band '{text[:40]}' is not understood", hint=hint)
    return Band(found[1], parse_quantity(found[2], "V") if found[2] else float("inf"))
