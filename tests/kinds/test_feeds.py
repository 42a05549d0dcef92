"""Sources, breakers and grounds, as an electrician knows them."""

import pytest

from loomwise.circuit.reader import read_circuit
from loomwise.edits import AddOhm, Bridge, Limit, Open, SetEmf
from tests.contract.examples import example
from tests.solver.bench import bench, solve

CHARGING = "second battery"
STARTING = "starting and charging"


def test_charging_voltage() -> None:
    """With the engine running the posts show 13.5 to 14.8 V (common practice, no source), and the
    battery takes a few amps; standing it shows its own voltage."""
    running = solve(example(STARTING), "engine=running")[0]
    assert 13.5 < running.voltages_v["BAT.+"] - running.voltages_v["BAT.-"] < 14.8
    assert 1.0 < running.currents_a["BAT.cell"] < 20.0
    assert solve(example(STARTING))[0].voltages_v["BAT.+"] < 12.1


def test_charge_lamp() -> None:
    """The charge lamp is lit while the generator stands and goes out when it charges."""
    assert solve(example(STARTING))[0].loads["L1"] == "bright"
    assert solve(example(STARTING), "engine=running")[0].loads["L1"] == "dark"


def test_a_generator_gives_no_more_than_it_can() -> None:
    """Overloaded, it holds its current and the battery gives the rest."""
    load = Bridge("BAT.+", "BAT.-", 0.08)
    point = solve(example(STARTING), "engine=running", [load])[0]
    assert point.currents_a["AL1.diodes"] == pytest.approx(90.0, rel=0.002)
    assert point.currents_a["BAT.cell"] < -30.0


@pytest.mark.parametrize(("share", "low_v", "high_v"), [(0.92, 12.4, 13.3), (1.12, 15.0, 16.0)])
def test_a_bad_regulator_shows_at_the_posts(share: float, low_v: float, high_v: float) -> None:
    """Regulated too low or too high, the posts say so; above 15 V lamps burn out."""
    edits = SetEmf("AL1.regulator.output", 14.2 * share), Limit("AL1.regulator", 0, share)
    point = solve(example(CHARGING), "engine=running", edits)[0]
    assert low_v < point.voltages_v["BAT.+"] < high_v


def test_split_charge_relay() -> None:
    """The second battery is joined while the first is charged, and parted when the engine stands.

    It parts at 12.8 V, pulls in at 13.3 V: common practice, no source.
    """
    circuit = example(CHARGING)
    assert solve(circuit)[0].states["K1"] == "released"
    running = solve(circuit, "engine=running")[0]
    assert running.states["K1"] == "pulled"
    assert running.voltages_v["BAT2.+"] == pytest.approx(running.voltages_v["BAT.+"], abs=0.2)


def test_starter_needs_both_windings() -> None:
    """Pull-in winding open: no click. Hold-in winding, or its ground, open: it chatters."""
    circuit, start = example(STARTING), "key=start"
    assert solve(circuit, start)[0].loads["M1"] == "normal"
    assert solve(circuit, start, [Open("K1.pull-in")])[0].states["K1"] == "released"
    for broken in ("K1.hold-in", "K1.31-G2.2"):
        assert "K1" in solve(circuit, start, [Open(broken)])[0].chatter


def test_engine_ground_strap() -> None:
    """The strap off, the engine is no longer ground: the starter does nothing and its case is
    live; a strap with some resistance takes its volts from the starter."""
    circuit, start = example(STARTING), "key=start"
    off = solve(circuit, start, [Open("G2.4-G1.1")])[0]
    assert off.loads["M1"] == "off"
    assert off.voltages_v["G2.1"] > 5.0
    bad = solve(circuit, start, [AddOhm("G2.4-G1.1", 0.01)])[0]
    assert bad.voltages_v["G2.1"] > 0.5
    sound = solve(circuit, start)[0]
    assert sound.voltages_v["G2.1"] < 0.3 + 0.05  # starter circuit, minus side: common practice


@pytest.mark.parametrize(
    ("breaker", "load", "state", "chatters"),
    [("B1", "H1", "", True), ("B2", "H2", "tripped", False), ("B3", "H3", "tripped", False)],
)
def test_breakers_by_what_closes_them(breaker: str, load: str, state: str, chatters: bool) -> None:
    """On a short a cycling breaker goes on and off, a held one and one reset by hand stay open."""
    point = solve(example("breakers"), "", [Bridge(f"{load}.1", "body", 0.5)])[0]
    assert (breaker in point.chatter) == chatters
    assert not state or point.states[breaker] == state


def test_a_breaker_is_held_open_by_its_load() -> None:
    """A held breaker closes again once the load has been taken away; one by hand does not."""
    parts = """
    B1: {kind: breaker, rating: 10 A, reset: RESET}
    H1: {kind: heater, power: 200 W}
    S1: {kind: switch, pins: [1, 2], set by: sw, positions: {off: [], on: [1-2]}}
    """
    wires = "BAT.+ to B1.1\nB1.2 to S1.1\nS1.2 to H1.1\nH1.2 to G1.1"
    controls = "sw: {states: [off, on], rest: off}"
    for reset, after in (("held", "closed"), ("by hand", "tripped")):
        circuit = bench(parts.replace("RESET", reset), wires, controls)
        assert solve(circuit, "sw=on")[0].states["B1"] == "tripped"
        assert solve(circuit, "sw=off", after=[{"sw": "on"}])[0].states["B1"] == after


def test_a_polymer_fuse_trips_at_twice_its_hold_current() -> None:
    """6 A held: a horn runs through it, and a short trips it to a watt or two (from memory)."""
    assert solve(example("breakers"))[0].loads["H4"] == "sounds"
    short = solve(example("breakers"), "", [Bridge("H4.1", "body", 0.2)])[0]
    assert short.states["P1"] == "tripped"
    assert 1.0 < short.powers_w["P1"] < 2.0
    assert short.loads["H4"] == "silent"


def test_equaliser_makes_the_upper_battery_help() -> None:
    """The tap stays at half of the whole; a weaker lower battery is fed from the upper one."""
    circuit = example("24 V with a 12 V tap")
    point = solve(circuit)[0]
    assert point.voltages_v["E1.12"] == pytest.approx(point.voltages_v["E1.24"] / 2, abs=0.1)
    assert point.loads["L1"] == "bright"
    weak = solve(circuit, "", [SetEmf("BAT.cell", 11.4)])[0]
    assert -weak.currents_a["BAT2.cell"] > weak.currents_a["L1.element"] + 2.0


def test_without_the_equaliser_the_lower_battery_works_alone() -> None:
    """Its converter dead, the 12 V load hangs on the lower battery, or on nothing."""
    point = solve(example("24 V with a 12 V tap"), "", [Open("E1.converter")])[0]
    upper, lower = (-point.currents_a[f"{b}.cell"] for b in ("BAT2", "BAT"))
    assert lower > upper + 1.0


def test_warm_wires_have_more_resistance() -> None:
    """Copper has 0.393 % more ohms for each degree: 60 degrees warmer, 23.6 % more drop.

    Temperature coefficient: Industrial Power Engineering and Applications Handbook, p. 970.
    """
    parts = "H1: {kind: heater, power: 60 W}"
    wires = "BAT.+ to H1.1, RD 1 mm2, 5 m\nH1.2 to G1.1"
    circuit = bench(parts, wires)
    text = circuit.text.replace("supply:", "temperature: 80 C\nsupply:")
    warm = read_circuit(text, "warm.yaml")
    ohms = [c.segments["BAT.+-H1.1"].resistance_ohm for c in (circuit, warm)]
    assert ohms[1] / ohms[0] == pytest.approx(1.2358, abs=1e-4)
