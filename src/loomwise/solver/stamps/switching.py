"""What switches: by a coil, by a control, by its own voltage."""

from dataclasses import replace

from loomwise.circuit.model import Circuit, Part
from loomwise.edits.relays import REVERSED
from loomwise.solver.laws import KNEE
from loomwise.solver.network import PARTED_S, Branch, Device
from loomwise.solver.stamps.common import CONDUCTORS, Stamped, control_switch, junction, ohm

SEAT_S = 1e9
"""Holds a speed, or the pull on a plunger, at zero. [W per unit squared]"""
BLEED_OHM = 1e6
"""Holds a node inside a part that would else hang on nothing between two open contacts."""
SHORTED = "shorted"
"""What the idle branch of a part that may be shorted is called after the part."""


def relay(p: Part, _: Circuit) -> Stamped:
    """A coil, and a contact that closes or opens with it."""
    pin = {name: f"{p.id}.{name}" for name in p.pins}
    ohms = p.values["coil_ohm"]
    yield from _coil(p, f"{p.id}.coil", pin["86"], pin["85"], ohms)
    contact = p.values["contact_ohm"]
    for word, far, closed in (("make", "87", 1), ("break", "87a", 0)):
        if far in pin:
            name, ends = f"{p.id}.{word}", (pin["30"], pin[far])
            yield ohm(name, *ends, contact, p.id, (closed,), CONDUCTORS)
            other = ohm(f"{name} {REVERSED}", *ends, contact, p.id, (1 - closed,))
            yield replace(other, conductance_s=PARTED_S)  # idle unless NO and NC are exchanged
    if p.options.get("suppression") == "resistor":
        yield ohm(f"{p.id}.suppressor", pin["86"], pin["85"], p.values["suppression_ohm"])
    if p.options.get("suppression") == "diode":
        yield from junction(f"{p.id}.suppressor", pin["85"], pin["86"], 0.6, 0.05)


def _coil(p: Part, coil: str, plus: str, minus: str, ohms: float, device: str = "") -> Stamped:
    limits = (p.values["pull_in_v"] / ohms, p.values["drop_out_v"] / ohms)
    yield Device(device or p.id, "relay", ("released", "pulled"), (coil,), limits)
    yield ohm(coil, plus, minus, ohms, scatter=coil)


def split_charge_relay(p: Part, _: Circuit) -> Stamped:
    """Joins two batteries while the first is being charged, by the volts it sees there."""
    yield from _coil(p, f"{p.id}.coil", f"{p.id}.30", f"{p.id}.31", p.values["coil_ohm"])
    contact, ends = p.values["contact_ohm"], (f"{p.id}.30", f"{p.id}.87")
    yield ohm(f"{p.id}.make", *ends, contact, p.id, (1,), CONDUCTORS)


def starter_solenoid(p: Part, _: Circuit) -> Stamped:
    """Pull-in winding 50 to 45, hold-in winding 50 to 31, contact 30 to 45.

    Both pull on one plunger with as many turns each: the sum of their currents decides. Once the
    contact has closed, the pull-in winding has battery at both ends and only the other one holds.
    """
    pin = {name: f"{p.id}.{name}" for name in p.pins}
    seat, pull = f"{p.id}.plunger", f"{p.id}#pull"
    both = 1.0 / p.values["pull_winding_ohm"] + 1.0 / p.values["hold_winding_ohm"]
    limits = p.values["pull_in_v"] * both, p.values["drop_out_v"] / p.values["hold_winding_ohm"]
    yield Device(p.id, "relay", ("released", "pulled"), (seat,), limits)
    yield Branch(seat, ((pull, 1.0),), SEAT_S)
    for word, low, key in (
        ("pull-in", "45", "pull_winding_ohm"),
        ("hold-in", "31", "hold_winding_ohm"),
    ):
        terms = ((pin["50"], 1.0), (pin[low], -1.0), (pull, -1.0))
        name = f"{p.id}.{word}"
        yield Branch(name, terms, 1.0 / p.values[key], scatter=name)
    contact = p.values["contact_ohm"]
    yield ohm(f"{p.id}.make", pin["30"], pin["45"], contact, p.id, (1,), CONDUCTORS)


def flasher(p: Part, _: Circuit) -> Stamped:
    """Closes 49 to 49a in its phase, if it has feed and ground of its own."""
    pin = {name: f"{p.id}.{name}" for name in p.pins}
    middle, ohms = f"{p.id}#contact", p.values["draw_ohm"]
    yield from _coil(p, f"{p.id}.draw", pin["49"], pin["31"], ohms, f"{p.id}.works")
    device, on = control_switch(p, p.id)
    yield device
    half_ohm = p.values["contact_ohm"] / 2.0
    yield ohm(f"{p.id}.bleed", middle, pin["31"], BLEED_OHM)
    yield ohm(f"{p.id}.alive", pin["49"], middle, half_ohm, f"{p.id}.works", (1,))
    yield ohm(f"{p.id}.make", middle, pin["49a"], half_ohm, p.id, on, CONDUCTORS)


def park_switch(p: Part, _: Circuit) -> Stamped:
    """Joins 53e to 31 where the wiper rests, and to 53a everywhere else."""
    device, parked = control_switch(p, p.id)
    moving = tuple(i for i in range(len(device.states)) if i not in parked)
    yield device
    contact = p.values["contact_ohm"]
    for word, far, states in (("parked", "31", parked), ("moving", "53a", moving)):
        ends = f"{p.id}.53e", f"{p.id}.{far}"
        yield ohm(f"{p.id}.{word}", *ends, contact, p.id, states, CONDUCTORS)


def switch(p: Part, _: Circuit) -> Stamped:
    """Pairs of pins joined in some positions."""
    states = tuple(p.positions)
    yield Device(p.id, "switch", states, control=p.control)
    pairs = dict.fromkeys(pair for pairs in p.positions.values() for pair in pairs)
    for a, b in pairs:
        made = tuple(i for i, s in enumerate(states) if (a, b) in p.positions[s])
        ends = f"{p.id}.{a}", f"{p.id}.{b}"
        yield ohm(f"{p.id}.{a}-{b}", *ends, p.values["contact_ohm"], p.id, made, CONDUCTORS)


def diode(p: Part, _: Circuit) -> Stamped:
    """A junction, and an idle one the other way round."""
    values = p.values["forward_v"], p.values["on_ohm"]
    name, anode, cathode = f"{p.id}.junction", f"{p.id}.A", f"{p.id}.K"
    yield from junction(name, anode, cathode, *values)
    backwards = f"{name} reversed"  # idle unless a fault turns the diode round
    for item in junction(backwards, cathode, anode, *values):
        yield replace(item, conductance_s=PARTED_S) if isinstance(item, Branch) else item


def knee(p: Part, forward: tuple[float, float], reverse: tuple[float, float]) -> Stamped:
    """A junction that follows its law, with knee [V] and slope [ohm] either way, and an idle
    branch beside it for when it is shorted."""
    anode, cathode = f"{p.id}.A", f"{p.id}.K"
    params = (forward[0], 1.0 / forward[1], reverse[0], 1.0 / reverse[1])
    name = f"{p.id}.element"
    yield Branch(name, ((anode, 1.0), (cathode, -1.0)), law=KNEE, params=params, scatter=name)
    idle = ohm(f"{p.id}.{SHORTED}", anode, cathode, 1.0)
    yield replace(idle, conductance_s=PARTED_S)


def zener(p: Part, _: Circuit) -> Stamped:
    """Lets through from A to K as a diode, and backwards above its breakdown voltage."""
    on_ohm, backwards = p.values["on_ohm"], (p.values["breakdown_v"], p.values["on_ohm"])
    both = p.options["both_ways"] == "yes"
    yield from knee(p, backwards if both else (p.values["forward_v"], on_ohm), backwards)
