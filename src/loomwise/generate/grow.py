"""Draws blocks until a circuit has as many parts as asked for, and writes it."""

from collections.abc import Callable
from dataclasses import replace

from loomwise.errors import InputError
from loomwise.generate import blocks
from loomwise.generate import blocks_engine as engine
from loomwise.generate import blocks_lights as lights
from loomwise.generate import blocks_motion as motion
from loomwise.generate import blocks_supply as supply
from loomwise.generate.dice import Dice
from loomwise.generate.modules import module_block
from loomwise.generate.plan import NoRoomError, PartLine, Plan, Wire
from loomwise.generate.render import circuit_text
from loomwise.generate.words import BOXES, LOOMS

LEAST_PARTS, MOST_PARTS = 8, 600
WHOLE = 100
"""From so many parts on a circuit is that of a whole vehicle."""
TRIES = 60
"""Blocks tried in a row before the last parts are filled in."""
BLOCKS: tuple[Callable[[Plan], None], ...] = (
    *(blocks.switched_lamps, blocks.switched_lamps, blocks.relay_loads, blocks.relay_loads),
    *(blocks.shared_fuse, blocks.door_lamps, blocks.two_source_lamp, blocks.horn_circuit),
    *(blocks.changed_over_lamps, blocks.two_speed_motor, blocks.resistor_blower),
    *(module_block, module_block, module_block),
    *(lights.pilot_lamp, lights.tail_and_stop, lights.turn_lamps, lights.stalk_headlamps),
    *(motion.window, motion.locking, motion.parking_wiper, motion.valve, motion.quiet_motor),
    *(engine.engine_module, engine.can_pair, engine.lin_wire),
    *(supply.charging, supply.starting, supply.second_battery, supply.twelve_volt_tap),
    lights.trailer,
)
"""A block that stands here several times is drawn more often."""
VEHICLE: tuple[Callable[[Plan], None], ...] = (
    *(supply.charging, supply.starting, supply.twelve_volt_tap, lights.tail_and_stop),
    *(lights.turn_lamps, motion.parking_wiper, engine.engine_module, motion.window),
    *(lights.stalk_headlamps, blocks.resistor_blower, blocks.horn_circuit),
    *(lights.trailer, supply.second_battery, engine.can_pair),
)
"""What a whole vehicle has, as a rule: each of them in this share of all."""
VEHICLE_SHARE = 0.65


def generate_circuit(parts: int, seed: int) -> str:
    """The text of the file of an invented circuit; the same seed gives the same text everywhere.

    Parameters
    ----------
    parts : entries below ``parts:``, all kinds counted; 8 to 600.
    seed : start of the random numbers, 0 or more.

    Raises
    ------
    InputError : the number of parts or the seed is outside that.
    """
    if not LEAST_PARTS <= parts <= MOST_PARTS:
        hint = f"ask for {LEAST_PARTS} to {MOST_PARTS}"
        raise InputError(f"a circuit of {parts} parts cannot be made", "parts", hint)
    if seed < 0:
        raise InputError(f"the seed is {seed}", "seed", "write a whole number, 0 or more")
    plan = _start(parts, Dice(seed))
    plan = _with(plan, blocks.switched_lamps) or plan
    for block in VEHICLE if parts >= WHOLE else ():
        if plan.dice.chance(VEHICLE_SHARE):
            plan = _with(plan, block) or plan
    failed = 0
    while plan.left and failed < TRIES:
        grown = _with(plan, plan.dice.pick(BLOCKS))
        plan, failed = (grown, 0) if grown else (plan, failed + 1)
    while plan.left:
        _fill(plan)
    return circuit_text(plan, seed)


def _start(parts: int, dice: Dice) -> Plan:
    """Battery, its ground, and the fuse boxes with their feed."""
    plan = Plan(parts, dice.pick((12, 12, 12, 24)), dice)
    plan.unit("battery", "battery", "fuse box", plugged=False)
    for box in plan.boxes:
        plan.unit(box, "box", BOXES[box], plugged=True)
    plan.parts["BAT"] = PartLine("battery", "battery", {}, {})
    plan.numbers["BAT"] = 1  # the next is BAT2
    ground = plan.add("G", "ground", "front loom")
    plan.rails["31"] = plan.rails["strap"] = ground
    ends = ("BAT.-", plan.leg(ground))
    plan.wires.append(Wire(ends, ("battery cable",), "BK", 16.0, dice.tenths(0.3, 0.8)))
    return plan


def _with(plan: Plan, block: Callable[[Plan], None]) -> Plan | None:
    """The plan with one block more, or nothing if that does not fit."""
    trial = plan.copy()
    try:
        block(trial)
    except NoRoomError:
        return None
    return trial


def _fill(plan: Plan) -> None:
    """One part more: a wire gets a ground point of its own, or a joint."""
    grounded = [i for i, wire in enumerate(plan.wires) if _shares_last_leg(plan, wire)]
    if grounded and plan.dice.chance(0.6):
        _part_ground(plan, plan.dice.pick(grounded))
    else:
        _add_joint(plan)


def _shares_last_leg(plan: Plan, wire: Wire) -> bool:
    """Whether a wire comes to the last of several legs of a ground point."""
    ground, _, leg = wire.ends[-1].partition(".")
    return plan.parts[ground].kind == "ground" and 1 < plan.legs[ground] == int(leg)


def _part_ground(plan: Plan, index: int) -> None:
    wire = plan.wires[index]
    ground = wire.ends[-1].partition(".")[0]
    plan.legs[ground] -= 1
    own = plan.add("G", "ground", plan.parts[ground].home)
    plan.parts[own] = plan.parts[ground]  # in the same metal
    plan.wires[index] = replace(wire, ends=(*wire.ends[:-1], plan.leg(own)))


def _add_joint(plan: Plan) -> None:
    """A splice of two legs in the first loom of some wire: a repair, or a loom made of two."""
    lain = [i for i, wire in enumerate(plan.wires) if any(home in LOOMS for home in wire.homes)]
    index = plan.dice.pick(lain)
    wire = plan.wires[index]
    at = next(i for i, home in enumerate(wire.homes) if home in LOOMS)
    name = plan.splice(wire.homes[at])
    half_m = round(wire.length_m / 2, 2)
    before = (*wire.ends[: at + 1], plan.leg(name))
    after = (plan.leg(name), *wire.ends[at + 1 :])
    plan.wires[index : index + 1] = [
        replace(wire, ends=before, homes=wire.homes[: at + 1], length_m=half_m),
        replace(wire, ends=after, homes=wire.homes[at:], length_m=half_m),
    ]
