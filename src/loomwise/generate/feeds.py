"""Feeds and returns: fuses, rails, the key, switches, grounds. Blocks are built from these."""

from loomwise.generate.plan import GROUND_COLOUR, SMALL, NoRoomError, Plan, Wire
from loomwise.generate.words import CONTROLS, KEY

RATINGS_A = (5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0)
_AREAS_MM2 = (0.75, 0.75, 1.0, 1.5, 2.5, 2.5, 4.0, 6.0)
"""Wire behind a fuse of each rating: common practice, no source."""
SIGNAL_MM2 = 0.5
MARGIN, MOTOR_MARGIN = 1.3, 1.6
"""Rating of a fuse over its load's current: common practice, no source."""
COIL_A = 0.2
"""More than a coil with its suppression takes, at 12 or 24 V."""
RELAYED_FROM = 75
"""From so many parts on (two fuse boxes) the key only pulls relays, one for each box."""
MOST_EYELETS = 5
"""Wires under one ground stud. Engineering judgement."""


def fuse(
    plan: Plan, box: str, amps: float, always: bool, margin: float = MARGIN, reset: str = ""
) -> tuple[str, float]:
    """A fuse for a load, on the battery (``always``) or behind the key: its pin, and the wire's
    size for all that hangs on it. [mm2] With ``reset`` a breaker that closes again that way."""
    rating_a = next(r for r in RATINGS_A if r >= min(margin * amps, RATINGS_A[-1]))
    area_mm2 = _AREAS_MM2[RATINGS_A.index(rating_a)]
    source = rail(plan, box) if always or plan.size < SMALL else ignition(plan, box)
    said = {"reset": reset} if reset else {}
    prefix, kind = ("CB", "breaker") if reset else ("F", "fuse")
    name = plan.add(prefix, kind, box, rating=f"{rating_a:g} A", **said)
    if source == plan.plus:
        cable(plan, source, f"{name}.1", area_mm2)
    else:
        plan.connect(source, f"{name}.1", area_mm2)
    return f"{name}.2", area_mm2


def cable(plan: Plan, a: str, b: str, area_mm2: float, colour: str = "RD") -> None:
    """A wire from the battery, beside the looms."""
    wire = Wire((a, b), ("battery cable",), colour, area_mm2, plan.dice.tenths(0.4, 2.5))
    plan.wires.append(wire)


def rail(plan: Plan, box: str) -> str:
    """A pin that is always live, in a fuse box."""
    if plan.size < SMALL:
        return plan.plus
    found = plan.rails.get(f"30 {box}")
    if not found:
        found = plan.rails[f"30 {box}"] = plan.splice(box)
        cable(plan, plan.plus, plan.leg(found), plan.dice.pick((16.0, 25.0)))
    return plan.leg(found)


def ignition(plan: Plan, box: str) -> str:
    """A pin in a fuse box that is live with the key on."""
    found = plan.rails.get(f"15 {box}")
    if not found:
        source = _key_relay(plan, box) if plan.size >= RELAYED_FROM else _key(plan, box)
        found = plan.rails[f"15 {box}"] = plan.splice(box)
        plan.connect(source, plan.leg(found), 4.0)
    return plan.leg(found)


def _key(plan: Plan, box: str) -> str:
    """The pin of the ignition switch that is live with the key on."""
    if KEY not in plan.controls:
        if not plan.room_for_controls:
            raise NoRoomError
        plan.controls.append(KEY)
    unit = plan.unit("ignition switch", "switch", "dash loom", plugged=True)
    name = switch_in(plan, unit, KEY, ("30", "15"))
    plan.connect(rail(plan, box), f"{name}.30", 4.0)
    return f"{name}.15"


def _key_relay(plan: Plan, box: str) -> str:
    """The contact of a fuse box's own relay, pulled by the key."""
    if "key" not in plan.rails:
        source = _key(plan, "fuse box")
        line = plan.splice("dash loom")
        plan.rails["key"] = line
        plan.connect(source, plan.leg(line), 0.75)
    name = relay(plan, box)
    plan.connect(rail(plan, box), f"{name}.30", 6.0)
    plan.connect(plan.leg(plan.rails["key"]), f"{name}.86", 0.75)
    earth_coil(plan, name)
    return f"{name}.87"


def relay(plan: Plan, box: str, contact: str = "NO") -> str:
    """A relay in a fuse box, plug-in or fixed."""
    suppression = plan.dice.pick(("none", "resistor", "diode"))
    fixed = {"fixed": "yes"} if plan.dice.chance(0.4) else {}
    return plan.add("K", "relay", box, contact=contact, **fixed, suppression=suppression)


def relay_home(plan: Plan, box: str) -> str:
    """Where a block puts its relay: mostly in the fuse box, sometimes in a relay unit outside."""
    if plan.size < SMALL or plan.dice.chance(0.8):
        return box
    key = "relay unit"
    if key not in plan.rails or plan.dice.chance(0.2):
        plan.rails[key] = plan.unit("relay unit", "box", plan.dice.pick(plan.looms), plugged=True)
    return plan.rails[key]


def earth_coil(plan: Plan, name: str) -> None:
    """Ground a relay's coil: by a wire of its own, or with the other coils of its box."""
    home = plan.parts[name].home
    if plan.size < RELAYED_FROM:
        earth(plan, f"{name}.85", _loom_at(plan, home), 0.75)
        return
    key = f"31 {home}"
    if key not in plan.rails:
        plan.rails[key] = plan.splice(home)
        earth(plan, plan.leg(plan.rails[key]), _loom_at(plan, home), 1.5)
    plan.connect(f"{name}.85", plan.leg(plan.rails[key]), 0.75, GROUND_COLOUR)


def _loom_at(plan: Plan, home: str) -> str:
    return plan.units[home].loom or "dash loom"


def earth(plan: Plan, pin: str, loom: str, area_mm2: float) -> None:
    """A wire from a pin to a ground point at a loom, shared with others until it is full."""
    key = "31" if plan.size < SMALL else f"31 {loom}"
    found = plan.rails.get(key)
    if not found or (plan.size >= SMALL and plan.legs[found] >= MOST_EYELETS):
        found = plan.rails[key] = plan.add("G", "ground", loom)
    plan.connect(pin, plan.leg(found), area_mm2, GROUND_COLOUR)


def engine_ground(plan: Plan) -> str:
    """A leg of the ground point on the engine; a strap joins it to the battery's on the body."""
    if "31 engine" not in plan.rails:
        found = plan.rails["31 engine"] = plan.add("G", "ground", "front loom", metal="engine")
        cable(plan, plan.leg(plan.rails["strap"]), plan.leg(found), 35.0, "BK")
    return plan.leg(plan.rails["31 engine"])


def switch(plan: Plan, control: str, loom: str = "dash loom") -> str:
    """A switch of two pins that joins them in every state of its control but the rest."""
    unit = plan.unit(f"{control} switch", "switch", loom)
    return switch_in(plan, unit, control)


def switch_in(plan: Plan, unit: str, control: str, pins: tuple[str, str] = ("1", "2")) -> str:
    """The same in a unit that is there."""
    off, *on = CONTROLS[control].states
    joined = "-".join(pins)
    said = ", ".join([f"{off}: []", *(f"{state}: [{joined}]" for state in on)])
    return plan.add(
        "S", "switch", unit, pins=f"[{', '.join(pins)}]", set_by=control, positions=f"{{{said}}}"
    )


def join(plan: Plan, pin: str, to: list[str], home: str, area_mm2: float) -> None:
    """Wires from one pin to one or several, through a splice where there are several."""
    if len(to) == 1:
        plan.connect(pin, to[0], area_mm2)
        return
    name = plan.splice(home)
    plan.connect(pin, plan.leg(name), area_mm2)
    for end in to:
        plan.connect(plan.leg(name), end, area_mm2)
