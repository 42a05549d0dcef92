"""The vehicle one practises on, how hard it is, and two paths beside each other."""

from dataclasses import replace

import pytest

from loomwise.advice.candidates import Candidate
from loomwise.errors import InputError
from loomwise.practice.debrief import debrief
from loomwise.practice.difficulty import (
    EASY_TESTS,
    Drawn,
    Measured,
    draw_vehicle,
    vehicle_of,
)
from loomwise.practice.parting import Beside, Weighed, part_ways, path_cost
from loomwise.practice.path import Path, Step, take
from loomwise.practice.vehicle import misleads
from loomwise.shelf import read_shelf
from loomwise.usecases.experts import expert_unlearned


@pytest.fixture(scope="module")
def drawn() -> Drawn:
    """An easy vehicle: the contacts of its horn switch are bypassed."""
    return draw_vehicle(expert_unlearned(read_shelf("horn")), "easy", 14)


def _walk(drawn: Drawn, *tests: Candidate, unit: str = "K1") -> Path:
    steps: list[Step] = []
    here = drawn.vehicle.complaint
    for test in tests:
        steps.append(take(drawn.vehicle, steps, test, here, frozenset()))
        here = test.setup
    return Path(tuple(steps), unit)


def _volts(drawn: Drawn, place: str) -> Candidate:
    return Candidate(drawn.vehicle.complaint, "voltmeter", place, "BAT.-", "back-probe")


def test_an_easy_vehicle_is_easy_by_measure(drawn: Drawn) -> None:
    """Few tests on the advised path, none of them misleading, nothing that chatters."""
    assert drawn.measured.difficulty == "easy"
    assert drawn.measured.tests <= EASY_TESTS
    assert drawn.advised.unit in drawn.vehicle.world.truth.units
    assert Measured(2, 1, False).difficulty == Measured(2, 0, True).difficulty == "hard"
    assert Measured(EASY_TESTS + 1, 0, False).difficulty == "middling"


def test_the_same_seed_hides_the_same_fault(drawn: Drawn) -> None:
    """A practice that is gone on with tomorrow is on the same vehicle, with the same answers."""
    again = vehicle_of(drawn.vehicle.expert, "easy", 14, drawn.tried)
    assert again.name == drawn.vehicle.name
    assert again.opening() == drawn.vehicle.opening()
    for step in drawn.advised.steps:
        assert again.answer(step.test, step.item.id) == step.item


def test_what_was_asked_between_changes_no_answer(drawn: Drawn) -> None:
    """The same question gets the same answer, whatever was asked before it."""
    straight = _walk(drawn, _volts(drawn, "C3.1.a")).steps[-1].item
    later = _walk(drawn, _volts(drawn, "F4.1"), _volts(drawn, "C3.1.a")).steps[-1].item
    assert replace(later, id=straight.id) == straight


def test_a_probe_may_slip_and_another_try_helps(drawn: Drawn) -> None:
    """Contacts are missed now and then; whoever measures again mostly gets the true value."""
    world = replace(drawn.vehicle.world, missed=0.5)
    vehicle = replace(drawn.vehicle, world=world)
    test = _volts(drawn, "F4.1")
    told = [vehicle.answer(test, "R9", k) for k in range(12)]
    slipped = [misleads(vehicle, item, test, k) for k, item in enumerate(told)]
    assert 0 < sum(slipped) < 12
    for item, slip in zip(told, slipped, strict=True):
        assert (abs(item.value or 0.0) < 0.5) is slip  # type: ignore[union-attr]


def test_going_the_advised_way_does_not_part(drawn: Drawn) -> None:
    """Whoever makes the advised tests is told that the paths never part, and pays the same."""
    found = debrief(drawn.vehicle, drawn.advised, drawn.advised, ())
    assert found.right
    assert found.parted_at is None
    assert found.own == found.advised
    assert "Every test told about as much" in found.words[0]


def test_the_parting_is_where_a_minute_tells_less(drawn: Drawn) -> None:
    """A reading at the battery tells next to nothing there: the paths part at it, in words."""
    first = drawn.advised.steps[0].test
    own = _walk(drawn, first, _volts(drawn, "F4.1"))
    parting = part_ways(drawn.vehicle, own)
    assert parting.first == 1
    assert not parting.beside[0].parts
    found = debrief(drawn.vehicle, own, drawn.advised, ())
    assert not found.right
    assert found.words[0].startswith(f"The paths part at test 2, {own.steps[1].item.id}.")
    assert "Advised:" in found.words[0] and "a minute" in found.words[0]


def test_a_wrong_repair_costs_more(drawn: Drawn) -> None:
    """Named wrongly, the unit at fault is paid for all the same, and the vehicle comes back."""
    right = replace(drawn.advised)
    wrong = replace(right, unit="K1")
    unit = drawn.vehicle.expert.circuit.units["K1"]
    assert path_cost(drawn.vehicle, wrong) > path_cost(drawn.vehicle, right) + unit.price


def test_a_test_after_the_proof_parts_too() -> None:
    """What is measured once the unit is proven is time for nothing."""
    own = Weighed("volts", 2.0, 0.0)
    assert Beside("R9", own, None, "K1", 1.0, proven=True).parts
    assert not Beside("R9", own, None, "K1", 0.5).parts


def test_what_there_is_not_is_said(drawn: Drawn) -> None:
    """A difficulty that does not exist is refused with those there are."""
    with pytest.raises(InputError, match="no difficulty 'fiendish'; there is easy"):
        draw_vehicle(drawn.vehicle.expert, "fiendish", 1)
