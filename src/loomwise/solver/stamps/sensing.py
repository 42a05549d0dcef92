"""Resistors, sensors and what else a module or meter looks at."""

from loomwise.circuit.model import Circuit, Part
from loomwise.solver.network import Device
from loomwise.solver.stamps.common import Stamped, ohm, resistance

LEAST_TRACK_OHM = 1.0
"""What is left of a potentiometer's track where its wiper stands at the end."""


def resistor(p: Part, _: Circuit) -> Stamped:
    """A resistance."""
    yield from resistance(p, p.values["resistance_ohm"])


def capacitor(p: Part, _: Circuit) -> Stamped:
    """Open to direct current, but for what leaks through it."""
    yield from resistance(p, p.values["leak_ohm"])


def sensor(p: Part, _: Circuit) -> Stamped:
    """A resistance for each state of its control: sensors, NTCs, ladder switches."""
    yield Device(p.id, "switch", tuple(p.ohms), control=p.control)
    for i, (state, ohms) in enumerate(p.ohms.items()):
        name = f"{p.id}.{state}"
        yield ohm(name, f"{p.id}.1", f"{p.id}.2", ohms, p.id, (i,), scatter=f"{p.id}.element")


def potentiometer(p: Part, _: Circuit) -> Stamped:
    """A track from + to - and a wiper that stands where its control says."""
    track, total, wiper_ohm = f"{p.id}#wiper", p.values["resistance_ohm"], p.values["wiper_ohm"]
    yield Device(p.id, "switch", tuple(p.shares), control=p.control)
    for i, (state, share) in enumerate(p.shares.items()):
        for word, end, part in (("upper", "+", 1.0 - share), ("lower", "-", share)):
            ohms = max(part * total, LEAST_TRACK_OHM)
            name = f"{p.id}.{word} {state}"
            yield ohm(name, f"{p.id}.{end}", track, ohms, p.id, (i,), f"{p.id}.track")
        wiper = f"{p.id}.wiper {state}"
        yield ohm(wiper, track, f"{p.id}.S", wiper_ohm, p.id, (i,), f"{p.id}.wiper")
