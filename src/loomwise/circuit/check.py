"""What must hold for a circuit as a whole. Each check finds one kind of mistake."""

import re
from collections.abc import Callable, Iterator
from difflib import get_close_matches

from loomwise.circuit.document import Path
from loomwise.circuit.draft import Draft
from loomwise.circuit.entry_types import MAX_SUPPLY_V
from loomwise.circuit.explain import nearest
from loomwise.circuit.model import OUTPUTS, Part
from loomwise.errors import InputError
from loomwise.logic import Rule, check_logic, parse_rule

LEAST_SENSOR_V = 0.5
Found = tuple[Path, str, str]
"""Where, what is wrong, what would be right."""


def check_draft(draft: Draft) -> None:
    """Run every check and note what it finds."""
    for check in CHECKS:
        for path, what, hint in check(draft):
            draft.add(path, what, hint)


def check_supply(draft: Draft) -> Iterator[Found]:
    """High voltage is out of scope."""
    if draft.entry.supply > MAX_SUPPLY_V:
        what = f"a supply of {draft.entry.supply:g} V is high voltage, which is out of scope"
        hint = f"leave it to licensed high-voltage technicians; the limit is {MAX_SUPPLY_V:g} V"
        yield ("supply",), what, hint


def check_battery_and_ground(draft: Draft) -> Iterator[Found]:
    """Without a source and a ground no current flows."""
    kinds = {part.kind for part in draft.parts.values()}
    if draft.dropped.get("parts"):
        return
    if "battery" not in kinds:
        yield ("parts",), "there is no battery", "add one: BAT: {kind: battery, in: battery}"
    if "ground" not in kinds:
        yield ("parts",), "there is no ground point", "add one: G1: {kind: ground, pins: [1]}"


def check_names(draft: Draft) -> Iterator[Found]:
    """A name before the point must mean one thing."""
    for name in draft.entry.connectors:
        if name in draft.entry.parts:
            what = f"{name} is the name of a part and of a connector"
            yield ("connectors", name), what, "rename one of them"


def check_halves(draft: Draft) -> Iterator[Found]:
    """The two halves of a connector belong to two different things."""
    units = list(draft.entry.units)
    for name, connector in draft.entry.connectors.items():
        path: Path = ("connectors", name, "halves")
        if connector.halves[0] == connector.halves[1]:
            what = f"both halves of connector {name} belong to '{connector.halves[0]}'"
            yield path, what, "give the looms on its two sides two names"
        for owner in connector.halves:
            known = draft.is_unit(owner) or owner in draft.looms
            near = [] if known else get_close_matches(owner, units, n=1, cutoff=0.8)
            if near:
                what = f"connector {name}: '{owner}' is no unit, and no wire is in such a loom"
                yield path, what, f"did you mean '{near[0]}'?"


def check_cavities(draft: Draft) -> Iterator[Found]:
    """Every cavity has a name of its own, and there are not more rows than cavities."""
    for name, connector in draft.connectors.items():
        if not connector.cavities:
            hint = "write how many it has, or 'standard: ISO 11446' for a trailer socket"
            yield ("connectors", name), f"connector {name} has no cavities", hint
            continue
        if len(set(connector.cavities)) < len(connector.cavities):
            what = f"connector {name} has a cavity twice"
            yield ("connectors", name, "cavities"), what, "name every cavity once"
        if connector.rows > len(connector.cavities):
            what = f"connector {name} has more rows than cavities"
            yield ("connectors", name, "rows"), what, "correct the rows or the cavities"


def check_controls(draft: Draft) -> Iterator[Found]:
    """The state at rest is one of the control's states, and each state is named once."""
    for name, control in draft.entry.controls.items():
        if control.rest not in control.states:
            what = f"control {name} rests in '{control.rest}', which is none of its states"
            yield ("controls", name, "rest"), what, nearest(control.rest, control.states, "states")
        if len(set(control.states)) < len(control.states):
            what = f"control {name} has a state twice"
            yield ("controls", name, "states"), what, "name every state once"


def check_connected(draft: Draft) -> Iterator[Found]:
    """A part without a wire is a line forgotten, or a part that belongs to another sheet."""
    named = set(re.findall(r"(\w+)\.", " ".join(draft.entry.wires)))
    if draft.dropped.get("wires"):
        return
    for name, part in draft.parts.items():
        if name not in named:
            what = f"nothing is connected to {part.kind} {name}"
            yield ("parts", name), what, "add its wires, or take it out"


def check_relays(draft: Draft) -> Iterator[Found]:
    """A relay, and whatever works like one, lets go at less than it pulls in at."""
    for name, part in draft.parts.items():
        pull_in_v, drop_out_v = (part.values.get(k, 0.0) for k in ("pull_in_v", "drop_out_v"))
        if drop_out_v >= pull_in_v > 0.0:
            what = f"{part.kind} {name} would drop out at {drop_out_v:g} V, not below its pull-in"
            yield ("parts", name), what, f"write a drop out below {pull_in_v:g} V"


def check_motors(draft: Draft) -> Iterator[Found]:
    """A running motor takes less than its winding alone would let through."""
    for name, part in _of_kind(draft, "motor", "two-speed motor", "reversible motor"):
        most_ohm = draft.entry.supply / part.values["current_a"]
        if part.values["resistance_ohm"] >= most_ohm:
            what = f"motor {name} could not turn with this winding resistance and current"
            yield ("parts", name), what, f"write a resistance well below {most_ohm:.3g} ohm"


def check_leds(draft: Draft) -> Iterator[Found]:
    """An LED needs less than the supply, or no series resistor gives it its current."""
    for name, part in _of_kind(draft, "LED"):
        if part.values["forward_v"] >= 0.95 * draft.entry.supply:
            what = f"LED {name} would never light on {draft.entry.supply:g} V"
            yield ("parts", name), what, "write the sum of its knees, below the supply"


def check_buses(draft: Draft) -> Iterator[Found]:
    """CAN_H and CAN_L go in pairs; a sensor supply gives some voltage."""
    for name, part in _of_kind(draft, "module"):
        roles = [str(pin.role) for pin in part.module_pins.values()]
        for high, low in (("can-h", "can-l"), ("slow can-h", "slow can-l")):
            if roles.count(high) != roles.count(low):
                what = f"module {name} has not as many pins of role '{low}' as of '{high}'"
                yield ("parts", name, "pins"), what, "give each bus both of its pins"
        for pin_name, pin in part.module_pins.items():
            if pin.role == "sensor supply" and pin.to_v < LEAST_SENSOR_V:
                what = f"module {name}, pin {pin_name}: a sensor supply of {pin.to_v:g} V is none"
                yield ("parts", name, "pins", pin_name), what, "write for example 'to: 5 V'"


def check_modules(draft: Draft) -> Iterator[Found]:
    """A module works only between a supply pin and a ground pin."""
    for name, part in _of_kind(draft, "module"):
        roles = {pin.role for pin in part.module_pins.values()}
        for role in ("supply", "ground"):
            if role not in roles:
                what = f"module {name} has no {role} pin"
                yield ("parts", name, "pins"), what, f"give one of its pins the role {role}"


def check_rules(draft: Draft) -> Iterator[Found]:
    """The logic of a module speaks of its own inputs and outputs only."""
    for name, texts in draft.entry.logic.items():
        part = draft.parts.get(name)
        if part is not None and part.kind == "module":
            yield from _rules_of(part, texts)
        elif not draft.is_dropped("parts", name):
            modules = [p.id for p in draft.parts.values() if p.kind == "module"]
            yield ("logic", name), f"there is no module {name}", nearest(name, modules, "modules")


def _rules_of(part: Part, texts: list[str]) -> Iterator[Found]:
    rules: list[Rule] = []
    lines: list[int] = []
    for number, text in enumerate(texts):
        try:
            rules.append(parse_rule(text))
            lines.append(number)
        except InputError as error:
            yield ("logic", part.id, number), error.message, error.hint
    pins = part.module_pins
    inputs = {n: tuple(b.name for b in p.bands) for n, p in pins.items() if p.bands}
    outputs = [n for n, p in pins.items() if p.role in OUTPUTS]
    for index, what, hint in check_logic(rules, inputs, outputs):
        yield ("logic", part.id, lines[index]), what, hint


def _of_kind(draft: Draft, *kinds: str) -> Iterator[tuple[str, Part]]:
    return ((name, part) for name, part in draft.parts.items() if part.kind in kinds)


def check_positions(draft: Draft) -> Iterator[Found]:
    """Only what is drawn can be moved."""
    for name in draft.entry.positions:
        if name not in draft.parts and not draft.is_dropped("parts", name):
            what = f"there is no part {name} to stand anywhere on the drawing"
            yield ("positions", name), what, nearest(name, draft.names("parts"), "parts")


CHECKS: tuple[Callable[[Draft], Iterator[Found]], ...] = (
    check_supply,
    check_battery_and_ground,
    check_names,
    check_halves,
    check_cavities,
    check_controls,
    check_connected,
    check_relays,
    check_motors,
    check_leds,
    check_modules,
    check_buses,
    check_rules,
    check_positions,
)
