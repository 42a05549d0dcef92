"""What nobody knows beside the fault: logic, history, comings and goings, clips, repairs."""

from functools import cache

import pytest

from loomwise.advice.expert import Expert, make_expert
from loomwise.advice.next_test import next_tests
from loomwise.circuit.reader import read_circuit
from loomwise.evidence import Reading, Sign
from loomwise.setups import Setup, parse_setup
from tests.diagnosis.experts import (
    fans_expert,
    fans_low,
    free,
    horn_expert,
    pressed,
    rank,
    volts,
)

UNKNOWN_LOGIC = """
format: 1
title: A lamp that a module grounds when it likes
supply: 12 V
sources: [{name: bench sheet 7, drawn: by the maker}]
units:
  battery: {price: 140, minutes: 20}
  module: {price: 310, minutes: 30}
  lamp: {price: 8, minutes: 10}
  switch: {price: 30, minutes: 20}
connectors:
  C1: {halves: [loom, module], cavities: 3, minutes: 2}
controls: {key: {states: [off, run], rest: off}}
parts:
  BAT: {kind: battery, in: battery}
  F1: {kind: fuse, rating: 5 A, in: module}
  F2: {kind: fuse, rating: 5 A, in: switch}
  S1: {kind: switch, pins: [30, 15], in: switch, set by: key, positions: {off: [], run: [30-15]}}
  L1: {kind: lamp, power: 5 W, in: lamp}
  A1:
    kind: module
    in: module
    pins: {15: {role: supply}, 31: {role: ground}, OUT: {role: low-side}}
  G1: {kind: ground, pins: [1]}
  G2: {kind: ground, pins: [1]}
  SP1: {kind: splice, pins: [1, 2, 3]}
wires:
  - BAT.- to G1.1, BK 16 mm2, 0.4 m
  - BAT.+ to F1.1, RD 2.5 mm2, 0.5 m
  - F1.2 to S1.30, RD 1.5 mm2, 0.5 m
  - S1.15 to SP1.1, BK 1.5 mm2, 1 m
  - SP1.2 to F2.1, BK 1.5 mm2, 0.5 m
  - F2.2 to L1.1, BKWH 0.75 mm2, 1 m
  - SP1.3 to C1.1 to A1.15, BK 0.75 mm2, 1 m
  - L1.2 to C1.2 to A1.OUT, GY 0.75 mm2, 1 m
  - A1.31 to C1.3 to G2.1, BN 0.75 mm2, 1 m
"""

SELF_HOLD = """
format: 1
title: A lamp on a relay that holds itself
supply: 12 V
sources: [{name: bench sheet 8, drawn: by the maker}]
units:
  battery: {price: 140, minutes: 20}
  box: {price: 60, minutes: 20}
  lamp: {price: 8, minutes: 10}
controls:
  push: {states: [free, pressed], rest: free}
parts:
  BAT: {kind: battery, in: battery}
  F1: {kind: fuse, rating: 10 A, in: box}
  S1: {kind: switch, pins: [1, 2], in: box, set by: push, positions: {free: [], pressed: [1-2]}}
  K1: {kind: relay, contact: NO, in: box}
  L1: {kind: lamp, power: 21 W, in: lamp}
  SP1: {kind: splice, pins: [1, 2, 3]}
  SP2: {kind: splice, pins: [1, 2, 3, 4]}
  G1: {kind: ground, pins: [1, 2, 3]}
wires:
  - BAT.- to G1.1, BK 16 mm2, 0.4 m
  - BAT.+ to F1.1, RD 2.5 mm2, 0.5 m
  - F1.2 to SP1.1, RD 1.5 mm2, 0.5 m
  - SP1.2 to K1.30, RD 1.5 mm2, 0.2 m
  - SP1.3 to S1.1, RD 0.75 mm2, 1 m
  - S1.2 to SP2.1, RDWH 0.75 mm2, 1 m
  - K1.87 to SP2.2, BK 1.5 mm2, 0.2 m
  - SP2.3 to K1.86, BK 0.75 mm2, 0.2 m
  - SP2.4 to L1.1, BK 1.5 mm2, 2 m
  - K1.85 to G1.2, BN 0.75 mm2, 0.3 m
  - L1.2 to G1.3, BN 1.5 mm2, 1 m
"""


@cache
def unknown_logic() -> Expert:
    """A lamp grounded by an output that has no rule."""
    return make_expert(read_circuit(UNKNOWN_LOGIC, "unknown.yaml"))


@cache
def self_hold() -> Expert:
    """A lamp on a relay fed by its own contact."""
    return make_expert(read_circuit(SELF_HOLD, "hold.yaml"))


def key_on() -> Setup:
    """The key at run."""
    return parse_setup(unknown_logic().circuit, "key=run")


def test_a_dark_lamp_on_an_unknown_output_may_be_as_designed() -> None:
    """Where nobody knows when the module switches the lamp, a dark lamp alone proves no fault."""
    dark = Sign("s1", key_on(), "L1", "dark", "yes")
    commanded = Sign("s2", key_on(), "A1.OUT", "on", "yes")
    known = rank(unknown_logic(), dark, commanded).nothing_wrong
    assert rank(unknown_logic(), dark).nothing_wrong > 5 * known


def test_live_data_settle_an_unknown_output_for_readings_in_that_setup() -> None:
    """12 V at the lamp's ground side is right with the output off, a fault with it on."""
    seen = volts("r1", key_on(), "L1.2", 12.6, "open")
    off = rank(unknown_logic(), seen, Sign("s1", key_on(), "A1.OUT", "off", "yes"))
    on = rank(unknown_logic(), seen, Sign("s1", key_on(), "A1.OUT", "on", "yes"))
    assert off.nothing_wrong > 4 * on.nothing_wrong
    in_the_ground_path = sum(
        on.units.get(u, 0.0) for u in ("module", "contact C1.2", "contact C1.3")
    )
    assert in_the_ground_path > 0.3


def test_the_planner_asks_what_an_unknown_output_does() -> None:
    """With the lamp dark and its logic unknown, commanding the output or reading it comes up."""
    evidence = [Sign("s1", key_on(), "L1", "dark", "yes")]
    tests = next_tests(unknown_logic(), evidence, key_on(), most=12)
    assert any(t.setup.settled or t.instrument == "scan tool" for t in tests)
    without = next_tests(unknown_logic(), evidence, key_on(), most=50, instruments=("voltmeter",))
    assert without
    assert not any(t.setup.settled for t in without)


def test_a_relay_that_holds_itself_is_judged_by_what_went_before() -> None:
    """The lamp burns after a push and not before one: neither is a fault."""
    circuit = self_hold().circuit
    after = parse_setup(circuit, "push=free", after=["push=pressed"])
    before = parse_setup(circuit, "push=free")
    lit = rank(self_hold(), Sign("s1", after, "L1", "bright", "yes"))
    dark = rank(self_hold(), Sign("s1", after, "L1", "dark", "yes"))
    assert lit.nothing_wrong > 10 * dark.nothing_wrong
    assert rank(self_hold(), Sign("s1", before, "L1", "dark", "yes")).nothing_wrong > 0.02


def test_without_a_history_both_states_of_a_holding_relay_are_allowed() -> None:
    """Nobody said whether the button was pushed before: a burning lamp is no proof of a fault."""
    plain = parse_setup(self_hold().circuit, "push=free")
    lit = rank(self_hold(), Sign("s1", plain, "L1", "bright", "yes"))
    assert lit.nothing_wrong > 0.02


def test_a_sticking_relay_shows_only_after_it_was_pulled() -> None:
    """The horn that goes on sounding after the button is let go: the relay sticks."""
    circuit = horn_expert().circuit
    let_go = parse_setup(circuit, "horn=free", after=["horn=pressed"])
    ranking = rank(
        horn_expert(),
        Sign("s1", free(), "H1", "silent", "yes"),
        Sign("s2", pressed(), "H1", "sounds", "yes"),
        Sign("s3", let_go, "H1", "sounds", "yes"),
    )
    assert ranking.leader[0] == "K1"
    assert any("sticks" in s.fault.title for s in ranking.suspects[:3] if s.fault)


def test_a_reading_with_the_complaint_unknown_clears_less_when_it_comes_and_goes() -> None:
    """Once the complaint was away, 12 V at the plug no longer clears the wire before it."""
    good = volts("r1", pressed(), "C3.1.a", 12.4, complaint="unknown")
    silent = Sign("s1", pressed(), "H1", "silent", "yes")
    away = Sign("s2", pressed(), "H1", "sounds", "no")
    steady = rank(horn_expert(), silent, good)
    coming = rank(horn_expert(), silent, good, away)
    before = "contact C1.3"
    assert coming.units[before] > 3 * steady.units[before]


def test_a_clip_without_contact_explains_a_run_of_zeros() -> None:
    """Zero volts everywhere against one ground point: the clip, before three faults at once."""
    lead = [
        Reading(f"r{k}", fans_low(), "voltmeter", place, "G2.1", 0.01, complaint="yes")
        for k, place in enumerate(("F1.2", "F3.2", "C2.2.a", "SP1.1"), 1)
    ]
    signs = [Sign("s1", fans_low(), m, "slow", "yes") for m in ("M1", "M2")]
    ranking = rank(fans_expert(), *signs, *lead)
    assert ranking.not_explained < 0.2


def test_after_a_repair_the_fault_is_elsewhere_or_the_new_part_is_bad() -> None:
    """A new horn that stays silent: the horn falls far back, but is not cleared altogether."""
    silent = Sign("s1", pressed(), "H1", "silent", "yes")
    still = Sign("s2", pressed(), "H1", "silent", "yes", repaired=("horn",))
    first, then = rank(horn_expert(), silent), rank(horn_expert(), silent, still)
    assert then.units["horn"] < 0.15 * first.units["horn"]
    assert then.units["horn"] > 0.0001
    assert sum(then.units.values()) == pytest.approx(1.0, abs=0.2)


def test_a_complaint_that_is_away_in_another_setup_does_not_come_and_go() -> None:
    """Silent when pressed, quiet when free is one steady fault: other readings keep their say."""
    good = volts("r1", pressed(), "C3.1.a", 12.4, complaint="unknown")
    silent = Sign("s1", pressed(), "H1", "silent", "yes")
    quiet = Sign("s2", free(), "H1", "silent", "no")
    steady, other = rank(horn_expert(), silent, good), rank(horn_expert(), silent, good, quiet)
    assert other.units["contact C1.3"] == pytest.approx(steady.units["contact C1.3"], abs=1e-6)


def test_wiggling_speaks_for_what_was_moved() -> None:
    """The horn comes back while C3 is moved: the plug's contacts go up, the rest comes down."""
    silent = Sign("s1", pressed(), "H1", "silent", "yes")
    away = Sign("s2", pressed(), "H1", "sounds", "no")
    moved = Reading("r1", pressed(), "wiggle", "C3", word="changes", complaint="yes")
    before, after = rank(horn_expert(), silent, away), rank(horn_expert(), silent, away, moved)
    assert after.units["contact C3.1"] > 4 * before.units["contact C3.1"]
    assert after.units["contact C1.3"] < 0.5 * before.units["contact C1.3"]


def test_wiggling_is_proposed_only_for_a_complaint_that_comes_and_goes() -> None:
    """Nobody wiggles for a fault that is always there."""
    silent = Sign("s1", pressed(), "H1", "silent", "yes")
    away = Sign("s2", pressed(), "H1", "sounds", "no")
    steady = next_tests(horn_expert(), [silent], pressed(), most=80)
    coming = next_tests(horn_expert(), [silent, away], pressed(), most=80)
    assert not any(t.instrument == "wiggle" for t in steady)
    assert any(t.instrument == "wiggle" for t in coming)
