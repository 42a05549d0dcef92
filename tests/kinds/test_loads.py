"""Lamps, LEDs, solenoids, flashers, wiper parking and what a person says of them."""

import pytest

from loomwise.circuit.loads import load_named, loads
from loomwise.edits import AddOhm, Open, Scale, SetOhm
from loomwise.evidence.items import sign_words
from loomwise.faults import enumerate_faults
from tests.contract.examples import example
from tests.solver.bench import bench, solve

FLASHING = "flash=on"


def test_two_filaments_are_two_loads() -> None:
    """Tail and stop light of one bulb are seen each for itself, by the pin that feeds them."""
    circuit = example("lights")
    assert [p.id for p in loads(circuit)] == ["L1.1", "L1.2", "D1"]
    assert solve(circuit)[0].loads["L1.1"] == "dark"
    assert solve(circuit)[0].loads["L1.2"] == "bright"
    assert sign_words(circuit, "L1.1") == ("dark", "dim", "bright", "on and off")
    assert load_named(circuit, "L1") is None


def test_rated_current_of_each_filament() -> None:
    """A 21/5 W bulb takes 1.75 A and 0.42 A at its rated 12 V (UN Regulation 37 powers)."""
    wires = "BAT.+ to L1.1, RD 16 mm2, 0.1 m\nL1.31 to G1.1, BK 16 mm2, 0.1 m"
    parts = "L1: {kind: two-filament lamp, power 1: 21 W, power 2: 5 W}"
    point = solve(bench(parts, wires))[0]
    assert point.currents_a["L1.1.element"] == pytest.approx(21 / 12, rel=0.01)
    small = bench(parts, wires.replace("L1.1", "L1.2"))
    assert solve(small)[0].currents_a["L1.2.element"] == pytest.approx(5 / 12, rel=0.01)


def test_a_bad_bulb_ground_feeds_one_filament_through_the_other() -> None:
    """The bulb's ground off, the flashing filament lights the other through its own, dimly."""
    parts = """
    L1: {kind: two-filament lamp, power 1: 21 W, power 2: 5 W}
    L2: {kind: lamp, power: 5 W}
    SP1: {kind: splice, pins: [1, 2]}
    """
    wires = "BAT.+ to L1.1\nL1.31 to G1.1\nL1.2 to SP1.1\nSP1.2 to L2.1\nL2.2 to G1.2"
    point = solve(bench(parts, wires), "", [Open("L1.31-G1.1")])[0]
    assert point.loads["L2"] in ("dim", "bright")
    assert point.loads["L1.1"] == "dark"


def test_led_current_and_reverse() -> None:
    """An LED takes its current at nominal voltage, nothing backwards, nothing below its knee."""
    parts = "D1: {kind: LED, current: 20 mA}"
    there = solve(bench(parts, "BAT.+ to D1.A\nD1.K to G1.1"))[0]
    assert there.currents_a["D1.element"] == pytest.approx(0.020, rel=0.01)
    assert there.loads["D1"] == "bright"
    back = solve(bench(parts, "BAT.+ to D1.K\nD1.A to G1.1"))[0]
    assert abs(back.currents_a["D1.element"]) < 1e-9
    low = solve(bench(parts, "BAT.+ to D1.A\nD1.K to G1.1", emf_v=1.5))[0]
    assert low.loads["D1"] == "dark"


def test_an_led_glows_on_a_leak_that_no_bulb_sees() -> None:
    """Half a volt of signal behind 2 kohm still lights an LED lamp, and no bulb.

    Common practice, no source: why LED lamps glimmer where bulbs stay dark.
    """
    wires = "BAT.+ to D1.A\nD1.K to G1.1\nBAT.+ to L1.1\nL1.2 to G1.2"
    circuit = bench("D1: {kind: LED}\nL1: {kind: lamp, power: 5 W}", wires)
    leaks = [AddOhm("BAT.+-D1.A", 2000.0), AddOhm("BAT.+-L1.1", 2000.0)]
    point = solve(circuit, "", leaks)[0]
    assert point.loads["L1"] == "dark"
    assert point.loads["D1"] == "dim"


def test_led_open_shorted_and_wrong() -> None:
    """Open it is dark; shorted it is dark and takes a fuse's worth of current."""
    circuit = example("lights")
    assert solve(circuit, FLASHING, [Open("D1.element")])[0].loads["D1"] == "dark"
    dead = next(f for f in enumerate_faults(circuit, {}) if f.id == "D1 shorted")
    shorted = solve(circuit, FLASHING, dead.edits)[0]
    assert shorted.loads["D1"] == "dark"
    assert shorted.currents_a["D1.shorted"] > 20.0
    assert solve(circuit, FLASHING, [Scale("D1.element", 0.4)])[0].loads["D1"] == "dim"


def test_zener_holds_its_voltage() -> None:
    """A 5.1 V zener behind 470 ohm holds about 5.1 V; a 24 V TVS does nothing at 12 V."""
    point = solve(example("lights"))[0]
    assert point.voltages_v["Z2.K"] == pytest.approx(5.1, abs=0.2)
    assert abs(point.currents_a["Z1.element"]) < 1e-9


def test_a_tvs_cuts_off_a_load_dump_both_ways() -> None:
    """At 35 V a 24 V TVS takes the rest through whatever feeds it, in either direction."""
    wires = "BAT.+ to R1.1\nR1.2 to Z1.A\nZ1.K to G1.1"
    parts = "R1: {kind: resistor, resistance: 10 ohm}\n"
    parts += "Z1: {kind: zener, breakdown: 24 V, both ways: yes}"
    point = solve(bench(parts, wires, emf_v=35.0))[0]
    assert point.voltages_v["Z1.A"] == pytest.approx(24.2, abs=0.3)
    single = solve(bench(parts.replace(", both ways: yes", ""), wires, emf_v=35.0))[0]
    assert single.voltages_v["Z1.A"] < 2.0


def test_capacitor_is_open_to_direct_current() -> None:
    """A suppression capacitor passes nothing; leaking, it does."""
    assert abs(solve(example("lights"))[0].currents_a["C1.element"]) < 1e-6
    leaking = solve(example("lights"), "", [SetOhm("C1.element", 300.0)])[0]
    assert leaking.currents_a["C1.element"] == pytest.approx(0.04, rel=0.05)


def test_flasher_needs_its_own_feed_and_ground() -> None:
    """In its phase the lamp is bright, between them dark; without ground it never lights."""
    circuit = example("lights")
    assert solve(circuit, FLASHING)[0].loads["L1.1"] == "bright"
    assert solve(circuit, "flash=off")[0].loads["L1.1"] == "dark"
    assert solve(circuit, FLASHING, [Open("K1.31-G1.1")])[0].loads["L1.1"] == "dark"


@pytest.mark.parametrize(
    ("stalk", "wiper", "runs"),
    [("on", "parked", True), ("on", "moving", True), ("off", "moving", True),
     ("off", "parked", False)],
)  # fmt: skip
def test_a_wiper_runs_on_until_it_is_parked(stalk: str, wiper: str, runs: bool) -> None:
    """Switched off between its ends it goes on by its park contact, and stops where that opens."""
    point = solve(example("wiper"), f"stalk={stalk}, wiper={wiper}")[0]
    assert (point.loads["M1"] != "off") == runs


def test_a_parked_wiper_is_braked() -> None:
    """Parked and off, its slow brush is joined to ground through stalk and park switch."""
    point = solve(example("wiper"))[0]
    assert point.voltages_v["M1.53"] == pytest.approx(0.0, abs=0.01)
    assert "M1.53" not in point.floating


def test_solenoid_and_reversible_motor_words() -> None:
    """A solenoid pulls or rests; a window motor is seen to turn one way or the other."""
    assert solve(example("breakers"))[0].loads["H3"] == "pulled"
    weak = solve(example("breakers"), "", [AddOhm("H3.2-G1.3", 40.0)])[0]
    assert weak.loads["H3"] == "at rest"
    circuit = example("outputs")
    turned = [solve(circuit, f"A1.{o}=on")[0].loads["M1"] for o in ("O1", "O2")]
    assert turned == ["forward", "backward"]
    slow = solve(circuit, "A1.O2=on", [AddOhm("A1.O1-M1.1", 1.0)])[0]
    assert slow.loads["M1"] == "slow backward"
