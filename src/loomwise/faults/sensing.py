"""Faults of resistors, capacitors, sensors, ladder switches and potentiometers."""

from collections.abc import Iterator

from loomwise.circuit.model import Circuit, Part
from loomwise.edits import AddOhm, Edit, Hold, Open, Scale, SetOhm
from loomwise.faults.draft import Draft, settings
from loomwise.faults.shapes import Currents, grid_of, one_of, title_of
from loomwise.faults.tables import mode

DRIFTS = ("low", 3.0), ("high", 0.33)
"""A sensor's resistance off to a third or to three times, as factors on its current. [-]"""
LEAKS_OHM = (10.0, 300.0, 10_000.0)
WORN_OHM = 1e6
"""Wiper on a worn spot: engineering judgement."""


def resistor_faults(p: Part, c: Circuit, currents_a: Currents) -> Iterator[Draft]:
    """Open or drifted."""
    branch = f"{p.id}.element"
    yield one_of(p, "resistor", "open", Open(branch))
    yield grid_of(p, "resistor", "drifted", branch, c, currents_a)


def capacitor_faults(p: Part, _: Circuit, __: Currents) -> Iterator[Draft]:
    """Shorted or leaking; one that is open shows nothing to direct current."""
    branch = f"{p.id}.element"
    yield one_of(p, "capacitor", "shorted", SetOhm(branch, 0.05))
    leaks: list[tuple[str, Edit]] = [(f"{ohm:g} ohm", SetOhm(branch, ohm)) for ohm in LEAKS_OHM]
    yield settings("capacitor", "leaking", p.id, p.unit, title_of(p), leaks)


def sensor_faults(p: Part, _: Circuit, __: Currents) -> Iterator[Draft]:
    """Open, shorted, drifted in all states or in one."""
    elements = [f"{p.id}.{state}" for state in p.ohms]
    yield one_of(p, "sensor", "open", *(Open(e) for e in elements))
    yield one_of(p, "sensor", "short", *(SetOhm(e, 1.0) for e in elements))
    for word, factor in DRIFTS:
        drifted = [Scale(e, factor) for e in elements]
        yield one_of(p, "sensor", "drifted", *drifted, pin=word)
    yield from _in_one_state(p)


def _in_one_state(p: Part) -> Iterator[Draft]:
    for state in p.ohms:
        step: list[tuple[str, Edit]] = [
            (word, Scale(f"{p.id}.{state}", factor)) for word, factor in DRIFTS
        ]
        where, title = f"{p.id}.{state}", f"{title_of(p)}, {state}"
        size = 1.0 / len(p.ohms)
        yield settings("sensor", "ladder resistor drifted", where, p.unit, title, step, size)


def ladder_faults(p: Part, _: Circuit, __: Currents) -> Iterator[Draft]:
    """Open, shorted, a resistor of the ladder off, or stuck in a position."""
    elements = [f"{p.id}.{state}" for state in p.ohms]
    yield one_of(p, "sensor", "open", *(Open(e) for e in elements))
    yield one_of(p, "sensor", "short", *(SetOhm(e, 1.0) for e in elements))
    yield from _in_one_state(p)
    stuck: list[tuple[str, Edit]] = [(f"in {s}", Hold(p.id, s)) for s in p.ohms]
    yield settings("switch", "stuck", p.id, p.unit, title_of(p), stuck)


def potentiometer_faults(p: Part, _: Circuit, __: Currents) -> Iterator[Draft]:
    """Track open at either end, wiper open, a worn spot where it stands in one state, shorted."""
    for word in ("upper", "lower"):
        track = (Open(f"{p.id}.{word} {state}") for state in p.shares)
        yield one_of(p, "potentiometer", "track open", *track, pin=word)
    wiper = (Open(f"{p.id}.wiper {state}") for state in p.shares)
    yield one_of(p, "potentiometer", "wiper open", *wiper)
    size = 1.0 / len(p.shares)
    for state in p.shares:
        spot = AddOhm(f"{p.id}.wiper {state}", WORN_OHM)
        where, title = f"{p.id}.{state}", f"{title_of(p)}, {state}"
        worn = mode("potentiometer", "worn spot")
        yield Draft(worn, where, p.unit, title, [((spot,), None, "")], size)
    shorted = (SetOhm(f"{p.id}.upper {state}", 1.0) for state in p.shares)
    yield one_of(p, "potentiometer", "shorted", *shorted)
