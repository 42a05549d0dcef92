from collections.abc import Sequence
from dataclasses import replace

import pytest

from loomwise.advice.decide import decide
from loomwise.advice.evidence_words import evidence_for
from loomwise.advice.expert import Expert
from loomwise.advice.next_test import next_tests
from loomwise.advice.proposal import Verdict
from loomwise.evidence import Evidence, Reading, Sign
from tests.diagnosis.experts import (
    fans_complaint,
    fans_expert,
    fans_low,
    fresh,
    horn_dead,
    horn_expert,
    pressed,
    rank,
    vehicle,
    volts,
)


def verdict_on(expert: Expert, evidence: Sequence[Evidence]) -> Verdict:
    """The verdict by a judge that has seen nothing before."""
    expert = replace(expert, judge=fresh(expert))
    return decide(expert, evidence, expert.judge.rank(evidence))


def k2_readings() -> list[Evidence]:
    """K2's break contact open: live up to the fuse box, dead behind it."""
    return [
        *fans_complaint(),
        volts("r1", fans_low(), "BAT.+", 12.55, method="post"),
        volts("r2", fans_low(), "C1.1.a", 12.5),
        volts("r3", fans_low(), "C1.2.a", 12.5),
        volts("r4", fans_low(), "C1.3.a", 0.01),
    ]


def test_proven_holds_without_any_single_item() -> None:
    """Proven is 0.99, and any one sign or reading may be wrong: 0.9 is left."""
    evidence = k2_readings()
    verdict = verdict_on(fans_expert(), evidence)
    assert (verdict.kind, verdict.unit) == ("proven", "fuse box")
    assert verdict.share >= 0.99
    left = {
        item.id: rank(fans_expert(), *(e for e in evidence if e is not item)).units["fuse box"]
        for item in evidence
    }
    assert min(left.values()) >= 0.9
    assert verdict.weakest == pytest.approx(min(left.values()), abs=0.01)
    assert verdict.weakest_reading == min(left, key=lambda name: left[name])


def single_decisive() -> list[Evidence]:
    """Without r2 all hangs on r3: that live reading alone tells the fuse box from the panel."""
    return [e for e in k2_readings() if e.id != "r2"]


def test_one_decisive_item_does_not_prove() -> None:
    """What hangs on a single item is not proven, however high its share: it says on which."""
    verdict = verdict_on(fans_expert(), single_decisive())
    assert verdict.share >= 0.99
    assert verdict.kind == "open"
    assert verdict.weakest_reading == "r3"
    assert verdict.weakest < 0.9
    assert "r3" in verdict.reasons[0]


def test_where_all_hangs_on_one_item_the_next_test_bears_it_out() -> None:
    """High share but one decisive reading: the advice goes on, as if it had not been taken."""
    expert = replace(fans_expert(), judge=fresh(fans_expert()))
    (test,) = next_tests(expert, single_decisive(), fans_low(), most=1)
    assert test.gain_bits > 0.3


def test_not_explained_is_a_verdict() -> None:
    """Where nothing fits, not even when taken again, the verdict says so and names no unit."""
    p = pressed()
    verdict = verdict_on(
        horn_expert(),
        [Sign("s1", p, "H1", "sounds", "yes"), Sign("s2", p, "K1", "released", "yes"),
         volts("r1", p, "BAT.+", 12.6, method="post"), volts("r2", p, "C1.3.a", 5.5),
         volts("r3", p, "C3.1.b", 9.0), volts("r4", p, "C3.2.a", 4.0),
         volts("r5", p, "C1.3.a", 5.5), volts("r6", p, "C3.1.b", 9.0),
         volts("r7", p, "C3.2.a", 4.0)],
    )  # fmt: skip
    assert (verdict.kind, verdict.unit) == ("not explained", "")
    assert verdict.reasons


def test_a_vehicle_with_nothing_wrong_is_as_designed() -> None:
    """Every reading as the drawing has it, at every place: nothing wrong here leads."""
    world = vehicle(horn_expert(), "F4 blown")
    world.truth = replace(world.truth, edits=())
    world.blown = ()
    world.kept.clear()
    places = ("F4.2", "C1.3.a", "C3.1.b", "C3.2.a", "C2.2.a", "C4.1.a", "C4.2.a", "G3.1", "G2.1")
    taken: list[Evidence] = [
        world.reading(Reading(f"r{k}", setup, "voltmeter", place, "BAT.-"))
        for k, (setup, place) in enumerate((s, p) for s in horn_expert().states for p in places)
    ]
    taken += [world.sign(f"s{k}", s, "H1") for k, s in enumerate(horn_expert().states)]
    ranking = rank(horn_expert(), *taken)
    before = rank(horn_expert())
    assert ranking.nothing_wrong > 3.0 * before.nothing_wrong
    assert ranking.not_explained < before.not_explained


def test_before_any_test_nothing_is_proven() -> None:
    """With the complaint alone the verdict stays open."""
    assert verdict_on(horn_expert(), [horn_dead()]).kind == "open"


def test_readings_that_fit_speak_for_the_unit() -> None:
    """Live before K2 and dead behind it speaks for the fuse box and against the climate panel."""
    evidence = k2_readings()
    ranking = rank(fans_expert(), *evidence)
    mine = {e.item_id: e.bits for e in evidence_for(fans_expert(), evidence, ranking, "fuse box")}
    assert mine["r3"] > 1.0
    assert all(bits > 0.0 for bits in mine.values())
    panel = evidence_for(fans_expert(), evidence, ranking, "climate panel")
    other = {e.item_id: e.bits for e in panel}
    assert other["r3"] < -1.0


def test_evidence_comes_strongest_first_and_in_words() -> None:
    """The line that weighs most stands first, with value and place."""
    evidence = k2_readings()
    lines = evidence_for(fans_expert(), evidence, rank(fans_expert(), *evidence), "fuse box")
    weights = [abs(line.bits) for line in lines]
    assert weights == sorted(weights, reverse=True)
    text = {line.item_id: line.text for line in lines}["r3"]
    assert "12.50 V at C1.2.a" in text
    assert "AC on" in text


def test_what_was_read_without_the_complaint_is_no_evidence() -> None:
    """An item that clears nothing has no line."""
    away = volts("r9", fans_low(), "C1.3.a", 6.0, complaint="no")
    evidence = [*k2_readings(), away]
    lines = evidence_for(fans_expert(), evidence, rank(fans_expert(), *evidence), "fuse box")
    assert "r9" not in {line.item_id for line in lines}
