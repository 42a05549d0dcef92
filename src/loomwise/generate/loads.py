"""Loads with plausible ratings, and their way to ground."""

from dataclasses import dataclass

from loomwise.generate.feeds import MARGIN, MOTOR_MARGIN, earth
from loomwise.generate.plan import GROUND_COLOUR, Plan
from loomwise.generate.words import HEATERS, LAMPS, MOTORS, VALVES

LAMPS_W = (5, 10, 21, 55)
"""Common filament bulbs, from memory."""
HEATERS_W = (30, 60, 100, 150)
MOTORS_W = (40, 80, 120, 200, 250)
VALVES_W = (9, 12, 18, 24)
"""At nominal supply. Engineering judgement."""
CLAMP_V = {12: "27 V", 24: "47 V"}
"""Breakdown of a diode that clips peaks, by supply voltage: above all that lasts. From memory."""


@dataclass(frozen=True)
class Load:
    """A load that is not wired yet: its two pins, current at nominal supply, and loom."""

    plus: str
    minus: str
    current_a: float
    loom: str
    margin: float


def lamp(plan: Plan, loom: str, most_w: int = 55) -> Load:
    """A filament lamp."""
    power_w = plan.dice.pick([w for w in LAMPS_W if w <= most_w])
    return bulb(plan, plan.unit(_named(loom, plan.dice.pick(LAMPS)), "lamp", loom), power_w)


def heater(plan: Plan, loom: str) -> Load:
    """A heating resistance."""
    power_w = plan.dice.pick(HEATERS_W)
    unit = plan.unit(_named(loom, plan.dice.pick(HEATERS)), "heater", loom)
    name = plan.add("R", "heater", unit, power=f"{power_w} W")
    return _two_pins(name, power_w / plan.supply_v, loom)


def horn(plan: Plan, loom: str) -> Load:
    """A horn of 60 W."""
    unit = plan.unit("horn", "horn", loom)
    name = plan.add("H", "horn", unit, current=f"{60 / plan.supply_v:g} A")
    return _two_pins(name, 60 / plan.supply_v, loom)


def led(plan: Plan, unit: str, current_ma: int = 20) -> Load:
    """A light-emitting diode in a unit that is there."""
    name = plan.add("E", "LED", unit, current=f"{current_ma} mA")
    return Load(f"{name}.A", f"{name}.K", current_ma / 1000, plan.units[unit].loom, MARGIN)


def solenoid(plan: Plan, loom: str, name: str = "") -> Load:
    """The coil of a valve."""
    power_w = plan.dice.pick(VALVES_W)
    unit = plan.unit(name or _named(loom, plan.dice.pick(VALVES)), "valve", loom)
    part = plan.add("Y", "solenoid", unit, current=f"{power_w / plan.supply_v:g} A")
    return _two_pins(part, power_w / plan.supply_v, loom)


def two_filaments(plan: Plan, name: str, loom: str, powers_w: tuple[int, int]) -> str:
    """A lamp with two filaments in one bulb; the part."""
    unit = plan.unit(name, "lamp", loom)
    first, second = (f"{power_w} W" for power_w in powers_w)
    return plan.add("E", "two-filament lamp", unit, power_1=first, power_2=second)


def bulb(plan: Plan, unit: str, power_w: int) -> Load:
    """A filament lamp in a unit that is there."""
    name = plan.add("E", "lamp", unit, power=f"{power_w} W")
    return _two_pins(name, power_w / plan.supply_v, plan.units[unit].loom)


def motor(plan: Plan, loom: str, most_w: int = 250, name: str = "") -> Load:
    """A fan or pump."""
    power_w = plan.dice.pick([w for w in MOTORS_W if w <= most_w])
    current_a = round(power_w / plan.supply_v, 1)
    unit = plan.unit(_named(loom, name or plan.dice.pick(MOTORS)), "motor", loom)
    part = plan.add("M", "motor", unit, current=f"{current_a:g} A")
    return Load(f"{part}.+", f"{part}.-", current_a, loom, MOTOR_MARGIN)


def any_load(plan: Plan, loom: str) -> Load:
    """What hangs on a relay."""
    return plan.dice.pick((lamp, heater, motor))(plan, loom)


def earth_all(plan: Plan, loads: list[Load], area_mm2: float) -> None:
    """Loads of one loom to ground: each by a wire of its own, or together through a splice."""
    loom = loads[0].loom
    if len(loads) > 1 and plan.dice.chance(0.4):
        name = plan.splice(loom)
        for load in loads:
            plan.connect(load.minus, plan.leg(name), area_mm2, GROUND_COLOUR)
        earth(plan, plan.leg(name), loom, area_mm2)
        return
    for load in loads:
        earth(plan, load.minus, loom, area_mm2)


def _two_pins(name: str, current_a: float, loom: str) -> Load:
    return Load(f"{name}.1", f"{name}.2", current_a, loom, MARGIN)


def _named(loom: str, what: str) -> str:
    return f"{loom.removesuffix(' loom')} {what}"
