"""Motors with back EMF, against published answers.

Sources: University Physics vol. 2 (OpenStax), 13.6 Electric Generators and Back Emf (m58481),
https://github.com/openstax/osbooks-university-physics-bundle ; College Physics (OpenStax), 23.6
Back Emf (m42411), https://github.com/openstax/osbooks-college-physics-bundle .
A motor is one winding with a third end at its speed; here the speed is held, so that the back EMF
is the book's. Printed digits hold to half a unit of the last one.
"""

import math

import numpy as np
import pytest

from loomwise.circuit.model import BODY
from loomwise.solver.engines import Direct
from loomwise.solver.network import Branch, assemble
from tests.solver.bench import bench, solve
from tests.solver.check_laws import assert_laws, currents
from tests.solver.small import Answer, parse_element, solve_elements, solve_rows

BOTH = "University Physics 13.6 and College Physics 23.6, worked example"
UP_EXAMPLE, UP_END = "University Physics 13.6, worked example", "University Physics 13.6, end"
CP_END = "College Physics 23.6, end problem"

CASES = [  # name, supply V, winding ohm, back EMF V, quantity, printed, half a unit, source
    ("M1a", 48.0, 0.4, 0.0, "amps", 120, 0.5, BOTH),
    ("M1b", 48.0, 0.4, 0.0, "heat", 5760, 5, BOTH),
    ("M1c", 48.0, 0.4, 40.0, "amps", 20, 0.5, BOTH),
    ("M1d", 48.0, 0.4, 40.0, "heat", 160, 0.5, BOTH),
    ("M2a", 120.0, 2.0, 100.0, "amps", 10, 0.5, UP_EXAMPLE),
    ("M2b", 120.0, 2.0, 100.0, "work", 1.0e3, 50, UP_EXAMPLE),
    ("M2c", 120.0, 2.0, 100.0, "heat", 2.0e2, 5, UP_EXAMPLE),
    ("M2d", 120.0, 2.0, 100.0, "source", 1.2e3, 50, UP_EXAMPLE),
    ("M2e", 120.0, 2.0, 80.0, "amps", 20, 0.5, UP_EXAMPLE),
    ("M2e", 120.0, 2.0, 80.0, "work", 1.6e3, 50, UP_EXAMPLE),
    ("M2e", 120.0, 2.0, 80.0, "heat", 8.0e2, 5, UP_EXAMPLE),
    ("M2e", 120.0, 2.0, 80.0, "source", 2.4e3, 50, UP_EXAMPLE),
    ("M3", 120.0, 90.0, 0.0, "amps", 1.33, 0.005, UP_END),  # field 80 ohm and armature 10 ohm
    ("M3", 120.0, 90.0, 75.0, "amps", 0.50, 0.005, UP_END),
    ("M3", 120.0, 90.0, 75.0, "source", 60, 0.5, UP_END),
    ("M3", 120.0, 90.0, 75.0, "work", 37.5, 0.05, UP_END),
    ("M3", 120.0, 90.0, 75.0, "heat", 22.5, 0.05, UP_END),
    ("M4", 120.0, 12.0, 0.0, "amps", 10.0, 0.05, CP_END),
    ("M4", 120.0, 12.0, 100.0, "amps", 1.67, 0.005, CP_END),
    ("M5", 120.0, 6.0, 0.0, "amps", 20.0, 0.05, CP_END),
    ("M5", 120.0, 6.0, 72.0, "amps", 8.00, 0.005, CP_END),
    ("M6", 6.0, 0.5, 4.50, "amps", 3.00, 0.005, CP_END),  # four cells of 0.1 ohm, motor 0.100 ohm
    ("M7", 12.0, 0.5, 0.0, "amps", 24, 0.5, UP_END + "; the 10.0 V below is computed"),
    ("M7", 12.0, 0.5, 10.0, "amps", 4.0, 0.05, UP_END + "; EMF computed, no answer printed"),
    ("M9", 11.0, 7.33e-2, 0.0, "amps", 150, 0.5, "College Physics 20.2 (m42344), end problem"),
]  # fmt: skip


def _quantity(name: str, a: Answer) -> float:
    heat_w = a.amps["M"] ** 2 * a.elements["M"].value
    found = {"amps": a.amps["M"], "heat": heat_w, "work": a.mechanical_w("M")}
    return {**found, "source": -a.power_w("B")}[name]


@pytest.mark.parametrize("case", CASES, ids=lambda c: f"{c[0]} {c[4]} {c[5]}")
def test_published_motors(case: tuple[str, float, float, float, str, float, float, str]) -> None:
    """Current, heat, work and source power of a motor are the book's."""
    _, supply_v, ohm, emf_v, quantity, printed, half_unit, _ = case
    listed = [f"B V {supply_v} a 0", f"M M {ohm} a 0 {emf_v}"]
    answer = solve_elements(parse_element(line) for line in listed)
    assert _quantity(quantity, answer) == pytest.approx(printed, rel=0, abs=half_unit)


KE_V_PER_RPM = 12.0 / 1000.0
"""Permanent-magnet motor, Ra 1.5 ohm, 12 V per 1000 r/min, Kt 0.12 N m/A, 10 V: problem text from
https://www.transtutors.com/questions/1-consider-a-permanent-magnet-dc-motor-with-the-following-constants-pay-attention-to-13716611.htm
(no answer found there; the answers are computed)."""


def _free_motor(k: float, brake_nm: float) -> tuple[float, float]:
    """Current [A] and speed (back EMF over k) of the motor against a constant brake."""
    drag = Branch("drag", (("w", 1.0),), 1e-9, -brake_nm / 1e-9)
    net = assemble(
        ("a", "w"),
        (
            Branch("supply", (("a", 1.0),), 1e6, 10.0),
            Branch("M", (("a", 1.0), (BODY, -1.0), ("w", -k)), 1.0 / 1.5),
            drag,
        ),
        (),
    )
    rows, state, v = solve_rows(net, Direct())
    return float(currents(net, rows, state, v)[0, 1]), float(v[0, 1])


def test_no_load_speed() -> None:
    """With nothing to drive, a motor runs until its back EMF eats the supply: 833.3 r/min."""
    k = KE_V_PER_RPM * 60 / (2 * math.pi)  # 0.11459 V s/rad
    assert k == pytest.approx(0.11459, abs=5e-6)
    amps, speed = _free_motor(k, 0.0)
    assert speed * 60 / (2 * math.pi) == pytest.approx(833.3, abs=0.05)
    assert amps == pytest.approx(0.0, abs=1e-5)


def test_motor_under_load() -> None:
    """At 0.6 N m it takes 5.00 A, makes 2.50 V and turns at 208.3 r/min."""
    amps, speed = _free_motor(0.12, 0.6)
    assert amps == pytest.approx(5.00, abs=0.005)
    assert speed * 0.12 == pytest.approx(2.50, abs=0.005)
    assert speed * 0.12 / KE_V_PER_RPM == pytest.approx(208.3, abs=0.05)


def test_stall_current_and_torque() -> None:
    """Clamped, it takes 6.667 A and pulls 0.800 N m."""
    amps, speed = _free_motor(0.12, 0.800)
    assert amps == pytest.approx(6.667, abs=5e-4)
    assert speed == pytest.approx(0.0, abs=1e-3)


def test_a_heavier_load_slows_a_motor_and_raises_its_current() -> None:
    """Overloaded, a motor slows, its back EMF falls and its current rises (both books)."""
    amps, speeds = zip(*(_free_motor(0.12, t) for t in np.linspace(0.0, 0.8, 9)), strict=True)
    assert np.all(np.diff(amps) > 0) and np.all(np.diff(speeds) < 0)


def test_a_motor_of_a_circuit_takes_its_rated_current() -> None:
    """A fan drawn as 22 A takes 22 A at nominal voltage and runs at its rated speed."""
    wires = "BAT.+ to M1.+, RD 50 mm2, 0.01 m\nM1.- to G1.1, BK 50 mm2, 0.01 m"
    fan = bench("M1: {kind: motor, current: 22 A}", wires)
    point = solve(fan)[0]
    assert point.currents_a["M1.winding"] == pytest.approx(22, rel=0.01)
    assert point.loads["M1"] == "normal"


def test_laws_hold_with_a_motor() -> None:
    """The watts that turn the shaft are in the balance too."""
    fan = bench("M1: {kind: motor, current: 22 A}", "BAT.+ to M1.+, RD 4 mm2, 1 m\nM1.- to G1.1")
    solved = solve(fan)[0].solution
    assert solved is not None
    assert_laws(solved.plant.net, solved.rows, solved.at.state, solved.at.v)
