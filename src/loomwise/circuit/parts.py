"""Make parts from their entries: pins, values with their defaults, unit, what sets them."""

import re
from collections.abc import Iterable, Mapping, Sequence

from loomwise.circuit.document import Path
from loomwise.circuit.draft import Draft
from loomwise.circuit.explain import nearest
from loomwise.circuit.filament import cold_share
from loomwise.circuit.fuse_curve import cold_resistance_ohm
from loomwise.circuit.kinds.tables import kinds, unit_defaults
from loomwise.circuit.model import BUS_STATES, OUTPUTS, Band, ModulePin, Part, Unit
from loomwise.circuit.ntc import ntc_resistance_ohm
from loomwise.circuit.schema import (
    PIN_WORDS,
    BreakerEntry,
    GroundEntry,
    LegsEntry,
    ModuleEntry,
    ModulePinEntry,
    NtcEntry,
    PartEntry,
    PlugInEntry,
    PotentiometerEntry,
    RelayEntry,
    SensorEntry,
    SwitchEntry,
    WhileEntry,
    ZenerEntry,
)
from loomwise.errors import QuantityError
from loomwise.units import parse_quantity

RELAY_PINS = {
    "NO": ("30", "85", "86", "87"),
    "NC": ("30", "85", "86", "87a"),
    "change-over": ("30", "85", "86", "87", "87a"),
}
MOTOR_SHARE = {"motor": 7.0, "two-speed motor": 8.0, "reversible motor": 5.0}
"""Standstill over running current, for a winding nobody measured. Engineering judgement."""

SENSOR_SUPPLY_V, SENSOR_SUPPLY_A = 5.0, 0.1
"""5.0 V is usual (from memory); the limit is engineering judgement."""
PIN_OHM = {"sensor supply": 0.5, "lin": 30_000.0}
"""Inside a sensor supply: engineering judgement. Responder pull-up of LIN: TI SLLA383A. [Ω]"""
ALL_PIN_WORDS = tuple(dict.fromkeys(word for words in PIN_WORDS.values() for word in words))

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
        values=_values(entry, draft.entry.supply, draft.entry.temperature),
        options=_options(entry),
        fixed=isinstance(entry, PlugInEntry) and entry.fixed == "yes",
        control=getattr(entry, "set_by", ""),
        positions=_positions(draft, path, entry, pins),
        ohms=_ohms(draft, path, entry),
        shares=_shares(draft, path, entry),
        active=_active(draft, path, entry),
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


def _values(entry: PartEntry, supply_v: float, temperature_c: float) -> dict[str, float]:
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
    if "cold_ratio" in values:
        values["cold_ratio"] /= cold_share(temperature_c)
    return values


def _options(entry: PartEntry) -> dict[str, str]:
    match entry:
        case RelayEntry():
            return {"contact": entry.contact, "suppression": entry.suppression}
        case BreakerEntry():
            return {"reset": entry.reset}
        case ZenerEntry():
            return {"both_ways": entry.both_ways}
        case GroundEntry() if entry.metal != "body":
            return {"metal": entry.metal}
    return {}


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
    if isinstance(entry, SensorEntry):
        return _by_state(draft, path, entry.set_by, "ohms", entry.ohms, "resistance")
    if isinstance(entry, NtcEntry):
        given = entry.temperatures
        found = _by_state(draft, path, entry.set_by, "temperatures", given, "temperature")
        values = _values(entry, draft.entry.supply, draft.entry.temperature)
        r25_ohm, beta_k = values["r25_ohm"], values["beta"]
        return {s: ntc_resistance_ohm(t, r25_ohm, beta_k) for s, t in found.items()}
    return {}


def _shares(draft: Draft, path: Path, entry: PartEntry) -> Mapping[str, float]:
    if not isinstance(entry, PotentiometerEntry):
        return {}
    return _by_state(draft, path, entry.set_by, "shares", entry.shares, "share")


def _active(draft: Draft, path: Path, entry: PartEntry) -> Mapping[str, bool]:
    """Whether a part is on, for each state of its control; what the control lacks is noted."""
    if not isinstance(entry, WhileEntry):
        return {}
    found = draft.controls.get(entry.set_by)
    if found is None:
        if not draft.is_dropped("controls", entry.set_by):
            hint = nearest(entry.set_by, draft.controls, "controls")
            what = f"part {path[1]}: there is no control '{entry.set_by}'"
            draft.add((*path, "set by"), what, hint)
        return dict.fromkeys(entry.while_, True)
    for state in (s for s in entry.while_ if s not in found.states):
        hint = nearest(state, found.states, f"states of '{entry.set_by}'")
        what = f"part {path[1]}: '{entry.set_by}' cannot be '{state}'"
        draft.add((*path, "while"), what, hint)
    return {state: state in entry.while_ for state in found.states}


def _by_state(
    draft: Draft, path: Path, control: str, key: str, given: Mapping[str, float], what: str
) -> dict[str, float]:
    """A number for each state of a control; what is missing or too many is noted."""
    states = _states(draft, (*path, "set by"), (*path, key), control, given, what)
    return {state: given[state] for state in states if state in given}


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
    _check_pin(draft, path, subject, pin)
    return ModulePin(
        role=pin.role,
        ohm=pin.resistance or PIN_OHM.get(pin.role, 0.0),
        pull=pin.pull,
        to_v=_pin_v(pin, draft.entry.supply),
        bands=_bands(draft, (*path, "bands"), subject, pin.bands),
        duty=pin.duty or 0.0,
        trip_a=pin.trip or 0.0,
        limit_a=pin.limit or SENSOR_SUPPLY_A,
        terminator_ohm=pin.terminator or 0.0,
        set_by=pin.set_by,
    )


def _pin_v(pin: ModulePinEntry, supply_v: float) -> float:
    """What a pin is pulled to, or gives."""
    if pin.to is not None:
        return pin.to
    return SENSOR_SUPPLY_V if pin.role == "sensor supply" else supply_v if pin.pull == "up" else 0.0


def _check_pin(draft: Draft, path: Path, subject: str, pin: ModulePinEntry) -> None:
    """Words that do not go with the role, a pull without a resistance, an unknown control."""
    fit = PIN_WORDS.get(pin.role, ())
    given = [name for name in ALL_PIN_WORDS if getattr(pin, name)]
    if wrong := [name.replace("_", " ") for name in given if name not in fit]:
        what = f"{subject}: {', '.join(wrong)} cannot stand at a pin of role '{pin.role}'"
        roles = ", ".join(r for r, words in PIN_WORDS.items() if set(given) <= set(words))
        draft.add(path, what, f"take it out, or choose another role: {roles or 'none has all'}")
    if pin.pull != "none" and pin.role not in (*OUTPUTS, "input"):
        what = f"{subject}: only an input or output is pulled, this is '{pin.role}'"
        draft.add(path, what, "take pull out, or make it an input")
    if pin.pull != "none" and pin.resistance is None:
        hint = "add for example 'resistance: 4.7 kohm'"
        draft.add(path, f"{subject} is pulled {pin.pull}, but by what resistance?", hint)
    control = draft.controls.get(pin.set_by)
    if pin.set_by and not draft.is_dropped("controls", pin.set_by):
        if control is None:
            hint = nearest(pin.set_by, draft.controls, "controls")
            draft.add(path, f"{subject}: there is no control '{pin.set_by}'", hint)
        elif not set(control.states) <= set(BUS_STATES):
            what = f"{subject}: a bus stands at {', '.join(BUS_STATES)}"
            draft.add(path, what, f"give '{pin.set_by}' only these states")


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
