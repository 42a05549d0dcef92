"""Blocks without a module: lamps, relays, motors. Each adds a working piece to a plan."""

from loomwise.generate.feeds import (
    COIL_A,
    SIGNAL_MM2,
    earth,
    earth_coil,
    fuse,
    join,
    relay,
    relay_home,
    switch,
)
from loomwise.generate.loads import Load, any_load, earth_all, horn, lamp, motor
from loomwise.generate.plan import NoRoomError, Plan
from loomwise.generate.words import BLOWER, DOORS, HORN, SWITCHES, WIPER


def switched_lamps(plan: Plan) -> None:
    """One to four lamps behind a fuse and a switch."""
    loom, box = plan.dice.pick(plan.looms), plan.dice.pick(plan.boxes)
    lamps = [lamp(plan, loom) for _ in range(plan.dice.between(1, max(1, min(4, plan.left // 6))))]
    feed, area_mm2 = fuse(plan, box, _sum_a(lamps), plan.dice.chance(0.5))
    name = switch(plan, plan.control(SWITCHES))
    plan.connect(feed, f"{name}.1", area_mm2)
    join(plan, f"{name}.2", [each.plus for each in lamps], loom, area_mm2)
    earth_all(plan, lamps, area_mm2)


def shared_fuse(plan: Plan) -> None:
    """Two or three switches on one fuse, each with a lamp elsewhere."""
    box = plan.dice.pick(plan.boxes)
    count = plan.dice.between(2, 3)
    lamps = [lamp(plan, plan.dice.pick(plan.looms), most_w=21) for _ in range(count)]
    feed, area_mm2 = fuse(plan, box, _sum_a(lamps), plan.dice.chance(0.5))
    switches = [switch(plan, plan.control(SWITCHES)) for _ in lamps]
    join(plan, feed, [f"{name}.1" for name in switches], "dash loom", area_mm2)
    for name, each in zip(switches, lamps, strict=True):
        plan.connect(f"{name}.2", each.plus, area_mm2)
        earth(plan, each.minus, each.loom, area_mm2)


def door_lamps(plan: Plan) -> None:
    """One or two lamps that are always fed, and grounded by a door switch."""
    loom = plan.dice.pick(plan.looms)
    lamps = [lamp(plan, loom, most_w=10) for _ in range(plan.dice.between(1, 2))]
    feed, area_mm2 = fuse(plan, plan.dice.pick(plan.boxes), _sum_a(lamps), always=True)
    name, at = _door_switch(plan)
    join(plan, feed, [each.plus for each in lamps], loom, area_mm2)
    join(plan, f"{name}.1", [each.minus for each in lamps], loom, area_mm2)
    earth(plan, f"{name}.2", at, area_mm2)


def _door_switch(plan: Plan) -> tuple[str, str]:
    """A switch in the door's own loom, where the vehicle has one; and that loom."""
    door = plan.control(DOORS)
    own = f"{door} loom"
    loom = own if own in plan.looms else "dash loom"
    return switch(plan, door, loom), loom


def two_source_lamp(plan: Plan) -> None:
    """One lamp that either of two switches lights, kept apart by two diodes."""
    loom = plan.dice.pick(plan.looms)
    load = lamp(plan, loom, most_w=10)
    feed, area_mm2 = fuse(plan, plan.dice.pick(plan.boxes), load.current_a, always=True)
    first = plan.control(SWITCHES)
    switches = [switch(plan, c) for c in (first, plan.control(SWITCHES, but=(first,)))]
    pack = plan.unit("diode pack", "diode", "dash loom")
    diodes = [plan.add("V", "diode", pack) for _ in switches]
    join(plan, feed, [f"{name}.1" for name in switches], "dash loom", area_mm2)
    for name, diode in zip(switches, diodes, strict=True):
        plan.connect(f"{name}.2", f"{diode}.A", area_mm2)
    join(plan, load.plus, [f"{diode}.K" for diode in diodes], "dash loom", area_mm2)
    earth(plan, load.minus, loom, area_mm2)


def relay_loads(plan: Plan) -> None:
    """One or two loads through a relay; one fuse feeds coil and contact."""
    loom, box = plan.dice.pick(plan.looms), plan.dice.pick(plan.boxes)
    loads = [any_load(plan, loom) for _ in range(plan.dice.between(1, 2))]
    _by_relay(plan, loads, box, plan.control(SWITCHES), always=plan.dice.chance(0.3))


def horn_circuit(plan: Plan) -> None:
    """One or two horns through a relay that the horn button grounds; once in a vehicle."""
    if HORN in plan.controls:
        raise NoRoomError
    loads = [horn(plan, "front loom") for _ in range(plan.dice.between(1, 2))]
    _by_relay(plan, loads, plan.dice.pick(plan.boxes), plan.control((HORN,)), always=True)


def _by_relay(plan: Plan, loads: list[Load], box: str, control: str, always: bool) -> None:
    margin = max(load.margin for load in loads)
    feed, area_mm2 = fuse(plan, box, _sum_a(loads) + COIL_A, always, margin)
    name, button = relay(plan, relay_home(plan, box)), switch(plan, control)
    if control == HORN or plan.dice.chance(0.5):
        join(plan, feed, [f"{name}.30", f"{name}.86"], box, area_mm2)
        plan.connect(f"{name}.85", f"{button}.1", SIGNAL_MM2)
        earth(plan, f"{button}.2", "dash loom", SIGNAL_MM2)
    else:
        join(plan, feed, [f"{name}.30", f"{button}.1"], box, area_mm2)
        plan.connect(f"{button}.2", f"{name}.86", SIGNAL_MM2)
        earth_coil(plan, name)
    join(plan, f"{name}.87", [load.plus for load in loads], loads[0].loom, area_mm2)
    earth_all(plan, loads, area_mm2)


def changed_over_lamps(plan: Plan) -> None:
    """Two lamps, one or the other fed by a change-over relay."""
    loom, box = plan.dice.pick(plan.looms), plan.dice.pick(plan.boxes)
    lamps = [lamp(plan, loom) for _ in range(2)]
    feed, area_mm2 = fuse(plan, box, _sum_a(lamps) + COIL_A, always=False)
    name, button = relay(plan, box, "change-over"), switch(plan, plan.control(SWITCHES))
    join(plan, feed, [f"{name}.30", f"{name}.86"], box, area_mm2)
    plan.connect(f"{name}.85", f"{button}.1", SIGNAL_MM2)
    earth(plan, f"{button}.2", "dash loom", SIGNAL_MM2)
    for pin, each in zip(("87a", "87"), lamps, strict=True):
        plan.connect(f"{name}.{pin}", each.plus, area_mm2)
    earth_all(plan, lamps, area_mm2)


def two_speed_motor(plan: Plan) -> None:
    """A motor with a slow and a fast brush behind a speed switch."""
    loom = plan.dice.pick(plan.looms)
    current_a = round(plan.dice.pick((40, 60, 80)) / plan.supply_v, 1)
    unit = plan.unit(f"{loom.removesuffix(' loom')} wiper motor", "motor", loom)
    name = plan.add("M", "two-speed motor", unit, current=f"{current_a:g} A")
    feed, area_mm2 = fuse(plan, plan.dice.pick(plan.boxes), 2 * current_a, always=False)
    button = _speed_switch(plan, plan.control((WIPER,)), "53", "53i")
    plan.connect(feed, f"{button}.53a", area_mm2)
    for pin in ("53", "53i"):
        plan.connect(f"{button}.{pin}", f"{name}.{pin}", area_mm2)
    earth(plan, f"{name}.31", loom, area_mm2)


def resistor_blower(plan: Plan) -> None:
    """A blower that runs slowly through a resistor."""
    load = motor(plan, "dash loom", most_w=120, name="blower")
    feed, area_mm2 = fuse(
        plan, plan.dice.pick(plan.boxes), load.current_a, always=False, margin=load.margin
    )
    button = _speed_switch(plan, plan.control((BLOWER,)), "1", "2")
    drop = plan.unit("blower resistor", "resistor", "dash loom")
    ohm = round(0.5 * plan.supply_v / load.current_a, 2)
    name = plan.add("R", "resistor", drop, resistance=f"{ohm:g} ohm")
    plan.connect(feed, f"{button}.53a", area_mm2)
    plan.connect(f"{button}.1", f"{name}.1", area_mm2)
    join(plan, load.plus, [f"{name}.2", f"{button}.2"], "dash loom", area_mm2)
    earth(plan, load.minus, load.loom, area_mm2)


def _speed_switch(plan: Plan, control: str, slow: str, fast: str) -> str:
    unit = plan.unit(f"{control} switch", "switch", "dash loom")
    positions = f"{{off: [], slow: [53a-{slow}], fast: [53a-{fast}]}}"
    pins = f"[53a, {slow}, {fast}]"
    return plan.add("S", "switch", unit, pins=pins, set_by=control, positions=positions)


def _sum_a(loads: list[Load]) -> float:
    return sum(load.current_a for load in loads)
