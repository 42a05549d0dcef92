"""Writes a plan as the text of a circuit file."""

from collections.abc import Iterator

from loomwise.generate.plan import PartLine, Plan, Wire
from loomwise.generate.words import BOXES, CONTROLS, VEHICLES

NOTE = "An invented circuit, drawn at random from blocks in common use. No vehicle has it."
CAUTION = (
    "Fans and pumps can start by themselves with the key on. Keep hands, hair and leads clear."
)


def circuit_text(plan: Plan, seed: int) -> str:
    """The whole file, format 1."""
    vehicle = plan.dice.pick(VEHICLES)
    head = [
        "format: 1",
        f"title: {vehicle}, invented circuit of {plan.size} parts",
        f"supply: {plan.supply_v} V",
        f"note: {NOTE}",
        "sources:",
        f'  - {{name: "generated, {plan.size} parts, seed {seed}", drawn: by the maker}}',
        "cautions:",
        f"  - {CAUTION}",
    ]
    sections = (
        ("units", _units(plan)),
        ("connectors", _connectors(plan)),
        ("controls", _controls(plan)),
        ("parts", (line for name in plan.parts for line in _part(plan, name))),
        ("wires", (f"- {_wire(plan, wire)}" for wire in plan.wires)),
        ("logic", _logic(plan)),
    )
    lines = head
    for title, body in sections:
        found = [f"  {line}" for line in body]
        lines += ["", f"{title}:", *found] if found else []
    return "\n".join(lines) + "\n"


def _units(plan: Plan) -> Iterator[str]:
    used = {part.home for part in plan.parts.values()}
    for name, unit in plan.units.items():
        if name in used:
            reach = f", reach: {unit.reach} min" if unit.reach else ""
            yield f"{name}: {{price: {unit.price}, minutes: {unit.minutes}{reach}}}"


def _connectors(plan: Plan) -> Iterator[str]:
    for name, halves in plan.plugs.items():
        if name in plan.sockets:
            said = f"halves: [{', '.join(halves)}], standard: {plan.sockets[name]}"
            yield f"{name}: {{{said}, minutes: 3}}"
            continue
        own = any(home in plan.units and home not in BOXES for home in halves)
        count = plan.used[name] if own else plan.room[name]
        rows = ", rows: 2" if count > 4 else ""
        minutes = 1.5 if own else 3
        yield (
            f"{name}: {{halves: [{', '.join(halves)}], cavities: {count}{rows}, "
            f"minutes: {minutes}}}"
        )


def _controls(plan: Plan) -> Iterator[str]:
    for name in plan.controls:
        control = CONTROLS[name]
        happens = ", set by: nobody" if control.happens else ""
        states = ", ".join(control.states)
        yield f"{name}: {{states: [{states}], rest: {control.states[0]}{happens}}}"


def _part(plan: Plan, name: str) -> Iterator[str]:
    part = plan.parts[name]
    if part.pins:
        yield from (f"{name}:", f"  kind: {part.kind}", f"  in: {part.home}", "  pins:")
        yield from (f"    {pin}: {{{said}}}" for pin, said in part.pins.items())
        return
    said = ", ".join(f"{key}: {text}" for key, text in _entries(plan, name, part))
    yield f"{name}: {{kind: {part.kind}, {said}}}"


def _entries(plan: Plan, name: str, part: PartLine) -> Iterator[tuple[str, str]]:
    if part.kind != "ground":
        yield "in", part.home
    if name in plan.legs:
        yield "pins", f"[{', '.join(str(leg + 1) for leg in range(plan.legs[name]))}]"
    yield from part.entries.items()


def _wire(plan: Plan, wire: Wire) -> str:
    ends = " to ".join(wire.ends)
    loom = next((home for home in wire.homes if home not in plan.units), "")
    if not loom:
        return ends  # inside a unit: a trace or bar
    return f"{ends}, {wire.colour} {wire.area_mm2:g} mm2, {wire.length_m:g} m, in {loom}"


def _logic(plan: Plan) -> Iterator[str]:
    for name, rules in plan.logic.items():
        yield f"{name}:"
        yield from (f"  - {rule}" for rule in rules)
