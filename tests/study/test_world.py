from dataclasses import replace

import numpy as np
import pytest

from loomwise.diagnosis.table import HEALTHY
from loomwise.edits import AddOhm, Bridge
from loomwise.evidence import Reading
from loomwise.setups import parse_setup
from loomwise.shelf import read_shelf
from loomwise.solver.result import plant_of
from loomwise.study.world import EMF_SD_V, Truth, World, drawn_network, off_grid
from tests.diagnosis.experts import horn_expert, pressed, vehicle


def ask(red: str, instrument: str = "voltmeter") -> Reading:
    """A question at a place, horn pressed."""
    return Reading("r", pressed(), instrument, red, "BAT.-" if instrument != "look" else "")


def test_every_vehicle_has_values_of_its_own() -> None:
    """The truth is a vehicle drawn afresh: each value within its tolerance, none as drawn."""
    net = horn_expert().plant.net
    drawn = drawn_network(net, np.random.default_rng(5), 0.1)
    ratio = drawn.g_on / net.g_on
    assert ((ratio > 0.9) & (ratio < 1.1)).all()
    assert (np.abs(ratio - 1.0) > 1e-6).sum() > 0.9 * len(ratio)
    cell = net.branch_index["BAT.cell"]
    assert 0.0 < abs(drawn.emf[cell] - net.emf[cell]) < 5.0 * EMF_SD_V
    others = np.arange(len(net.emf)) != cell
    assert np.array_equal(drawn.emf[others], net.emf[others])
    relays = [(d, e) for d, e in zip(net.devices, drawn.devices, strict=True) if d.kind == "relay"]
    assert relays
    assert all(d.limits != e.limits for d, e in relays)


def test_the_drawn_vehicle_follows_its_seed() -> None:
    """The same seed gives the same vehicle, another seed another."""
    net = horn_expert().plant.net
    one, same, other = (drawn_network(net, np.random.default_rng(s), 0.1).g_on for s in (1, 1, 2))
    assert np.array_equal(one, same)
    assert not np.array_equal(one, other)


def test_the_hidden_resistance_lies_off_the_grid_within_its_cell() -> None:
    """A hidden fault has any resistance of its cell, not the one the reasoning uses."""
    draw = np.random.default_rng(2)
    spread = [f for f in horn_expert().table.faults if f.spread is not None]
    assert len(spread) > 100
    for fault in spread:
        assert fault.spread is not None
        ohms = [e.ohm for e in off_grid(fault, draw) if isinstance(e, AddOhm | Bridge)]
        assert ohms
        assert all(fault.spread.low_ohm <= ohm <= fault.spread.high_ohm for ohm in ohms)
        assert all(ohm != fault.spread.middle_ohm for ohm in ohms)


def test_a_fault_without_a_resistance_stays_as_it_is() -> None:
    """An open wire is open, whatever the draw."""
    fault = next(f for f in horn_expert().table.faults if f.spread is None)
    assert off_grid(fault, np.random.default_rng(0)) == fault.edits


def test_a_missed_probe_reads_about_zero() -> None:
    """A tip that does not touch shows next to nothing at a live place; a lamp stays dark."""
    sound = vehicle(horn_expert(), "K1 contact open")
    blind = replace(sound, missed=1.0)
    live = sound.reading(ask("F4.2")).value
    assert live is not None
    assert live > 12.0
    for _ in range(20):
        value = blind.reading(ask("F4.2")).value
        assert value is not None
        assert abs(value) < 0.1
    assert sound.reading(ask("F4.2", "test lamp")).word == "bright"
    assert blind.reading(ask("F4.2", "test lamp")).word == "dark"


def test_the_vehicle_answers_as_its_fault_has_it() -> None:
    """Relay contact open: the coil is fed, the horn's wire is dead, the horn is silent."""
    world = vehicle(horn_expert(), "K1 contact open")
    assert world.sign("s", pressed(), "K1").seen == "pulled"
    assert world.sign("s", pressed(), "H1").seen == "silent"
    assert world.reading(ask("C1.3.a")).value == pytest.approx(0.0, abs=0.02)
    assert world.reading(ask("F4", "look")).word == "intact"


def test_a_short_has_blown_its_fuse_before_the_vehicle_came_in() -> None:
    """A chafed wire behind the relay: the fuse is found blown even with the button let go."""
    shorts = [f for f in horn_expert().table.faults if f.group == "C1.3.b-C3.1.a short to ground"]
    world = vehicle(horn_expert(), min(shorts, key=lambda f: str(f.id)).id)
    rest = horn_expert().states[0]
    look = Reading("l", rest, "look", "F4")
    assert world.reading(look).word == "blown"


def test_exchanged_labels_lead_the_probe_elsewhere() -> None:
    """Where labels are exchanged, the reading is the other place's."""
    pair = {"C1.3.a": "F4.2", "F4.2": "C1.3.a"}
    plain = vehicle(horn_expert(), "K1 contact open")
    turned = vehicle(horn_expert(), "K1 contact open", lambda p: pair.get(p, p))
    assert turned.reading(ask("C1.3.a")).value == pytest.approx(
        plain.reading(ask("F4.2")).value, rel=0.03
    )


def test_a_module_without_live_data_answers() -> None:
    """A module that neither senses nor drives anything is still there for the scan tool."""
    circuit = read_shelf("can-bus")
    truth = Truth(HEALTHY, (), lambda place: place)
    world = World(circuit, plant_of(circuit), truth, np.random.default_rng(1))
    run, off = parse_setup(circuit, "key=run"), parse_setup(circuit)
    assert world.sign("S1", run, "A1").seen == "answers"
    assert world.sign("S2", off, "A1").seen == "no answer"
