"""Every circuit at hand, sound, in every position of its controls."""

from functools import cache

import numpy as np
import pytest

from loomwise.shelf import read_shelf, shelf_names
from loomwise.solver.engines import Direct
from loomwise.solver.operate import Plant, Standstill, operate
from loomwise.solver.result import behaviour, loads, plant_of, start_state
from loomwise.solver.rows import Rows, make_rows
from tests.reference.shelf_cases import control_setups
from tests.solver.check_laws import assert_laws

FUSES = ("fuse", "breaker", "trip")


@cache
def at_rest(name: str) -> tuple[Plant, Rows, Standstill]:
    """All setups of a circuit side by side, solved by the direct engine."""
    circuit = read_shelf(name)
    plant, setups = plant_of(circuit), control_setups(circuit)
    start = np.array([start_state(plant.net, dict(s.controls)) for s in setups])
    rows = make_rows(plant.net, start[0], [()] * len(setups)).starting(start)
    return plant, rows, operate(plant, rows, Direct())


@pytest.mark.parametrize("name", shelf_names())
def test_nothing_chatters_and_no_fuse_blows(name: str) -> None:
    """A sound circuit comes to rest with its fuses and breakers whole."""
    plant, _, at = at_rest(name)
    assert not at.chatter.any()
    for d, device in enumerate(plant.net.devices):
        if device.kind in FUSES:
            assert not at.state[:, d].any() and not at.moving[:, d].any(), device.id


@pytest.mark.parametrize("name", shelf_names())
def test_currents_sum_to_zero(name: str) -> None:
    """What flows into a joint flows out of it, and the battery gives what the parts take."""
    plant, rows, at = at_rest(name)
    assert_laws(plant.net, rows, at.state, at.v)


@pytest.mark.parametrize("name", shelf_names())
def test_every_load_does_something(name: str) -> None:
    """Some position of the controls changes what each lamp, motor and heater does, unless it is
    fed all the time."""
    plant, _, at = at_rest(name)
    circuit, net = read_shelf(name), plant.net
    for part in loads(circuit):
        seen = {
            behaviour(net, part, v, net.drop(v[None])[0], 1.0, circuit) for v in at.v
        }  # fmt: skip
        assert len(seen) > 1 or seen & {"bright", "hot"}, f"{part.id}: {seen}"
