"""The plan that proves a repair, tried on vehicles solved directly."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from loomwise.advice.expert import Expert, make_expert
from loomwise.advice.proof import Check, ProofPlan, judge_proof, proof_plan
from loomwise.advice.targets import Target, targets
from loomwise.advice.telling import Band
from loomwise.diagnosis.ranking import Ranking
from loomwise.errors import InputError
from loomwise.evidence import Evidence, Reading
from loomwise.faults import Fault
from loomwise.shelf import read_shelf
from loomwise.solver.result import loads
from loomwise.study.world import Truth, World
from tests.diagnosis.experts import fans_expert, fresh, horn_expert, vehicle

CASES = [
    ("horn", "K1 coil open", "K1"),
    ("horn", "H1 open", "horn"),
    ("horn", "F4 blown", "F4"),
    ("fans", "K2 break contact open", "fuse box"),
    ("fans", "M1 open winding", "left fan"),
    ("headlamps", "L1 open", "left dip bulb"),
    ("headlamps", "F2 blown", "F2"),
]


@cache
def headlamps_expert() -> Expert:
    """The headlamps made ready."""
    return make_expert(read_shelf("headlamps"))


def expert_on(circuit: str) -> Expert:
    """The expert with a judge that has seen nothing."""
    made = {"horn": horn_expert, "fans": fans_expert, "headlamps": headlamps_expert}[circuit]()
    return replace(made, judge=fresh(made))


def world_with(expert: Expert, fault: Fault) -> World:
    """A nominal vehicle with this fault, used before it came in; probes never miss."""
    truth = Truth(fault, fault.edits, lambda place: place)
    world = World(expert.circuit, expert.plant, truth, np.random.default_rng(3), missed=0.0)
    world.use(expert.states)
    return world


def sound(expert: Expert) -> World:
    """A nominal vehicle with nothing wrong."""
    return world_with(expert, expert.table.fault(0))


def answers(world: World, checks: Sequence[Check]) -> dict[str, float | str]:
    """What this vehicle shows for every check."""
    found: dict[str, float | str] = {}
    for c in checks:
        if c.instrument in ("sign", "scan tool"):
            found[c.id] = world.sign(c.id, c.setup, c.red).seen
        else:
            ask = Reading(c.id, c.setup, c.instrument, c.red, c.black, method=c.method)
            got = world.reading(ask)
            found[c.id] = got.word if got.value is None else got.value
    return found


@cache
def case(circuit: str, fault: str, unit: str) -> tuple[Expert, Ranking, ProofPlan]:
    """The signs of every load in every setup, ranked, and the plan after the right repair."""
    expert = expert_on(circuit)
    world = vehicle(expert, fault)
    seen: list[Evidence] = [
        world.sign(f"s{k}", setup, part.id)
        for k, (setup, part) in enumerate(
            (s, p) for s in expert.states for p in loads(expert.circuit)
        )
    ]
    ranking = expert.judge.rank(seen)
    return expert, ranking, proof_plan(expert, seen, ranking, [unit])


@pytest.mark.parametrize("named", CASES)
def test_the_sound_vehicle_passes(named: tuple[str, str, str]) -> None:
    """A repaired vehicle with nothing else wrong answers every check as expected."""
    expert, _, plan = case(*named)
    assert plan.checks
    assert judge_proof(plan.checks, answers(sound(expert), plan.checks)).passed


@pytest.mark.parametrize("named", CASES)
def test_what_is_left_in_fails_a_check(named: tuple[str, str, str]) -> None:
    """Each fault the plan covers, left in the vehicle, fails at least one of its checks."""
    expert, ranking, plan = case(*named)
    uncovered = {c.title for c in plan.uncovered}
    covered = [t for t in targets(expert, ranking, [named[2]]) if t.title not in uncovered]
    assert covered
    for target in covered:
        left_in = world_with(expert, _fault(target))
        assert not judge_proof(plan.checks, answers(left_in, plan.checks)).passed, target.title


def _fault(target: Target) -> Fault:
    return target.source.table.fault(target.row)


@pytest.mark.parametrize("named", CASES)
def test_the_repaired_fault_is_covered(named: tuple[str, str, str]) -> None:
    """Had the repair not helped, the vehicle would fail the proof."""
    expert, _, plan = case(*named)
    same = vehicle(expert, named[1])
    assert not judge_proof(plan.checks, answers(same, plan.checks)).passed


def test_the_complaint_is_looked_at_again() -> None:
    """The load that stayed dead is watched, in the setup of the complaint."""
    _, _, plan = case(*CASES[0])
    assert any(c.red == "H1" and c.expected == "sounds" for c in plan.checks)


def test_undisturbed_setups_are_preferred() -> None:
    """Nothing is parted or taken out for what can be seen with all in place."""
    for named in CASES[:4]:
        assert not [c for c in case(*named)[2].checks if c.setup.undone]


def band_check(name: str, instrument: str, band: Band) -> Check:
    """A check by itself."""
    setup = horn_expert().states[0]
    words = ("sounds", "silent", "pulled") if band.word else ()
    return Check(name, setup, (), instrument, "H1", "", "open", name, "", band, words, 1.0, (), ())


def test_a_value_outside_its_band_fails_with_the_reason() -> None:
    """11 V where 12 to 13 V are expected is no proof, and the check is named."""
    check = band_check("P1", "voltmeter", Band("", 12.5, 12.0, 13.0))
    assert judge_proof([check], {"P1": 12.4}).passed
    found = judge_proof([check], {"P1": 11.0})
    assert not found.passed and "P1" in found.reasons[0]


def test_a_check_not_done_is_no_proof() -> None:
    """A plan ticked in part proves nothing yet."""
    checks = [band_check("P1", "sign", Band("sounds")), band_check("P2", "sign", Band("pulled"))]
    found = judge_proof(checks, {"P1": "sounds"})
    assert not found.passed and "P2 is not done" in found.reasons[0]


@pytest.mark.parametrize("answer", [{"P9": "sounds"}, {"P1": 3.0}, {"P1": "loud"}])
def test_an_answer_that_fits_no_check(answer: dict[str, float | str]) -> None:
    """A check that is not in the plan, a number for a word, or a strange word is refused."""
    with pytest.raises(InputError, match=r"P9|P1"):
        judge_proof([band_check("P1", "sign", Band("sounds"))], answer)
