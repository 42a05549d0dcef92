"""Blocks of lighting: tail and stop lamps, turn lamps, headlamps, pilot lamps, a trailer."""

from loomwise.generate.feeds import SIGNAL_MM2, earth, fuse, join, relay, switch, switch_in
from loomwise.generate.loads import bulb, heater, lamp, led, two_filaments
from loomwise.generate.modules import add_module
from loomwise.generate.plan import NoRoomError, Plan
from loomwise.generate.words import (
    BRAKE,
    FLASH,
    LIGHTS,
    SOCKETS,
    STALK,
    SWITCHES,
    TRAILER,
    TURN,
)

SIDES = ("left", "right")
STOP_TAIL_W, MAIN_DIP_W = (21, 5), (60, 55)
"""Common bulbs of two filaments, from memory."""
TRAILER_SHARE = 2
"""Fuses of lamps that a trailer repeats bear them twice: common practice, no source."""
LADDER_OHMS = {"off": "15 kohm", "dip": "2.2 kohm", "main": "820 ohm"}
_STALK_INPUT = (
    "role: input, pull: up, to: 5 V, resistance: 2.2 kohm, "
    "bands: [short below 0.5 V, main below 1.9 V, dip below 3.4 V, off below 4.7 V, open]"
)
"""With ``LADDER_OHMS``: 1.4 V main, 2.5 V dip, 4.4 V off."""


def pilot_lamp(plan: Plan) -> None:
    """A lamp or heater, and an LED in its switch that tells it is on."""
    loom = plan.dice.pick(plan.looms)
    load = plan.dice.pick((lamp, heater))(plan, loom)
    feed, area_mm2 = fuse(plan, plan.dice.pick(plan.boxes), load.current_a, plan.dice.chance(0.3))
    control = plan.control(SWITCHES)
    unit = plan.unit(f"{control} switch", "switch", "dash loom", plugged=True)
    name, told = switch_in(plan, unit, control), led(plan, unit)
    plan.connect(feed, f"{name}.1", area_mm2)
    join(plan, f"{name}.2", [load.plus, told.plus], unit, area_mm2)
    earth(plan, load.minus, loom, area_mm2)
    earth(plan, told.minus, "dash loom", SIGNAL_MM2)


def tail_and_stop(plan: Plan) -> None:
    """Tail and stop lamps, two filaments in one bulb; on one side or both."""
    loom = "rear loom" if "rear loom" in plan.looms else plan.looms[-1]
    sides = SIDES if plan.size >= 20 else (plan.dice.pick(SIDES),)
    lamps = [two_filaments(plan, f"{side} tail lamp", loom, STOP_TAIL_W) for side in sides]
    box = plan.dice.pick(plan.boxes)
    uses = zip((BRAKE, LIGHTS), STOP_TAIL_W, ("1", "2"), strict=True)
    for control, power_w, pin in uses:
        amps = TRAILER_SHARE * len(lamps) * power_w / plan.supply_v
        feed, area_mm2 = fuse(plan, box, amps, always=plan.dice.chance(0.7))
        name = switch(plan, plan.control((control,)))
        plan.connect(feed, f"{name}.1", area_mm2)
        _shared(plan, f"{name}.2", [f"{each}.{pin}" for each in lamps], control, loom, area_mm2)
    for each in lamps:
        earth(plan, f"{each}.31", loom, 1.5)


def turn_lamps(plan: Plan) -> None:
    """A flasher, a stalk, and turn lamps at the front and rear of both sides."""
    plan.once("turn", 25)
    flash, turn = plan.control((FLASH,)), plan.control((TURN,))
    lit = {"set by": flash, "while": "[lit]"}
    name = plan.add("K", "flasher", "fuse box", **lit)
    amps = TRAILER_SHARE * 2 * 21 / plan.supply_v
    feed, area_mm2 = fuse(plan, "fuse box", amps, always=False)
    plan.connect(feed, f"{name}.49", area_mm2)
    earth(plan, f"{name}.31", "dash loom", 0.75)
    stalk = plan.add(
        "S", "switch", plan.unit("turn stalk", "switch", "dash loom", plugged=True),
        pins="[49a, L, R]", set_by=turn, positions="{off: [], left: [49a-L], right: [49a-R]}",
    )  # fmt: skip
    plan.connect(f"{name}.49a", f"{stalk}.49a", area_mm2)
    for side, pin in zip(SIDES, "LR", strict=True):
        lamps = [
            bulb(plan, plan.unit(f"{side} {at} turn lamp", "lamp", f"{at} loom"), 21)
            for at in ("front", "rear")
        ]
        ends = [each.plus for each in lamps]
        _shared(plan, f"{stalk}.{pin}", ends, f"turn {side}", "dash loom", area_mm2)
        for each in lamps:
            earth(plan, each.minus, each.loom, area_mm2)


def _shared(plan: Plan, pin: str, to: list[str], purpose: str, home: str, area_mm2: float) -> None:
    """Wires to the lamps of both sides, by a splice that a trailer may hang on."""
    if len(to) > 1:
        name = plan.splice(home)
        plan.rails.setdefault(f"shared {purpose}", name)
        plan.connect(pin, plan.leg(name), area_mm2)
        pin = plan.leg(name)
        for end in to[1:]:
            plan.connect(plan.leg(name), end, area_mm2)
    plan.connect(pin, to[0], area_mm2)


def trailer(plan: Plan) -> None:
    """A trailer's lamps, behind a socket, on the splices of the vehicle's own."""
    if f"shared {BRAKE}" not in plan.rails:
        raise NoRoomError
    plan.once("trailer", 40)
    standard, contacts = SOCKETS[plan.supply_v]
    plan.socket("X1", ("rear loom", TRAILER), standard)
    lamps = [two_filaments(plan, f"trailer {s} lamp", TRAILER, STOP_TAIL_W) for s in SIDES]
    minus = [f"{each}.31" for each in lamps]
    stop = plan.splice(TRAILER)
    _by_contact(plan, BRAKE, contacts["54"], plan.leg(stop))
    for each, side in zip(lamps, SIDES, strict=True):
        plan.connect(plan.leg(stop), f"{each}.1", 1.5)
        _by_contact(plan, LIGHTS, contacts[f"58{side[0].upper()}"], f"{each}.2")
        if f"shared turn {side}" in plan.rails:
            turn = bulb(plan, plan.parts[each].home, 21)
            _by_contact(plan, f"turn {side}", contacts[side[0].upper()], turn.plus)
            minus.append(turn.minus)
    back = plan.splice(TRAILER)
    for pin in minus:
        plan.connect(pin, plan.leg(back), 1.5, "WH")
    plan.next_contact("X1", contacts["31"])
    earth(plan, plan.leg(back), "rear loom", 2.5)


def _by_contact(plan: Plan, purpose: str, contact: int, pin: str) -> None:
    """From a splice of the vehicle's own lamps to the trailer's, by a contact of the socket."""
    plan.next_contact("X1", contact)
    plan.connect(plan.leg(plan.rails[f"shared {purpose}"]), pin, 1.5)


def stalk_headlamps(plan: Plan) -> None:
    """Headlamps by a stalk that shows a module one resistance for each position; once."""
    plan.once("headlamps", 30)
    stalk = plan.add(
        "S", "ladder switch", plan.unit("light stalk", "switch", "dash loom", plugged=True),
        set_by=plan.control((STALK,)), ohms=_by_state(LADDER_OHMS),
    )  # fmt: skip
    pins = {"30": "role: supply", "31": "role: ground", "ST": _STALK_INPUT, "SG": "role: ground"}
    outputs = {"K56a": "main", "K56b": "dip"}
    name = add_module(
        plan, "light module", "dash loom", pins | dict.fromkeys(outputs, "role: low-side")
    )
    plan.logic[name] = tuple(f"{out} on when ST is {state}" for out, state in outputs.items())
    plan.connect(f"{name}.ST", f"{stalk}.1", SIGNAL_MM2)
    plan.connect(f"{stalk}.2", f"{name}.SG", SIGNAL_MM2, "BN")
    earth(plan, f"{name}.31", "dash loom", 1.0)
    feed, area_mm2 = fuse(plan, "fuse box", 1.0, always=True)
    lamps = [two_filaments(plan, f"{side} headlamp", "front loom", MAIN_DIP_W) for side in SIDES]
    coils = [
        _beam(plan, lamps, pin, f"{name}.{out}") for pin, out in zip("12", outputs, strict=True)
    ]
    join(plan, feed, [f"{name}.30", *coils], "fuse box", area_mm2)
    for each in lamps:
        earth(plan, f"{each}.31", "front loom", 2.5)


def _beam(plan: Plan, lamps: list[str], pin: str, out: str) -> str:
    """One filament of both headlamps, behind a fuse and a relay; the coil's other pin."""
    amps = len(lamps) * MAIN_DIP_W[int(pin) - 1] / plan.supply_v
    feed, area_mm2 = fuse(plan, "fuse box", amps, always=True)
    name = relay(plan, "fuse box")
    plan.connect(feed, f"{name}.30", area_mm2)
    plan.connect(f"{name}.85", out, SIGNAL_MM2)
    join(plan, f"{name}.87", [f"{each}.{pin}" for each in lamps], "front loom", area_mm2)
    return f"{name}.86"


def _by_state(values: dict[str, str]) -> str:
    return f"{{{', '.join(f'{state}: {value}' for state, value in values.items())}}}"
