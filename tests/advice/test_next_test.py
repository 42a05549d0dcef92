from collections.abc import Sequence
from dataclasses import replace

import pytest

from loomwise.advice.candidates import candidates
from loomwise.advice.costs import setup_minutes
from loomwise.advice.expert import Expert, make_expert
from loomwise.advice.nets import module_nets
from loomwise.advice.next_test import next_tests, weigh
from loomwise.advice.proposal import Proposal
from loomwise.evidence import Evidence, Reading, Sign
from loomwise.evidence.items import AT_HAND
from loomwise.setups import Setup, parse_setup
from tests.diagnosis.experts import (
    fans_complaint,
    fans_expert,
    fans_low,
    free,
    fresh,
    heater_loop,
    horn_dead,
    horn_expert,
    pressed,
    volts,
)

ALL = 10_000


def advise(
    expert: Expert, evidence: Sequence[Evidence], here: Setup,
    opened: frozenset[str] = frozenset(), most: int = ALL,
) -> tuple[Proposal, ...]:  # fmt: skip
    """Proposals by a judge that has seen nothing before."""
    return next_tests(replace(expert, judge=fresh(expert)), evidence, here, opened, most)


def horn_tests(here: Setup | None = None) -> tuple[Proposal, ...]:
    """All tests worth making on a silent horn."""
    return advise(horn_expert(), [horn_dead()], here or pressed())


def test_each_proposal_says_what_it_is_worth() -> None:
    """A proposed test tells something, takes time, and says what to expect and who leads after."""
    found = horn_tests()
    assert len(found) > 5
    for p in found:
        assert p.gain_bits > 0.0
        assert p.minutes > 0.0
        assert p.title
        assert p.expectations
        assert sum(o.chance for o in p.outcomes) == pytest.approx(1.0, abs=0.06)


def test_best_gain_a_minute_comes_first() -> None:
    """Tests are offered in the order of what they tell per minute."""
    worth = [p.gain_bits / p.minutes for p in horn_tests()]
    assert worth == sorted(worth, reverse=True)


def test_what_was_seen_is_not_asked_again() -> None:
    """She has said that the horn is silent and the relay clicks: neither is asked twice."""
    seen: list[Evidence] = [horn_dead(), Sign("s2", pressed(), "K1", "pulled", "yes"),
            Reading("l1", pressed(), "look", "F4", word="intact", complaint="yes")]  # fmt: skip
    found = advise(horn_expert(), seen, pressed())
    asked = {(p.instrument, p.red) for p in found if p.setup == pressed()}
    assert not asked & {("sign", "H1"), ("sign", "K1"), ("look", "F4")}
    before = {(p.instrument, p.red) for p in horn_tests() if p.setup == pressed()}
    assert ("sign", "K1") in before


def test_a_reading_taken_tells_little_more() -> None:
    """A value that was read well is not worth reading again."""
    taken: list[Evidence] = [horn_dead(), volts("r1", pressed(), "F4.2", 12.5, method="fuse ear")]

    def gain(evidence: list[Evidence]) -> float:
        found = advise(horn_expert(), evidence, pressed())
        same = [p for p in found if p.red == "F4.2" and p.setup == pressed()]
        return max((p.gain_bits for p in same), default=0.0)

    assert gain(taken) < 0.2 * gain([horn_dead()])


def test_minutes_include_the_way_from_where_we_stand() -> None:
    """From the button let go, each test with it pressed costs the pressing more."""
    near = {(p.title, p.setup): p.minutes for p in horn_tests()}
    far = {(p.title, p.setup): p.minutes for p in horn_tests(here=free())}
    both = [k for k in near.keys() & far.keys() if k[1] == pressed()]
    assert both
    way = setup_minutes(horn_expert().circuit, free(), pressed())
    assert all(far[k] - near[k] == pytest.approx(way) for k in both)


def test_changes_lead_from_here_to_there() -> None:
    """What to set and undo is said in order; where nothing changes nothing is said."""
    for p in horn_tests(here=free()):
        assert (p.changes == ()) == (p.setup == free())
        if p.setup == pressed():
            assert p.changes == ("horn pressed",)


def test_an_open_plug_makes_its_places_cheaper() -> None:
    """With the steering wheel off, the switch behind it costs less to probe."""
    expert, seen = horn_expert(), [horn_dead(), Sign("s2", pressed(), "K1", "released", "yes")]

    def minutes(opened: frozenset[str]) -> dict[tuple[str, Setup], float]:
        found = advise(expert, seen, pressed(), opened)
        return {(p.title, p.setup): p.minutes for p in found if p.red.startswith("C5.")}

    shut, opened = minutes(frozenset()), minutes(frozenset({"C5"}))
    both = shut.keys() & opened.keys()
    assert both
    assert all(opened[k] < shut[k] for k in both)


def test_no_test_lamp_where_a_module_is_wired() -> None:
    """A test lamp is never put on a module's pins or the wires straight to them."""
    expert = fans_expert()
    nets = module_nets(expert.circuit)
    found = candidates(expert, fans_complaint(), fans_low())
    lamps = [c for c in found if c.instrument == "test lamp"]
    assert {"A1.OUT1", "C5.3.a", "C2.3.a", "K1.85"} <= nets
    assert "C1.1.a" not in nets
    assert lamps
    assert not [c for c in lamps if {c.red, c.black} & nets]


def test_a_soldered_relay_is_never_proposed_out() -> None:
    """Relays soldered into the fuse box stay in; the horn's plug-in relay may come out."""

    def undone(expert: Expert, here: Setup) -> set[str]:
        return {u.target for c in candidates(expert, (), here) for u in c.setup.undone}

    assert not undone(fans_expert(), fans_low()) & {"K1", "K2", "K3"}
    assert {"F1", "C1"} <= undone(fans_expert(), fans_low())
    assert "K1" in undone(horn_expert(), pressed())


def test_cautions_stand_where_the_work_meets_them() -> None:
    """With the key on the fans may start: every such test says so; plugs are parted key off."""
    (own,) = fans_expert().circuit.cautions
    found = advise(fans_expert(), fans_complaint(), fans_low())
    asking = [p for p in found if p.setup.state_of("key") == "run"]
    assert asking
    assert all(own in p.cautions for p in asking)
    apart = [p for p in found if any(u.what == "apart" for u in p.setup.undone)]
    assert apart
    assert all("Key off before parting or mating a connector." in p.cautions for p in apart)
    lamps = [p for p in found if p.instrument == "test lamp"]
    assert all(any("never a test lamp on airbag" in c for c in p.cautions) for p in lamps)


def test_only_instruments_at_hand_are_proposed() -> None:
    """Without a meter nothing is to be metered."""
    expert = replace(horn_expert(), judge=fresh(horn_expert()))
    found = next_tests(expert, [horn_dead()], pressed(), most=ALL, instruments=("look",))
    assert {p.instrument for p in found} == {"look", "sign"}


def test_a_circuit_without_relays_is_tested_switched_on() -> None:
    """Battery, fuse, switch, heater: the setup worth testing in is the one with the heater on."""
    states = make_expert(heater_loop()).states
    assert parse_setup(heater_loop(), "heat=on") in states


def test_a_look_at_what_all_suspects_agree_on_is_not_proposed() -> None:
    """A silent horn, nobody pressing: every suspect keeps it silent, so that watching it would tell
    them only from what nobody can explain; something that tells them apart is proposed."""
    expert = horn_expert()
    items = (Sign("s1", pressed(), "H1", "silent", "yes"),)
    rest = expert.states[0]
    ranking = fresh(expert).rank(items)
    weighed = weigh(expert, items, ranking, rest, frozenset(), AT_HAND)
    watching = [
        t
        for t in weighed.order
        if (weighed.tests[t].instrument, weighed.tests[t].red) == ("sign", "H1")
        and weighed.tests[t].setup == rest
    ]
    assert weighed.order and not watching
