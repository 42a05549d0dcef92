"""Motors of circuits, and how a load slows them; published figures are checked in tests/outside."""

import numpy as np
import pytest

from tests.outside.motors import free_motor
from tests.solver.bench import bench, solve
from tests.solver.check_laws import assert_laws


def test_a_heavier_load_slows_a_motor_and_raises_its_current() -> None:
    """Overloaded, a motor slows, its back EMF falls and its current rises (both books)."""
    amps, speeds = zip(*(free_motor(0.12, t) for t in np.linspace(0.0, 0.8, 9)), strict=True)
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
