from dataclasses import replace

import numpy as np
import pytest

from loomwise.advice.expert import Expert
from loomwise.diagnosis.doubts import exchanges
from loomwise.edits import key
from loomwise.errors import InputError
from loomwise.setups import Setup
from loomwise.study.outside import draw_outside, nets_of, words
from loomwise.study.play import Ended, draw_case, play, with_sign
from loomwise.study.scenario import PLAIN, SCENARIOS, Scenario, scenarios_named
from loomwise.study.world import World
from tests.diagnosis.experts import fans_expert, fresh, horn_expert, vehicle
from tests.study.test_world import ask


def drawn(scenario: Scenario, case: int) -> tuple[World, Setup]:
    """A horn of a scenario."""
    expert = horn_expert()
    return draw_case(expert, with_sign(expert), np.random.default_rng([1, case]), scenario)


def ended(scenario: Scenario, case: int = 0) -> Ended:
    """A horn of a scenario, played to the end."""
    expert = replace(horn_expert(), judge=fresh(horn_expert()), cache={})
    return play(expert, *drawn(scenario, case), scenario=scenario)


@pytest.mark.slow
@pytest.mark.parametrize("name", SCENARIOS)
def test_every_scenario_plays_to_an_end(name: str) -> None:
    """A case of each scenario comes to a verdict."""
    end = ended(SCENARIOS[name])
    assert end.kind != "authorised time reached"
    assert end.minutes > 0.0
    assert bool(end.named) == (end.kind == "proven") or name == "doubles"


def test_scenarios_by_name() -> None:
    """Names are joined by commas; an unknown one is refused with the list."""
    assert [s.name for s in scenarios_named("rough, doubles,rough")] == ["rough", "doubles"]
    assert scenarios_named("") == (PLAIN,)
    with pytest.raises(InputError, match="no scenario 'rogh'"):
        scenarios_named("rogh")


def test_rivals_meet_the_same_vehicles() -> None:
    """The half-splitter gets the vehicle that the advice got."""
    ours, theirs = drawn(PLAIN, 4)[0], drawn(SCENARIOS["half-split"], 4)[0]
    assert ours.truth.edits == theirs.truth.edits
    assert np.array_equal(ours.plant.net.g_on, theirs.plant.net.g_on)


def test_rough_vehicles_stray_further() -> None:
    """A vehicle of the rough kind has values beyond 10 %, none beyond 20 %."""
    ratio = drawn(SCENARIOS["rough"], 1)[0].plant.net.g_on / horn_expert().plant.net.g_on
    assert 0.1 < np.abs(ratio - 1.0).max() <= 0.2


def test_labels_are_exchanged_in_every_case_or_by_chance() -> None:
    """Forced, every drawing has a pair that leads elsewhere; by chance, few have."""
    known = {e.id: e for e in exchanges(horn_expert().circuit)}
    for case in range(5):
        truth = drawn(SCENARIOS["exchanged"], case)[0].truth
        a, b = next(iter(known[truth.exchange].swap.items()))
        assert truth.real(a) == b
    chances = [drawn(SCENARIOS["redrawn"], case)[0].truth.exchange for case in range(60)]
    assert 0 < sum(map(bool, chances)) < 20


def test_two_faults_lie_in_two_units_and_go_one_by_one() -> None:
    """A double's repaired unit takes its own fault away and leaves the other."""
    world, setup = drawn(SCENARIOS["doubles"], 0)
    units = world.truth.fault.unit.split(" + ")
    assert len(units) == 2
    assert words(world, setup) != words(world.sound(), setup)
    left = world.repair(units[0], horn_expert().states)
    assert left.truth.units == {units[1]}
    assert left.sign("s", setup, "H1").repaired == (units[0],)
    whole = left.repair(units[1], horn_expert().states)
    assert whole.truth.edits == ()


def test_a_fault_that_comes_and_goes_is_told_honestly() -> None:
    """While the complaint is there the horn fails; while it is away the horn is as it should be."""
    world, setup = drawn(SCENARIOS["coming"], 0)
    seen = [world.sign("s", setup, "H1") for _ in range(40)]
    by = {w: {s.seen for s in seen if s.complaint == w} for w in ("yes", "no")}
    assert by["yes"] == {world._seen(setup, "H1")}
    assert by["no"] == {world.sound()._seen(setup, "H1")}
    assert by["yes"] != by["no"]


def outside_kinds(expert: Expert, count: int) -> set[str]:
    """Kinds of so many truths from outside, each held against what is listed."""
    listed = {key(f.edits) for f in (*expert.table.faults, *expert.judge.redrawn.table.faults)}
    kinds = set()
    for seed in range(count):
        draw = np.random.default_rng(seed)
        found = draw_outside(expert, expert.plant, lambda place: place, draw)
        assert found is not None
        world, setup = found
        assert world.truth.outside and not world.truth.units
        assert key(world.truth.edits) not in listed or world.truth.only_in
        assert words(world, setup) != words(world.sound(), setup)
        kinds.add(world.truth.fault.id.split()[0])
    return kinds


def test_outside_truths_are_none_of_the_hypotheses() -> None:
    """A load hung on the horn's wires shows, and no listed fault or doubt is the same."""
    assert outside_kinds(horn_expert(), 8) == {"load"}  # every two of its nets meet in a part


@pytest.mark.slow
def test_outside_truths_of_a_module_go_against_its_rule() -> None:
    """On the fans also a path nobody drew, and an output against its rule in one position."""
    assert outside_kinds(fans_expert(), 12) >= {"load", "path", "A1.OUT1"}


def test_a_load_hung_on_a_wire_is_found_at_that_wire() -> None:
    """Who is sent to the tapped wire finds the load: no error; sent elsewhere, it is one."""
    found = draw_outside(
        horn_expert(), horn_expert().plant, lambda place: place, np.random.default_rng(1)
    )
    assert found is not None
    near = found[0].truth.near
    place = found[0].truth.fault.id.rpartition(" ")[2]
    assert horn_expert().circuit.places[place].unit in near
    assert "battery" not in near


def test_nets_are_what_conductors_join() -> None:
    """Both sides of a mated contact are one net; the two ends of a fuse are two."""
    nets = nets_of(horn_expert().circuit)
    assert nets["C1.3.a"] == nets["C1.3.b"]
    assert nets["F4.1"] != nets["F4.2"]


def test_a_missed_contact_on_a_dead_wire_is_no_slip() -> None:
    """Only a missed reading that hides volts counts as missed."""
    world = replace(vehicle(horn_expert(), "K1 contact open"), missed=1.0)
    world.reading(replace(ask("C1.3.a"), id="dead"))
    world.reading(replace(ask("F4.2"), id="live"))
    assert world.slips == ["live"]
