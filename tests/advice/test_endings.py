"""How a job ends short of proof: effects, best bets, what cannot be told apart, time used up."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import pytest

from loomwise.advice.decide import decide
from loomwise.advice.endings import (
    COMEBACK_MIN,
    Bench,
    at_risk,
    best_bets,
    conclude,
    inseparable,
)
from loomwise.advice.expert import Expert
from loomwise.advice.next_test import next_tests
from loomwise.advice.proposal import Verdict
from loomwise.diagnosis.ranking import Ranking
from loomwise.evidence import Evidence, Reading, Sign
from loomwise.evidence.items import AT_HAND
from loomwise.setups import Undoing
from tests.diagnosis.experts import (
    free,
    fresh,
    horn_dead,
    horn_expert,
    pressed,
    rank,
    vehicle,
    volts,
)


def horn() -> Expert:
    """The horn with a judge that has seen nothing."""
    return replace(horn_expert(), judge=fresh(horn_expert()))


def concluded(evidence: Sequence[Evidence], bench: Bench | None = None) -> Verdict:
    """Where a job on the horn stands."""
    expert = horn()
    return conclude(expert, evidence, expert.judge.rank(evidence), bench or Bench(pressed()))


@cache
def fuse_blown() -> tuple[Evidence, ...]:
    """Live before F4, dead behind it, and it looks blown."""
    world = vehicle(horn_expert(), "F4 blown")
    asked = [Reading(f"r{k}", pressed(), "voltmeter", p, "BAT.-", method="fuse ear")
             for k, p in enumerate(("F4.1", "F4.2"))]  # fmt: skip
    asked.append(Reading("l1", pressed(), "look", "F4"))
    return (horn_dead(), *(world.reading(a) for a in asked))


@cache
def new_fuse() -> tuple[Evidence, ...]:
    """A new fuse holds with the horn sounding, seen and read."""
    world = vehicle(horn_expert(), "F4 blown")
    setup = pressed().with_undone(Undoing("new", "F4"))
    ask = Reading("n1", setup, "voltmeter", "F4.2", "BAT.-", method="fuse ear")
    return (world.reading(ask), world.sign("n2", setup, "H1"))


def surely(unit: str, fault: str) -> Ranking:
    """A ranking in which one fault of a unit holds nearly everything."""
    ranking = rank(horn_expert(), horn_dead())
    found = next(s for s in ranking.suspects if s.fault and s.fault.id.startswith(fault))
    return replace(ranking, suspects=(replace(found, share=0.995),), units={unit: 0.995})


def test_a_blown_fuse_alone_is_never_proven(monkeypatch: pytest.MonkeyPatch) -> None:
    """However sure it is that the fuse is blown: something blew it, and a new fuse must hold."""
    monkeypatch.setattr("loomwise.advice.decide.weakest", lambda *_: (0.95, "r1"))
    verdict = decide(horn(), fuse_blown(), surely("F4", "F4 blown"))
    assert (verdict.kind, verdict.fuse, verdict.weakest_reading) == ("open", "F4", "")
    assert "fit a new fuse of the same rating" in verdict.reasons[1]
    held = decide(horn(), [*fuse_blown(), *new_fuse()], surely("F4", "F4 blown"))
    assert held.kind == "proven"
    other = decide(horn(), fuse_blown(), surely("K1", "K1 coil open"))
    assert other.kind == "proven"


def test_a_new_fuse_that_holds_proves_the_fuse() -> None:
    """New fuse in, horn sounding, 12 V behind it: there is no short, the old fuse was just gone."""
    verdict = concluded([*fuse_blown(), *new_fuse()])
    assert (verdict.kind, verdict.unit, verdict.fuse) == ("proven", "F4", "")


def test_a_new_fuse_with_the_circuit_at_rest_proves_nothing() -> None:
    """Behind a relay that is not pulled a short does not show: the circuit must be used."""
    world = vehicle(horn_expert(), "F4 blown")
    setup = free().with_undone(Undoing("new", "F4"))
    ask = Reading("n1", setup, "voltmeter", "F4.2", "BAT.-", method="fuse ear")
    items = [*fuse_blown(), world.reading(ask), replace(world.reading(ask), id="n2")]
    assert concluded(items).kind != "proven"


def test_the_advice_for_a_blown_fuse_is_a_new_one_in_use() -> None:
    """The next test fits a new fuse of the same rating and uses the circuit."""
    expert = horn()
    (test,) = next_tests(expert, fuse_blown(), pressed(), most=1)
    assert Undoing("new", "F4") in test.setup.undone
    assert test.setup.state_of("horn") == "pressed"


def test_a_burnt_contact_asks_for_the_load_current() -> None:
    """A relay contact burns for a reason: until the current is read, the proof says so."""
    world = vehicle(horn_expert(), burnt())
    places = ("K1.30", "K1.87", "C1.3.a", "C3.1.b", "C3.2.a", "K1.87", "K1.30", "F4.2")
    items: list[Evidence] = [world.sign("s1", pressed(), "H1"), world.sign("s2", pressed(), "K1")]
    items += [
        world.reading(Reading(f"r{k}", pressed(), "voltmeter", p, "BAT.-"))
        for k, p in enumerate(places)
    ]
    verdict = concluded(items)
    assert (verdict.kind, verdict.unit) == ("proven", "K1")
    assert "measure the load's current" in verdict.remarks[0]
    clamp = world.reading(Reading("c1", pressed(), "clamp", "C1.3.b-C3.1.a"))
    assert concluded([*items, clamp]).remarks == ()


def burnt() -> str:
    """K1's contact burnt so far that the horn is silent."""
    sizes = [f for f in horn_expert().table.faults if f.group == "K1.make contact burnt"]
    return next(f.id for f in sizes if f.spread and f.spread.middle_ohm > 10.0)


def test_bets_come_by_expected_cost_with_their_figures() -> None:
    """Price and labour for certain, the comeback by the chance that it was something else."""
    expert = horn()
    bets = best_bets(expert, expert.judge.rank([horn_dead()]))
    assert [b.expected for b in bets] == sorted(b.expected for b in bets)
    relay = next(b for b in bets if b.unit == "K1")
    rate = expert.circuit.labour_per_hour / 60.0
    assert relay.cost == pytest.approx(relay.price + relay.minutes * rate)
    assert relay.comeback == pytest.approx((relay.minutes + COMEBACK_MIN) * rate)
    assert relay.expected == pytest.approx(relay.cost + (1.0 - relay.share) * relay.comeback)


def test_early_on_testing_pays() -> None:
    """With the complaint alone a few minutes of testing cost far less than a wrong part."""
    verdict = concluded([horn_dead()])
    assert verdict.kind == "open"
    assert verdict.going_on < verdict.at_risk
    assert verdict.settles is not None


def test_a_best_bet_names_the_test_that_would_settle_it() -> None:
    """At 96 % for a cheap relay the last doubt costs more to settle than to be wrong about."""
    world = vehicle(horn_expert(), burnt())
    items: list[Evidence] = [world.sign("s1", pressed(), "H1"), world.sign("s2", pressed(), "K1")]
    items += [
        world.reading(Reading(f"r{k}", pressed(), "voltmeter", place, "BAT.-"))
        for k, place in enumerate(("F4.2", "C1.3.a", "C3.1.b", "C3.2.a", "C1.3.a", "F4.2"))
    ]
    verdict = concluded(items)
    assert (verdict.kind, verdict.unit, verdict.units) == ("best bet", "K1", ("K1",))
    assert 0.9 < verdict.share < 0.99
    assert verdict.at_risk < verdict.going_on
    assert verdict.settles is not None and verdict.settles.red == "K1.30"
    assert "burnt" in verdict.remarks[0]


def test_no_bet_where_being_wrong_is_dear() -> None:
    """The same doubt about a part a hundred times dearer is worth settling."""
    expert = horn()
    ranking = expert.judge.rank([horn_dead()])
    sure = replace(ranking, units={"K1": 0.96, "steering wheel": 0.04})
    dear = expert.circuit.units["K1"]
    units = {**expert.circuit.units, "K1": replace(dear, price=100.0 * dear.price)}
    other = replace(expert, circuit=replace(expert.circuit, units=units))
    assert at_risk(other, sure) > 10.0 * at_risk(expert, sure)


def test_the_cheaper_of_two_alike_is_preferred() -> None:
    """Between two about as likely the cheap repair is tried first, never a far less likely one."""
    expert = horn()
    ranking = expert.judge.rank([horn_dead()])
    even = replace(ranking, units={"steering wheel": 0.5, "K1": 0.45})
    unlikely = replace(ranking, units={"steering wheel": 0.9, "K1": 0.05})
    loss = {b.unit: (1.0 - b.share) * (b.cost + b.comeback) for b in best_bets(expert, even)}
    assert at_risk(expert, even) == pytest.approx(loss["K1"])
    lost = {b.unit: (1.0 - b.share) * (b.cost + b.comeback) for b in best_bets(expert, unlikely)}
    assert at_risk(expert, unlikely) == pytest.approx(lost["steering wheel"])


def test_what_no_test_tells_apart_is_named_together() -> None:
    """A dead horn with a clicking relay and nothing but eyes: its units stay together."""
    seen = [horn_dead(), Sign("s2", pressed(), "K1", "pulled", "yes")]
    expert = horn()
    ranking = expert.judge.rank(seen)
    group = inseparable(expert, seen, ranking, pressed(), instruments=())
    assert ranking.leader[0] in group and len(group) > 1
    assert inseparable(expert, seen, ranking, pressed(), instruments=AT_HAND) == ()


def test_authorised_time_is_kept() -> None:
    """When the next test does not fit into the time the customer gave, she is asked first."""
    used = Bench(pressed(), spent_minutes=29.9, authorised_minutes=30.0)
    verdict = concluded([horn_dead()], used)
    assert verdict.kind == "authorised time reached"
    assert "30" in verdict.reasons[0] and "known so far" in verdict.reasons[-1]
    enough = replace(used, authorised_minutes=90.0)
    assert concluded([horn_dead()], enough).kind == "open"


def test_a_vehicle_that_does_what_it_should_is_as_designed() -> None:
    """Nothing wrong leads: the words send her out of the circuit."""
    expert = horn()
    ranking = replace(expert.judge.rank([horn_dead()]), nothing_wrong=0.97, units={"K1": 0.02})
    verdict = decide(expert, [horn_dead()], ranking)
    assert verdict.kind == "as designed"
    assert "outside the circuit" in verdict.reasons[1]


def test_a_short_behind_the_fuse_is_not_called_the_fuse() -> None:
    """The new fuse blows again: the short behind it leads, not the fuse."""
    shorts = [f for f in horn_expert().table.faults
              if f.group == "C1.3.b-C3.1.a short to ground"]  # fmt: skip
    world = vehicle(horn_expert(), shorts[0].id)
    setup = pressed().with_undone(Undoing("new", "F4"))
    seen = [*fuse_blown(), world.sign("n1", setup, "H1"),
            world.reading(Reading("n2", setup, "voltmeter", "F4.2", "BAT.-", method="fuse ear")),
            volts("n3", setup, "F4.1", 12.6, method="fuse ear")]  # fmt: skip
    ranking = rank(horn_expert(), *seen)
    assert ranking.units.get("F4", 0.0) < 0.1


def test_a_group_that_nothing_tells_apart_is_the_verdict() -> None:
    """Wire or contact, and no instrument: both are named, with their sum, the cheaper first."""
    expert = horn()
    ranking = expert.judge.rank([horn_dead()])
    pair = ("wire C1.3-C3.1", "wire C3.2-G2.1")
    chosen = [next(s for s in ranking.suspects if s.unit == u) for u in pair]
    ranking = replace(
        ranking, suspects=tuple(replace(s, share=0.5) for s in chosen),
        units=dict.fromkeys(pair, 0.5), nothing_wrong=0.0, not_explained=0.0,
    )  # fmt: skip
    verdict = conclude(expert, [horn_dead()], ranking, Bench(pressed(), instruments=()))
    assert (verdict.kind, verdict.units) == ("not separable", pair)
    assert verdict.share == pytest.approx(1.0)
    assert conclude(expert, [horn_dead()], ranking, Bench(pressed())).kind == "open"
