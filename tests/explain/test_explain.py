"""What `explain` says of circuits whose working is known."""

from collections.abc import Mapping

import pytest

from loomwise.advice.expert import all_setups
from loomwise.explain import explain
from loomwise.explain.explanation import Condition
from loomwise.explain.say import grouped
from loomwise.shelf import read_shelf
from loomwise.solver.result import plant_of, solve_states
from tests.contract.examples import CASES, example
from tests.explain.circuits import explained, load


def holds(condition: Condition, controls: Mapping[str, str]) -> bool:
    """Whether a condition holds with the controls so."""
    return any(all(controls[n] in some for n, some in c.items()) for c in condition.any_of)


@pytest.mark.parametrize("name", ["horn", "headlamps", "radiator-fans"])
def test_conditions_hold_where_the_circuit_solved_alone_says_so(name: str) -> None:
    """The combinations named are those in which the load, solved one by one, does just that."""
    circuit = read_shelf(name)
    plant = plant_of(circuit)
    for setup in all_setups(circuit):
        controls = dict(setup.controls + setup.settled)
        does = solve_states(circuit, plant, controls)[0].loads
        for one in explained(name).loads:
            said = [run.does for run in one.runs if holds(run.when, controls)]
            runs = does[one.load] not in ("off", "dark", "cold", "silent")
            assert said == ([does[one.load]] if runs else []), controls


def test_the_fans_way_is_the_drawings() -> None:
    """Slow: both fans in series by the break contact of K2; pins, colours and sizes as drawn."""
    slow, fast = load("radiator-fans", "M1").runs
    assert [s.id for s in slow.path if s.kind not in ("wire", "inner", "contact", "splice")] == [
        *("BAT", "F1", "K1", "M1", "K2", "M2", "G1", "BAT"),
    ]  # fmt: skip
    wire = next(s for s in slow.path if s.id == "C1.1.b-C3.1.a")
    assert (wire.colour, wire.area_mm2) == ("RDWH", 4.0)
    k2 = next(s for s in slow.path if s.id == "K2")
    assert (k2.from_place, k2.to_place, k2.state) == ("K2.30", "K2.87a", "released")
    assert slow.in_series == ("M2",) and fast.in_series == ()
    assert not slow.idle and not slow.backwards


def test_a_relay_on_the_way_is_told_with_feed_and_ground() -> None:
    """K1's coil is fed by the key switch and F3, and the module grounds it by its rule."""
    slow = load("radiator-fans", "M1").runs[0]
    k1 = next(d for d in slow.deciders if d.id == "K1")
    assert [s.id for s in k1.feed if s.id in ("BAT", "S2", "F3")] == ["BAT", "S2", "F3"]
    assert k1.feed[-1].to_place == "K1.86" and k1.ground[0].from_place == "K1.85"
    out = next(d for d in slow.deciders if d.id == "A1.OUT1")
    assert out.state == "on" and out.rules == (
        "OUT1 on when T1 is warm or T1 is hot or AC is on",
    )  # fmt: skip


def test_what_runs_a_horn_unasked() -> None:
    """A grounded coil wire, a welded contact or a wire fed from outside sounds the horn."""
    causes = {c.fault: c for c in load("horn", "H1").unasked}
    assert {"S1 stuck", "K1 contact welded", "C2.2.b-C4.1.a short to ground"} <= set(causes)
    assert "C1.3.b-C3.1.a short to feed" in causes
    assert "F4 blown" not in causes and all(c.does == "sounds" for c in causes.values())


def test_what_stops_a_horn_is_grouped_by_unit() -> None:
    """Both ways, of the load and of the coil, are gone through; wires and plugs stand together."""
    stops = load("horn", "H1").stops
    broken = {c.where for c in stops if c.mode == "open"}
    assert {"C2.2.b-C4.1.a", "G3.stud", "G2.stud", "H1"} <= broken
    rows = dict(grouped(stops))
    assert "open: " in rows["wires"] and "C2.2-C4.1" in rows["wires"]
    assert "fuse F4: blown" in rows["F4"]


def test_a_relay_that_holds_itself_in_is_named() -> None:
    """The heater stays hot after the button is let go, as long as the key is on."""
    heater = load("holding", "H1")
    (run,), (kept,) = heater.runs, heater.memories
    assert run.when.text == "key run and button pressed"
    assert kept.when.text == "key run and button free" and kept.holders == ("K1",)
    said = "Once started, H1 goes on (hot) with key run and button free: K1 holds itself in."
    assert said in heater.text
    assert not load("horn", "H1").memories


def test_what_needs_the_key_on_is_found_though_nothing_runs_there() -> None:
    """A welded relay heats the window with the key on alone, where the sound circuit is still."""
    welded = next(c for c in load("holding", "H1").unasked if c.fault == "K1 contact welded")
    assert (welded.setup, welded.does) == ("key run", "hot")


def test_a_relay_that_cuts_its_own_feed_chatters() -> None:
    """The lamp's relay opens the contact that feeds its own coil."""
    (chatter,) = load("chattering", "L1").chatter
    assert chatter.parts == ("K1",) and chatter.when.text == "key run"


def test_a_telltale_between_both_sides_is_a_sneak_path() -> None:
    """The telltale's current goes on through the lamp of the other side, which stays dark."""
    (run,) = load("telltale", "L3").runs
    assert run.when.text == "turn not off" and run.idle == ("L2",)
    assert any("Sneak path" in line and "L2" in line for line in load("telltale", "L3").text)


def test_a_lost_shared_ground_feeds_back() -> None:
    """With the joint ground of both lamps of a side open, the main beam gets current by others."""
    causes = {c.fault: c for c in load("headlamps", "L2").unasked}
    assert causes["SP6.3 open"].through == ("L1", "L4")
    assert causes["SP6.3 open"].setup == "lights head" and causes["SP6.3 open"].does == "dim"


@pytest.mark.parametrize("name", CASES)
def test_every_kind_of_part_can_stand_on_the_way(name: str) -> None:
    """Whatever lies between: each running load has a way that begins at a battery."""
    circuit = example(name)
    found = explain(circuit, plant_of(circuit), all_setups(circuit), ())
    for one in found.loads:
        assert one.text
        for run in one.runs:
            assert run.path[0].kind == "battery" and run.current_a > 0, (one.load, run.does)
            assert one.load.partition(".")[0] in [s.id for s in run.path]


def test_a_starters_solenoid_is_told_with_its_holding_winding() -> None:
    """Once in, the pull-in winding has battery at both ends: the other one is told."""
    circuit = example("starting and charging")
    found = explain(circuit, plant_of(circuit), all_setups(circuit), (), ["M1"])
    solenoid = next(d for d in found.loads[0].runs[0].deciders if d.id == "K1")
    assert (solenoid.feed[-1].to_place, solenoid.ground[0].from_place) == ("K1.50", "K1.31")


@pytest.mark.parametrize("name", ["starting-charging", "trailer-lights"])
def test_nothing_inside_a_part_is_named(name: str) -> None:
    """A starter's relay is fed by the battery, a flasher by its fuse: what the model has inside
    them goes by no name of its own."""
    circuit = read_shelf(name)
    for one in explained(name).loads:
        for run in one.runs:
            known = {*circuit.parts, *circuit.places, ""}
            assert {d.id for d in run.deciders} <= known
            assert {s.device for d in run.deciders for s in (*d.feed, *d.ground)} <= known
