"""Sources, what protects them, and where conductors meet."""

import math

from loomwise.circuit.model import BODY, Circuit, Part
from loomwise.solver.network import Device
from loomwise.solver.stamps.common import CONDUCTORS, Stamped, control_switch, junction, ohm, ratio

GIVING_OHM, GIVING_BACK_A = 1e-5, 0.001
LIMIT_STEEPNESS = 1000.0
"""A source at its current limit gives a thousandth more at 0 V than at its set voltage. [-]"""
BLEED_S = 1e-5
"""What a regulated source lets through when something lifts it above its voltage. [S]"""
NEVER_V = -1.0
"""Reset voltage of a breaker that stays open until a hand closes it. [V]"""


def battery(p: Part, circuit: Circuit) -> Stamped:
    """EMF behind a resistance; where it is charged, a far larger one in that direction."""
    ohms, emf = p.values["resistance_ohm"], p.values["emf_v"]
    plus, inner = f"{p.id}.+", f"{p.id}#cell"
    charged = bool(circuit.parts_of_kind("charging source"))
    top = inner if charged else plus
    yield ohm(f"{p.id}.cell", top, f"{p.id}.-", ohms, emf_v=emf, scatter=f"{p.id}.cell")
    if charged:
        yield ohm(f"{p.id}.taking", plus, inner, p.values["charging_ohm"], scatter=f"{p.id}.taking")
        yield from junction(f"{p.id}.giving", inner, plus, 0.0, GIVING_OHM, GIVING_BACK_A)


def regulator(
    name: str, out: str, low: str, set_v: float, limit_a: float, ohms: float, scatter: str = ""
) -> Stamped:
    """A source of steady voltage up to a current, which takes nothing back."""
    states = ("regulating", "limiting", "idle")
    yield Device(name, "regulator", states, (f"{name}.output",), (set_v, limit_a))
    yield ohm(f"{name}.output", out, low, ohms, name, (0,), scatter or name, set_v, BLEED_S)
    slope_ohm = LIMIT_STEEPNESS * set_v / limit_a
    emf_v = set_v * (1.0 + LIMIT_STEEPNESS)
    yield ohm(f"{name}.limit", out, low, slope_ohm, name, (1,), emf_v=emf_v)


def charging_source(p: Part, _: Circuit) -> Stamped:
    """Regulated at B+ while it turns; D+ follows B+ then, and is nearly ground when it stands."""
    out, plus, minus, lamp = f"{p.id}#out", f"{p.id}.B+", f"{p.id}.B-", f"{p.id}.D+"
    set_v, limit_a = p.values["charging_v"], p.values["limit_a"]
    source = set_v, limit_a, p.values["source_ohm"]
    yield from regulator(f"{p.id}.regulator", out, minus, *source, f"{p.id}.cell")
    device, turning = control_switch(p, p.id)
    standing = tuple(i for i in range(len(device.states)) if i not in turning)
    yield device
    yield ohm(f"{p.id}.diodes", out, plus, 0.001, p.id, turning)
    yield ohm(f"{p.id}.exciter", out, lamp, 1.0, p.id, turning)
    yield ohm(f"{p.id}.field", lamp, minus, p.values["field_ohm"], p.id, standing)


def equaliser(p: Part, _: Circuit) -> Stamped:
    """Holds the tap at half of the whole, either way round."""
    pins = f"{p.id}.12", f"{p.id}.24", f"{p.id}.31"
    yield ratio(f"{p.id}.converter", *pins, 0.5, p.values["resistance_ohm"])


def fuse(p: Part, _: Circuit) -> Stamped:
    """A resistance that opens for good."""
    yield Device(p.id, "fuse", ("intact", "blown"), (f"{p.id}.link",), (p.values["rating_a"],))
    ohms = p.values["resistance_ohm"]
    yield ohm(f"{p.id}.link", f"{p.id}.1", f"{p.id}.2", ohms, p.id, (0,), CONDUCTORS)


def breaker(p: Part, circuit: Circuit) -> Stamped:
    """A contact that overload opens. Cycling ones close when cold, held ones when unloaded."""
    reset_v = {"cycling": math.inf, "held": p.values["held_share"] * circuit.supply_v}
    off_s = 1.0 / p.values["heater_ohm"] if p.options["reset"] == "held" else 1e-12
    limits = p.values["trips_at"] * p.values["rating_a"], reset_v.get(p.options["reset"], NEVER_V)
    yield from _tripping(p, p.values["resistance_ohm"], off_s, limits)


def ptc(p: Part, circuit: Circuit) -> Stamped:
    """Warms up, then keeps itself hot with a little power until the load is taken away."""
    hot_s = p.values["tripped_w"] / circuit.supply_v**2
    limits = p.values["trips_at"] * p.values["hold_a"], p.values["held_share"] * circuit.supply_v
    yield from _tripping(p, p.values["resistance_ohm"], hot_s, limits)


def _tripping(p: Part, ohms: float, off_s: float, limits: tuple[float, float]) -> Stamped:
    link = f"{p.id}.link"
    yield Device(p.id, "breaker", ("closed", "tripped"), (link,), limits)
    ends = f"{p.id}.1", f"{p.id}.2"
    yield ohm(link, *ends, ohms, p.id, (0,), CONDUCTORS, off_s=off_s)


def splice(p: Part, _: Circuit) -> Stamped:
    """A leg for every pin to one joint."""
    for pin in p.pins:
        name = f"{p.id}.{pin}"
        yield ohm(name, name, f"{p.id}#joint", p.values["joint_ohm"], scatter=CONDUCTORS)


def metal(p: Part) -> str:
    """The node of the metal that a ground point's stud is in; the body is the reference."""
    where = p.options.get("metal", BODY)
    return BODY if where == BODY else f"{where}#metal"


def ground(p: Part, circuit: Circuit) -> Stamped:
    """Legs under one stud, which is in the metal of body, engine, frame or trailer."""
    yield from splice(p, circuit)
    stud = p.values["stud_ohm"]
    yield ohm(f"{p.id}.stud", f"{p.id}#joint", metal(p), stud, scatter=CONDUCTORS)
