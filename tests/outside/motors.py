"""Motors with back EMF.

A motor is one winding with a third end at its speed; where a case gives the back EMF, the speed is
held so that it is the book's.
"""

import math
from collections.abc import Iterator
from functools import partial

from loomwise.circuit.model import BODY
from loomwise.solver.engines import Direct
from loomwise.solver.network import Branch, assemble
from tests.outside import sources as s
from tests.outside.check import COMPUTED, Check, Source, about
from tests.solver.check_laws import currents
from tests.solver.small import parse_element, solve_elements, solve_rows

UP_TEXT, UP_END = "13.6 (m58481), worked example", "13.6 (m58481), end problem"
CP_END = "23.6 (m42411), end problem"

CASES: list[tuple[str, float, float, float, str, float, float, Source, str]] = [
    # name, supply V, winding ohm, back EMF V, quantity, printed, half a unit, source, where
    ("M1a", 48.0, 0.4, 0.0, "A", 120, 0.5, s.UP, UP_TEXT),
    ("M1b", 48.0, 0.4, 0.0, "W of heat", 5760, 5, s.UP, UP_TEXT),
    ("M1c", 48.0, 0.4, 40.0, "A", 20, 0.5, s.UP, UP_TEXT),
    ("M1d", 48.0, 0.4, 40.0, "W of heat", 160, 0.5, s.UP, UP_TEXT),
    ("M2a", 120.0, 2.0, 100.0, "A", 10, 0.5, s.UP, UP_TEXT),
    ("M2b", 120.0, 2.0, 100.0, "W of work", 1.0e3, 50, s.UP, UP_TEXT),
    ("M2c", 120.0, 2.0, 100.0, "W of heat", 2.0e2, 5, s.UP, UP_TEXT),
    ("M2d", 120.0, 2.0, 100.0, "W taken", 1.2e3, 50, s.UP, UP_TEXT),
    ("M2e", 120.0, 2.0, 80.0, "A", 20, 0.5, s.UP, UP_TEXT),
    ("M2e", 120.0, 2.0, 80.0, "W of work", 1.6e3, 50, s.UP, UP_TEXT),
    ("M2e", 120.0, 2.0, 80.0, "W of heat", 8.0e2, 5, s.UP, UP_TEXT),
    ("M2e", 120.0, 2.0, 80.0, "W taken", 2.4e3, 50, s.UP, UP_TEXT),
    ("M3", 120.0, 90.0, 0.0, "A", 1.33, 0.005, s.UP, UP_END),  # field 80 ohm, armature 10 ohm
    ("M3", 120.0, 90.0, 75.0, "A", 0.50, 0.005, s.UP, UP_END),
    ("M3", 120.0, 90.0, 75.0, "W taken", 60, 0.5, s.UP, UP_END),
    ("M3", 120.0, 90.0, 75.0, "W of work", 37.5, 0.05, s.UP, UP_END),
    ("M3", 120.0, 90.0, 75.0, "W of heat", 22.5, 0.05, s.UP, UP_END),
    ("M4", 120.0, 12.0, 0.0, "A", 10.0, 0.05, s.CP, CP_END),
    ("M4", 120.0, 12.0, 100.0, "A", 1.67, 0.005, s.CP, CP_END),
    ("M5", 120.0, 6.0, 0.0, "A", 20.0, 0.05, s.CP, CP_END),
    ("M5", 120.0, 6.0, 72.0, "A", 8.00, 0.005, s.CP, CP_END),
    ("M6", 6.0, 0.5, 4.50, "A", 3.00, 0.005, s.CP, CP_END),  # cells 4 x 0.1 ohm, motor 0.100 ohm
    ("M7", 12.0, 0.5, 0.0, "A", 24, 0.5, s.UP, UP_END),
    ("M9", 11.0, 7.33e-2, 0.0, "A", 150, 0.5, s.CP, "20.2 (m42344), end problem"),
]
KE_V_PER_RPM = 12.0 / 1000.0
RPM = 60 / (2 * math.pi)


def checks() -> Iterator[Check]:
    """Every check of this topic."""
    for name, supply_v, ohm, emf_v, quantity, printed, half, source, where in CASES:
        what = f"{name}: {supply_v:g} V on {ohm:g} ohm, back EMF {emf_v:g} V"
        yield Check(
            what,
            quantity,
            partial(_quantity, supply_v, ohm, emf_v, quantity),
            about(printed, half, "half of its last printed digit"),
            source,
            where,
        )
    yield Check(
        "M7: 12 V on 0.5 ohm, back EMF 10 V",
        "A",
        partial(_quantity, 12.0, 0.5, 10.0, "A"),
        about(4.0, 0.05, "half of the last digit"),
        s.UP,
        UP_END,
        COMPUTED,
    )
    for what, unit, ours, figure, within in _free():
        yield Check(
            f"1.5 ohm, 12 V per 1000 r/min, on 10 V: {what}",
            unit,
            ours,
            about(figure, within, "the digits given"),
            s.TRANSTUTORS,
            "no answer there",
            COMPUTED,
        )


def _quantity(supply_v: float, ohm: float, emf_v: float, quantity: str) -> float:
    listed = (f"B V {supply_v} a 0", f"M M {ohm} a 0 {emf_v}")
    a = solve_elements(parse_element(line) for line in listed)
    found = {"A": a.amps["M"], "W of heat": a.amps["M"] ** 2 * a.elements["M"].value}
    found |= {"W of work": a.mechanical_w("M"), "W taken": -a.power_w("B")}
    return found[quantity]


def _free() -> Iterator[tuple[str, str, partial[float], float, float]]:
    k = KE_V_PER_RPM * RPM
    yield "speed with nothing to drive", "r/min", partial(_running, k, 0.0, RPM), 833.3, 0.05
    yield "current at 0.6 N m", "A", partial(_running, 0.12, 0.6, None), 5.00, 0.005
    yield "back EMF at 0.6 N m", "V", partial(_running, 0.12, 0.6, 0.12), 2.50, 0.005
    slow = 0.12 / KE_V_PER_RPM
    yield "speed at 0.6 N m", "r/min", partial(_running, 0.12, 0.6, slow), 208.3, 0.05
    yield (
        "current at 0.8 N m, where it stands",
        "A",
        partial(_running, 0.12, 0.8, None),
        6.667,
        5e-4,
    )


def _running(k: float, brake_nm: float, per_speed: float | None) -> float:
    """Speed times a factor, or without one the current, of the motor against a constant brake."""
    amps, speed = free_motor(k, brake_nm)
    return amps if per_speed is None else speed * per_speed


def free_motor(k: float, brake_nm: float) -> tuple[float, float]:
    """Current [A] and speed (back EMF over k) of the 1.5 ohm motor on 10 V."""
    drag = Branch("drag", (("w", 1.0),), 1e-9, -brake_nm / 1e-9)
    winding = Branch("M", (("a", 1.0), (BODY, -1.0), ("w", -k)), 1.0 / 1.5)
    supply = Branch("supply", (("a", 1.0),), 1e6, 10.0)
    net = assemble(("a", "w"), (supply, winding, drag), ())
    rows, state, v = solve_rows(net, Direct())
    return float(currents(net, rows, state, v)[0, 1]), float(v[0, 1])
