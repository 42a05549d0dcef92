"""The block with a module: inputs that sense, rules, and outputs that pull relays or feed lamps.

A pulsed output dims the dial lights.
"""

from collections.abc import Mapping
from dataclasses import replace

from loomwise.generate.feeds import COIL_A, SIGNAL_MM2, earth, fuse, join, relay, switch
from loomwise.generate.loads import Load, earth_all, heater, lamp, led, motor
from loomwise.generate.plan import Plan
from loomwise.generate.words import CONTROLS, SENSED, SWITCHES

OHMS = {"cold": "5.8 kohm", "warm": "620 ohm", "hot": "240 ohm"}
_SENSOR_INPUT = "role: input, pull: up, to: 5 V, resistance: 2.2 kohm"
_SENSOR_BANDS = {
    2: "hot below 1 V, cold below 4.7 V, open",
    3: "hot below 0.75 V, warm below 2 V, cold below 4.7 V, open",
}
"""With ``OHMS`` behind 2.2 kohm to 5 V: 0.5 V hot, 1.1 V warm, 3.6 V cold."""
_SWITCH_INPUT = "role: input, pull: up, to: 5 V, resistance: 4.7 kohm, bands: [on below 1.5 V, off]"


OUTPUTS = {"relay": "low-side", "low-side": "low-side", "high-side": "high-side"} | {
    "pulsed": "high-side, duty: 80 %"
}


def module_block(plan: Plan) -> None:
    """A module behind the key, with one to three inputs and one to four outputs."""
    working_module(plan, {})


def working_module(plan: Plan, more: Mapping[str, str]) -> str:
    """The same with ``more`` pins, which the caller wires; the module."""
    box, loom = plan.dice.pick(plan.boxes), plan.dice.pick(plan.looms)
    name = add_module(plan, "control module", loom, {})
    pins = {"15": "role: supply", "31": "role: ground", **more}
    conditions = _add_inputs(plan, name, pins)
    kinds = [plan.dice.pick(("relay", *OUTPUTS)) for _ in _outputs(plan)]
    pins |= {f"OUT{i}": f"role: {OUTPUTS[k]}" for i, k in enumerate(kinds, 1)}
    _add_outputs(plan, box, name, kinds)
    earth(plan, f"{name}.31", loom, 0.75)
    plan.parts[name] = replace(plan.parts[name], pins=pins)
    plan.logic[name] = _rules(plan, conditions, len(kinds))
    return name


def add_module(plan: Plan, unit: str, loom: str, pins: Mapping[str, str]) -> str:
    """A module in a unit of its own, always by a plug; its wires are the caller's."""
    name = plan.add("A", "module", plan.unit(unit, "module", loom, plugged=True))
    plan.parts[name] = replace(plan.parts[name], pins=pins)
    return name


def _outputs(plan: Plan) -> range:
    return range(plan.dice.between(1, 2 if plan.size < 60 else 4))


def _add_inputs(plan: Plan, name: str, pins: dict[str, str]) -> list[str]:
    """Sensors and switches to a module, each with a control of its own; what rules may ask."""
    conditions, controls = list[str](), tuple[str, ...]()
    for number in range(1, plan.dice.between(1, 3) + 1):
        sensed = plan.dice.chance(0.5)
        control = plan.control(SENSED if sensed else SWITCHES, but=controls)
        controls += (control,)
        pin = f"{'T' if sensed else 'IN'}{number}"
        source = _sensor(plan, control) if sensed else switch(plan, control)
        plan.connect(f"{name}.{pin}", f"{source}.1", SIGNAL_MM2)
        earth(plan, f"{source}.2", plan.units[plan.parts[source].home].loom, SIGNAL_MM2)
        bands = _SENSOR_BANDS[len(CONTROLS[control].states)]
        pins[pin] = f"{_SENSOR_INPUT}, bands: [{bands}]" if sensed else _SWITCH_INPUT
        conditions.append(_condition(plan, pin, control, sensed))
    return conditions


def _condition(plan: Plan, pin: str, control: str, sensed: bool) -> str:
    if not sensed:
        return f"{pin} is on"
    if "warm" in CONTROLS[control].states and plan.dice.chance(0.5):
        return f"({pin} is warm or {pin} is hot)"
    return f"{pin} is hot"


def _sensor(plan: Plan, control: str) -> str:
    loom = plan.dice.pick(plan.looms)
    unit = plan.unit(f"{control} sensor", "sensor", loom, plugged=True)
    said = ", ".join(f"{state}: {OHMS[state]}" for state in CONTROLS[control].states)
    return plan.add("B", "sensor", unit, set_by=control, ohms=f"{{{said}}}")


def _add_outputs(plan: Plan, box: str, name: str, kinds: list[str]) -> None:
    """Loads to the outputs. One fuse feeds the module, its relays' coils and its lamps."""
    loads = [_load(plan, kind) for kind in kinds]
    direct_a = sum(each.current_a for each, k in zip(loads, kinds, strict=True) if k != "relay")
    feed, area_mm2 = fuse(plan, box, direct_a + COIL_A * (1 + len(kinds)), always=False)
    fed = [f"{name}.15"]
    for number, (load, kind) in enumerate(zip(loads, kinds, strict=True), 1):
        out = f"{name}.OUT{number}"
        if kind == "relay":
            fed.append(_relay_output(plan, box, load, out))
        elif kind == "low-side":
            fed.append(load.plus)
            plan.connect(load.minus, out, area_mm2)
        else:
            plan.connect(out, load.plus, area_mm2)
            earth(plan, load.minus, load.loom, area_mm2)
    join(plan, feed, fed, box, area_mm2)


def _load(plan: Plan, kind: str) -> Load:
    loom = plan.dice.pick(plan.looms)
    if kind == "relay":
        return plan.dice.pick((motor, motor, heater))(plan, loom)
    if kind == "pulsed":
        return led(plan, plan.unit("dial light", "lamp", "dash loom"), 60)
    return lamp(plan, loom, most_w=10)


def _relay_output(plan: Plan, box: str, load: Load, out: str) -> str:
    """A load behind a relay that the output grounds; the coil's other pin."""
    feed, area_mm2 = fuse(plan, box, load.current_a, plan.dice.chance(0.6), load.margin)
    name = relay(plan, box)
    plan.connect(feed, f"{name}.30", area_mm2)
    plan.connect(f"{name}.87", load.plus, area_mm2)
    plan.connect(f"{name}.85", out, SIGNAL_MM2)
    earth_all(plan, [load], area_mm2)
    return f"{name}.86"


def _rules(plan: Plan, conditions: list[str], outputs: int) -> tuple[str, ...]:
    """The first output asks every input once; the others one or two; the last perhaps nothing."""
    rules = [f"OUT1 on when {_either(plan, conditions)}"]
    for number in range(2, outputs + 1):
        last = number == outputs
        if last and plan.room_for_controls and not plan.free_outputs and plan.dice.chance(0.3):
            plan.free_outputs += 1
            break
        first = plan.dice.pick(conditions)
        asked = list(dict.fromkeys((first, plan.dice.pick(conditions))))
        rules.append(f"OUT{number} on when {_either(plan, asked)}")
    return tuple(rules)


def _either(plan: Plan, conditions: list[str]) -> str:
    return plan.dice.pick((" or ", " and ")).join(conditions)
