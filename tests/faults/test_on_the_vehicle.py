"""What a fault does on the vehicle: fuses that are not the drawn ones, sticking relays, ladders."""

from collections.abc import Sequence

import pytest

from loomwise.circuit.model import BODY, Circuit
from loomwise.edits import Bridge, Edit
from loomwise.faults import Fault, enumerate_faults
from loomwise.faults.fuses import RATINGS_A, wrong_ratings_a
from loomwise.shelf import read_shelf
from tests.diagnosis.experts import horn_expert
from tests.solver.bench import bench, solve

FUSED = bench(
    "F1: {kind: fuse, rating: 10 A}\nR1: {kind: resistor, resistance: 1.5 ohm}",
    "BAT.+ to F1.1, RD 2.5 mm2, 1 m\nF1.2 to R1.1, RD 1.5 mm2, 1 m\nR1.2 to G1.1",
)
FUSED_A = 7.9
"""About what the resistor takes, see the test."""


def faults(circuit: Circuit, group: str) -> dict[str, Fault]:
    """The variants of one fault, by the word that tells them apart."""
    found = enumerate_faults(circuit, {"F1.link": FUSED_A})
    return {f.id.removeprefix(group).strip(): f for f in found if f.group == group}


def fuse(circuit: Circuit, *edits: Edit) -> str:
    """What becomes of F1."""
    return solve(circuit, edits=edits)[0].states["F1"]


def test_only_a_fuse_too_small_for_the_load_blows_in_ordinary_use() -> None:
    """A load of 8 A takes out a 4 A fuse; the right 10 A one, the 7.5 A and the 15 A one hold."""
    healthy = solve(FUSED)[0]
    assert healthy.currents_a["F1.link"] == pytest.approx(FUSED_A, abs=0.1)
    assert healthy.states["F1"] == "intact"
    wrong = faults(FUSED, "F1 wrong rating")
    assert {word: fuse(FUSED, *f.edits) for word, f in wrong.items()} == {
        "4 A": "blown", "7.5 A": "intact", "15 A": "intact"
    }  # fmt: skip


def test_a_larger_fuse_stands_more_before_it_opens() -> None:
    """At 18 A a 10 A fuse must open and a 15 A one need not: 1.35 times the rating, ISO 8820-3."""
    overload = Bridge("R1.1", BODY, 1.2)
    assert fuse(FUSED, overload) == "blown"
    assert fuse(FUSED, overload, *faults(FUSED, "F1 wrong rating")["15 A"].edits) == "intact"


def test_a_smaller_fuse_drops_more() -> None:
    """A 7.5 A fuse has 1.4 times the cold resistance of a 10 A one, as the table of one series
    says."""
    smaller = solve(FUSED, edits=faults(FUSED, "F1 wrong rating")["7.5 A"].edits)[0]
    drawn = solve(FUSED)[0]
    drop = [p.voltages_v["F1.1"] - p.voltages_v["F1.2"] for p in (smaller, drawn)]
    assert drop[0] / drop[1] == pytest.approx(10.91 / 7.70, rel=0.01)


@pytest.mark.parametrize(
    ("rating_a", "current_a", "wrong_a"),
    [(10, 0, (7.5, 15)), (10, 8, (4, 7.5, 15)), (40, 22, (10, 35, 50)), (7.5, 8.2, (5, 10)),
     (1, 0.5, (2,)), (500, 0, (100,))],
)  # fmt: skip
def test_the_wrong_fuse_is_of_a_size_one_can_buy(
    rating_a: float, current_a: float, wrong_a: tuple[float, ...]
) -> None:
    """The next sizes down and up are mistaken for the right one, and one that is far too small."""
    assert wrong_ratings_a(rating_a, current_a) == wrong_a
    assert set(wrong_a) <= set(RATINGS_A)


def test_the_weakest_of_two_fuses_is_judged_by_what_is_fitted() -> None:
    """Behind a 15 A and a 10 A fuse a short takes the 10 A one, but a 7.5 A one in place of the 15
    goes first."""
    line = bench(
        "F1: {kind: fuse, rating: 15 A}\nF2: {kind: fuse, rating: 10 A}\n"
        "R1: {kind: resistor, resistance: 2 ohm}",
        "BAT.+ to F1.1\nF1.2 to F2.1\nF2.2 to R1.1\nR1.2 to G1.1",
    )
    (smaller,) = (f for f in faults(line, "F1 wrong rating").values() if f.id.endswith(" 4 A"))
    for edits, gone in (((), "F2"), (smaller.edits, "F1")):
        states = solve(line, edits=[Bridge("R1.1", BODY, 0.1), *edits])[0].states
        assert [f for f in ("F1", "F2") if states[f] == "blown"] == [gone]


def test_a_bypassed_fuse_does_not_blow_on_a_short() -> None:
    """With a piece of wire across the holder a short takes all the battery gives."""
    short = Bridge("R1.1", BODY, 0.1)
    assert solve(FUSED, edits=[short])[0].states["F1"] == "blown"
    (bypassed,) = faults(FUSED, "F1 bypassed").values()
    point = solve(FUSED, edits=[short, *bypassed.edits])[0]
    assert point.states["F1"] == "intact" and point.fuses == ()
    assert point.currents_a["F1.link"] > 60.0
    drop_v = point.voltages_v["F1.1"] - point.voltages_v["F1.2"]
    assert drop_v / point.currents_a["F1.link"] == pytest.approx(0.001, rel=0.01)


def test_what_a_small_fuse_does_in_use_stays_done() -> None:
    """A horn's fuse far too small is found blown with the button let go; the right one is whole."""
    table = horn_expert().table
    blown = [any(e for e in held if e.device == "F4") for held in table.effects]  # type: ignore[union-attr]
    of = {table.fault(h).id: blown[h] for h in range(len(table))}
    assert of["F4 wrong rating 3 A"]
    assert not of["F4 wrong rating 20 A"] and not of["F4 bypassed"] and not of["no fault"]


RELAY = bench(
    "S1: {kind: switch, pins: [1, 2], set by: button, positions: {off: [], on: [1-2]}}\n"
    "K1: {kind: relay, contact: NO}\nR1: {kind: resistor, resistance: 10 ohm}",
    "BAT.+ to S1.1\nS1.2 to K1.86\nK1.85 to G1.1\nBAT.+ to K1.30\nK1.87 to R1.1\nR1.2 to G1.2",
    "button: {states: [off, on], rest: off}",
)


def relay(edits: Sequence[Edit], button: str, *before: str) -> str:
    """Where K1 stands with the button so, after the button stood so before."""
    after = [{"button": b} for b in before]
    (*_, point) = solve(RELAY, f"button={button}", edits, after=after)
    return point.states["K1"]


def test_a_sticking_relay_stays_in_when_its_coil_is_dead() -> None:
    """Button on and off again: a healthy relay lets go, a sticking one stays in."""
    (sticks,) = faults(RELAY, "K1 sticks at drop-out").values()
    assert relay((), "off", "on") == "released"
    assert relay(sticks.edits, "off", "on") == "pulled"


def test_a_sticking_relay_that_was_never_pulled_behaves() -> None:
    """From rest it is out, and it pulls when it is told to: nothing shows until it has pulled."""
    (sticks,) = faults(RELAY, "K1 sticks at drop-out").values()
    assert relay(sticks.edits, "off", "off") == "released"
    assert relay(sticks.edits, "on") == "pulled"
    assert solve(RELAY, "button=off", sticks.edits)[0].states["K1"] == "released"


def test_one_step_of_a_ladder_is_off_and_the_others_are_not() -> None:
    """A sensor read as steps: with the warm step drifted, cold and hot read as ever; with the whole
    sensor drifted all three are off."""
    fans = read_shelf("radiator-fans")
    setups = {s: f"key=run, coolant={s}" for s in ("cold", "warm", "hot")}
    healthy = {s: solve(fans, setup)[0].voltages_v["A1.T1"] for s, setup in setups.items()}
    (high, low), (whole,) = (
        [f for f in enumerate_faults(fans, {}) if f.group == group]
        for group in ("B1.warm ladder resistor drifted", "B1.high drifted")
    )
    if high.id.endswith("low"):
        high, low = low, high
    for fault, moved in ((high, ["warm"]), (low, ["warm"]), (whole, list(setups))):
        off = {s: solve(fans, x, fault.edits)[0].voltages_v["A1.T1"] for s, x in setups.items()}
        assert [s for s in setups if off[s] != pytest.approx(healthy[s], abs=0.02)] == moved
    volts = [solve(fans, setups["warm"], f.edits)[0].voltages_v["A1.T1"] for f in (low, high)]
    assert volts[0] < healthy["warm"] - 0.3 < healthy["warm"] + 0.3 < volts[1]
