"""Blocks around the battery: generator, starter, second battery, 12 V tap. Each comes once."""

from dataclasses import replace

from loomwise.generate.feeds import (
    SIGNAL_MM2,
    cable,
    earth,
    engine_ground,
    fuse,
    ignition,
    relay,
    switch,
)
from loomwise.generate.loads import Load, bulb, lamp
from loomwise.generate.plan import NoRoomError, Plan
from loomwise.generate.words import ENGINE, KEY, START, SWITCHES

LINK_A = 125
"""Melts well above what the generator gives at most, 90 A. Engineering judgement."""
STARTER_W = 1800
"""150 A at 12 V, turning a warm engine. Engineering judgement."""


def charging(plan: Plan) -> None:
    """A generator behind a fusible link, and its charge lamp."""
    plan.once("charging", 20)
    unit = plan.unit("generator", "generator", "front loom", plugged=False)
    turns = {"set by": plan.control((ENGINE,)), "while": "[running]"}
    name = plan.add("AL", "charging source", unit, **turns)
    link = plan.add("FL", "fusible link", "fuse box", rating=f"{LINK_A} A")
    cable(plan, plan.plus, f"{link}.1", 16.0)
    cable(plan, f"{link}.2", f"{name}.B+", 16.0)
    plan.connect(f"{name}.B-", engine_ground(plan), 16.0, "BK")
    told = bulb(plan, plan.unit("instruments", "instruments", "dash loom", plugged=True), 2)
    feed, area_mm2 = fuse(plan, "fuse box", told.current_a, always=False)
    plan.connect(feed, told.plus, area_mm2)
    _past_diode(plan, told.minus, f"{name}.D+", area_mm2)


def _past_diode(plan: Plan, pin: str, to: str, area_mm2: float) -> None:
    """From the charge lamp to D+, past a diode: it must not feed back with the key off."""
    diode = plan.add("V", "diode", plan.parts[pin.partition(".")[0]].home)
    plan.connect(pin, f"{diode}.A", area_mm2)
    plan.connect(f"{diode}.K", to, area_mm2)


def starting(plan: Plan) -> None:
    """A starter with its solenoid, and a start relay that a button pulls with the key on."""
    plan.once("starting", 30)
    unit = plan.unit("starter", "starter", "front loom", plugged=False)
    pull = plan.add("K", "starter solenoid", unit)
    amps = f"{STARTER_W / plan.supply_v:g} A"
    motor = plan.add("M", "motor", unit, current=amps, friction="0.4")
    cable(plan, plan.plus, f"{pull}.30", 35.0)
    plan.connect(f"{pull}.45", f"{motor}.+", 35.0)
    for pin, area_mm2 in ((f"{motor}.-", 35.0), (f"{pull}.31", 2.5)):
        plan.connect(pin, engine_ground(plan), area_mm2, "BK")
    feed, area_mm2 = fuse(plan, "fuse box", 20.0, always=True)
    name, button = relay(plan, "fuse box"), switch(plan, plan.control((START,)))
    plan.connect(feed, f"{name}.30", area_mm2)
    plan.connect(f"{name}.87", f"{pull}.50", area_mm2)
    plan.connect(ignition(plan, "fuse box"), f"{button}.1", SIGNAL_MM2)
    plan.connect(f"{button}.2", f"{name}.86", SIGNAL_MM2)
    earth(plan, f"{name}.85", "dash loom", SIGNAL_MM2)


def second_battery(plan: Plan) -> None:
    """A second battery that a split-charge relay joins to the first while that is charged, and
    what hangs on it."""
    if "charging" not in plan.rails:
        raise NoRoomError
    plan.once("second battery", 40)
    loom = plan.dice.pick(("front loom", "rear loom"))
    name = plan.add("K", "split-charge relay", "fuse box")
    own = plan.add("BAT", "battery", plan.unit("second battery", "battery", loom, plugged=False))
    earth(plan, f"{name}.31", "front loom", 0.75)
    for pin, post in (("30", plan.plus), ("87", f"{own}.+")):  # current may come from either
        link = plan.add("FL", "fusible link", "fuse box", rating="60 A")
        cable(plan, post, f"{link}.1", 10.0)
        plan.connect(f"{link}.2", f"{name}.{pin}", 10.0)
    earth(plan, f"{own}.-", loom, 10.0)
    _fed_from(plan, f"{own}.+", "second battery fuse", lamp(plan, loom, most_w=21))


def twelve_volt_tap(plan: Plan) -> None:
    """A 24 V vehicle: its two batteries, and an equaliser that shares out what 12 V loads take."""
    if plan.supply_v != 24 or KEY not in plan.controls:
        raise NoRoomError
    plan.once("12 V", 30)
    _part_battery(plan)
    name = plan.add("EQ", "equaliser", plan.unit("equaliser", "converter", "front loom"))
    cable(plan, "BAT2.+", f"{name}.24", 6.0)
    cable(plan, "BAT.+", f"{name}.12", 6.0)
    earth(plan, f"{name}.31", "front loom", 6.0)
    unit = plan.unit("12 V lamp", "lamp", "dash loom")
    load = bulb(plan, unit, plan.dice.pick((10, 21)))
    part = load.plus.partition(".")[0]
    at_12 = {**plan.parts[part].entries, "rated": "12 V"}
    plan.parts[part] = replace(plan.parts[part], entries=at_12)
    _fed_from(plan, "BAT.+", "12 V fuse", load)


def _part_battery(plan: Plan) -> None:
    """Two batteries of 12 V in series instead of one of 24 V; what was fed hangs on the upper."""
    half = {"emf": "12.65 V", "resistance": "6 mohm", "charging": "0.3 ohm"}
    plan.parts["BAT"] = replace(plan.parts["BAT"], entries=half)
    upper = plan.add("BAT", "battery", "battery", **half)
    plan.plus = f"{upper}.+"
    plan.wires = [
        replace(wire, ends=tuple(plan.plus if end == "BAT.+" else end for end in wire.ends))
        for wire in plan.wires
    ]
    cable(plan, "BAT.+", f"{upper}.-", 35.0, "BK")


def _fed_from(plan: Plan, post: str, holder: str, load: Load) -> None:
    """A load behind a fuse of their own at a battery, and a switch."""
    fused = plan.add("F", "fuse", plan.unit(holder, "holder", "front loom"), rating="7.5 A")
    cable(plan, post, f"{fused}.1", 2.5)
    name = switch(plan, plan.control(SWITCHES))
    plan.connect(f"{fused}.2", f"{name}.1", 1.5)
    plan.connect(f"{name}.2", load.plus, 1.5)
    earth(plan, load.minus, load.loom, 1.5)
