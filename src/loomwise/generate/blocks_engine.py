"""Blocks of modules that sense with a supply of their own, or talk to each other."""

from loomwise.generate.feeds import COIL_A, SIGNAL_MM2, earth, fuse, join
from loomwise.generate.loads import CLAMP_V, Load, bulb, led, solenoid
from loomwise.generate.modules import add_module, working_module
from loomwise.generate.plan import Plan
from loomwise.generate.words import COOLANT, PEDAL

CAN_COLOURS, BUS_MM2 = {"H": "OGBK", "L": "OGBN"}, 0.35
SHARES = "{up: 15 %, half: 45 %, down: 80 %}"
TEMPERATURES = "{cold: 20 C, warm: 90 C, hot: 110 C}"
_PINS = {
    "30": "role: supply",
    "31": "role: ground",
    "V5": "role: sensor supply, to: 5 V, limit: 0.1 A",
    "SG": "role: ground",
    "PED": "role: input, pull: down, resistance: 220 kohm, "
    "bands: [low below 0.4 V, up below 1.5 V, half below 3.2 V, down below 4.6 V, high]",
    "T": "role: input, pull: up, to: 5 V, resistance: 1 kohm, "
    "bands: [short below 0.2 V, hot below 0.95 V, warm below 1.8 V, cold below 4.8 V, open]",
    "EVP": "role: low-side, trip: 5 A",
    "MIL": "role: low-side, trip: 2 A",
}
"""With ``TEMPERATURES`` and 2.5 kohm at 25 C: 3.8 V cold, 1.2 V warm, 0.8 V hot."""


def engine_module(plan: Plan) -> None:
    """A module with a pedal sensor on its 5 V, a coolant sensor, a valve and a warning lamp;
    once."""
    plan.once("engine module", 25)
    name = add_module(plan, "engine module", "front loom", _PINS)
    plan.logic[name] = (
        f"EVP on when PED is {plan.dice.pick(('down', 'half or PED is down'))}",
        "MIL on when T is hot or T is open or PED is low or PED is high",
    )
    _sensors(plan, name)
    valve, told = solenoid(plan, "front loom", "purge valve"), _warning_lamp(plan)
    feed, area_mm2 = fuse(plan, "fuse box", valve.current_a + COIL_A, always=False)
    fed = [_guarded(plan, name, area_mm2), valve.plus, told.plus]
    join(plan, feed, fed, "fuse box", area_mm2)
    plan.connect(valve.minus, f"{name}.EVP", area_mm2)
    plan.connect(told.minus, f"{name}.MIL", SIGNAL_MM2)


def _sensors(plan: Plan, module: str) -> None:
    pedal_unit = plan.unit("pedal", "sensor", "dash loom", plugged=True)
    pedal = plan.add(
        "B", "potentiometer", pedal_unit, set_by=plan.control((PEDAL,)), shares=SHARES,
        resistance="2 kohm",
    )  # fmt: skip
    coolant_unit = plan.unit("engine coolant sensor", "sensor", "front loom", plugged=True)
    coolant = plan.add(
        "B", "NTC", coolant_unit, set_by=plan.control((COOLANT,)), r25="2.5 kohm", beta="3500",
        temperatures=TEMPERATURES,
    )  # fmt: skip
    for pin, end in (("V5", f"{pedal}.+"), ("PED", f"{pedal}.S"), ("T", f"{coolant}.1")):
        plan.connect(f"{module}.{pin}", end, SIGNAL_MM2)
    join(plan, f"{module}.SG", [f"{pedal}.-", f"{coolant}.2"], "front loom", SIGNAL_MM2)


def _warning_lamp(plan: Plan) -> Load:
    unit = plan.unit("engine warning lamp", "lamp", "dash loom")
    return led(plan, unit) if plan.dice.chance(0.5) else bulb(plan, unit, 2)


def _guarded(plan: Plan, module: str, area_mm2: float) -> str:
    """The module between feed and ground, with a zener inside that clips peaks; its feed's end."""
    home = plan.parts[module].home
    clamp = plan.add("V", "zener", home, breakdown=CLAMP_V[plan.supply_v])
    ends = list[str]()
    for pin, own in (("K", "30"), ("A", "31")):
        joint = plan.splice(home)
        plan.connect(plan.leg(joint), f"{module}.{own}", area_mm2)
        plan.connect(plan.leg(joint), f"{clamp}.{pin}", area_mm2)
        ends.append(plan.leg(joint))
    earth(plan, ends[1], "front loom", area_mm2)
    return ends[0]


def can_pair(plan: Plan) -> None:
    """Two or three modules on one twisted pair, which ends in both outer ones; once."""
    plan.once("CAN", 60)
    plain = {"H": "role: can-h", "L": "role: can-l"}
    ended = {**plain, "H": "role: can-h, terminator: 120 ohm"}
    first, last = working_module(plan, ended), working_module(plan, ended)
    if plan.dice.chance(0.5):
        for pin, colour in CAN_COLOURS.items():
            plan.connect(f"{first}.{pin}", f"{last}.{pin}", BUS_MM2, colour)
        return
    middle = working_module(plan, plain)
    for pin, colour in CAN_COLOURS.items():
        joint = plan.splice("dash loom")
        for name in (first, middle, last):
            plan.connect(f"{name}.{pin}", plan.leg(joint), BUS_MM2, colour)


def lin_wire(plan: Plan) -> None:
    """A module that commands another over one wire, and pulls it up; once."""
    plan.once("LIN", 60)
    commander = working_module(plan, {"LIN": "role: lin, resistance: 1 kohm"})
    responder = working_module(plan, {"LIN": "role: lin"})
    plan.connect(f"{commander}.LIN", f"{responder}.LIN", BUS_MM2)
