"""Things every vehicle electrician knows, which the solved circuits must show."""

import pytest

from loomwise.circuit.kinds.tables import access_methods
from loomwise.circuit.model import BODY
from loomwise.edits import Bridge, Open
from loomwise.shelf import read_shelf
from loomwise.solver.result import source_between_ohm
from tests.solver.bench import bench, solve

FANS = "radiator-fans"


def test_idle_fast_brush_of_a_running_wiper_motor() -> None:
    """Slow brush fed at 12.3 V, the idle fast brush shows about 7.3 V of the motor's own EMF.

    Common practice, no source; 0.5 V either way, as motors differ.
    """
    wires = "BAT.+ to M1.53, RD 2.5 mm2, 0.5 m\nM1.31 to G1.1, BN 2.5 mm2, 0.5 m"
    point = solve(bench("M1: {kind: two-speed motor, current: 5 A}", wires, emf_v=12.3))[0]
    assert point.loads["M1"] in ("normal", "fast")
    assert point.voltages_v["M1.53i"] == pytest.approx(7.3, abs=0.5)


def test_a_motor_on_its_fast_brush_drives_the_slow_one_above_the_supply() -> None:
    """Fed on the fast brush it turns faster, and the idle slow brush shows more than the supply.

    Common practice, no source.
    """
    wires = "BAT.+ to M1.53i, RD 2.5 mm2, 0.5 m\nM1.31 to G1.1, BN 2.5 mm2, 0.5 m"
    point = solve(bench("M1: {kind: two-speed motor, current: 5 A}", wires))[0]
    assert point.loads["M1"] == "fast"
    assert point.voltages_v["M1.53"] > 12.5


def test_a_coil_fed_from_a_fuse_shows_system_voltage_until_grounded() -> None:
    """System voltage at the coil's far end means: not grounded yet; near 0 V: the module pulls.

    Common practice, no source.
    """
    fans = read_shelf(FANS)
    cold, warm = (solve(fans, f"key=run, coolant={c}")[0] for c in ("cold", "warm"))
    battery_v = cold.voltages_v["BAT.+"]
    assert cold.voltages_v["A1.OUT1"] == pytest.approx(battery_v, abs=0.1)
    assert warm.voltages_v["A1.OUT1"] < 0.2


def test_a_suppression_resistor_hides_an_open_coil() -> None:
    """With its coil open a relay with a resistor across it still passes system voltage to a meter.

    Common practice, no source.
    """
    fans, idle = read_shelf(FANS), "key=run, coolant=cold"
    coil = solve(fans, idle, [Open("K1.coil")])[0]
    assert coil.voltages_v["A1.OUT1"] == pytest.approx(coil.voltages_v["BAT.+"], abs=0.1)
    both = solve(fans, idle, [Open("K1.coil"), Open("K1.suppressor")])[0]
    assert both.voltages_v["A1.OUT1"] < 0.5


@pytest.mark.parametrize(("held_v", "was_on", "state"), [
    (10.0, False, "pulled"), (10.0, True, "pulled"), (5.0, True, "pulled"), (5.0, False, "released")
])  # fmt: skip
def test_a_leak_on_the_control_wire_holds_a_relay_in(
    held_v: float, was_on: bool, state: str
) -> None:
    """A control wire held at about 10 V by a leak keeps a 12 V relay in with the switch off.

    At 5 V, between drop-out and pull-in, it stays in only if the switch had pulled it before.
    Common practice, no source.
    """
    parts = """
    S1: {kind: switch, pins: [1, 2], set by: button, positions: {off: [], on: [1-2]}}
    K1: {kind: relay, contact: NO, coil: 90 ohm, pull in: 7.2 V, drop out: 3.6 V}
    R1: {kind: resistor, resistance: 10 ohm}
    """
    wires = "BAT.+ to S1.1\nS1.2 to K1.86\nK1.85 to G1.1\n"
    wires += "BAT.+ to K1.30\nK1.87 to R1.1\nR1.2 to G1.2"
    circuit = bench(parts, wires, "button: {states: [off, on], rest: off}")
    leak = Bridge("K1.86", "BAT.+", 90.0 * (12.0 / held_v - 1.0))
    point = solve(circuit, "button=off", [leak], after=[{"button": "on" if was_on else "off"}])[0]
    assert point.voltages_v["K1.86"] == pytest.approx(held_v, abs=0.1)
    assert point.states["K1"] == state


def test_contacts_in_series_need_the_first_relay() -> None:
    """The left fan's fast speed goes through K1 too: its coil open, the fan never runs fast.

    Common practice, no source.
    """
    fans = read_shelf(FANS)
    sound = solve(fans, "key=run, coolant=hot")[0]
    assert (sound.loads["M1"], sound.loads["M2"]) == ("normal", "normal")  # full supply each
    broken = solve(fans, "key=run, coolant=hot", [Open("K1.coil")])[0]
    assert (broken.loads["M1"], broken.loads["M2"]) == ("off", "normal")


def test_two_fans_in_series_run_slow() -> None:
    """In series each fan gets half the supply and turns slowly. Common practice, no source."""
    slow = solve(read_shelf(FANS), "key=run, coolant=warm")[0]
    assert (slow.loads["M1"], slow.loads["M2"]) == ("slow", "slow")
    left_v = slow.voltages_v["M1.+"] - slow.voltages_v["M1.-"]
    right_v = slow.voltages_v["M2.+"] - slow.voltages_v["M2.-"]
    assert left_v == pytest.approx(right_v, abs=0.05)


def test_one_open_fan_in_series_stops_both() -> None:
    """In series one open winding stops both fans, and the break shows system voltage before it.

    Common practice, no source.
    """
    point = solve(read_shelf(FANS), "key=run, coolant=warm", [Open("M2.winding")])[0]
    assert (point.loads["M1"], point.loads["M2"]) == ("off", "off")
    assert point.voltages_v["M2.+"] > 12.0 and point.voltages_v["M2.-"] < 0.1


def test_a_probe_through_insulation_can_miss() -> None:
    """A pin pushed through insulation can miss the strands and read 0 V on a live wire.

    Common practice, no source: every way to a place but the last has some chance of that, and
    piercing more than an open terminal.
    """
    methods = access_methods()
    assert methods["pierce"].missed > methods["open"].missed > 0.0
    assert methods["none"].missed == 1.0


def test_a_bad_ground_lifts_the_whole_load() -> None:
    """With a bad ground both sides of the lamp show volts to the body; the lamp is dim.

    Common practice, no source.
    """
    circuit = bench("L1: {kind: lamp, power: 21 W}", "BAT.+ to L1.1\nL1.2 to G1.1")
    sound = solve(circuit)[0]
    bad = solve(circuit, edits=[Open("G1.1"), Bridge("L1.2", BODY, 3.0)])[0]
    assert sound.loads["L1"] == "bright" and bad.loads["L1"] == "dim"
    assert sound.voltages_v["L1.2"] < 0.1 and bad.voltages_v["L1.2"] > 3.0


@pytest.mark.parametrize(
    ("name", "controls", "load", "branch", "dead"),
    [
        ("headlamps", "lights=head", "L1", "L1.element", "dark"),
        ("horn", "horn=pressed", "H1", "H1.element", "silent"),
    ],
)
def test_full_voltage_on_a_broken_element_does_nothing(
    name: str, controls: str, load: str, branch: str, dead: str
) -> None:
    """A bulb with full voltage on both pins and no light is broken inside.

    Common practice, no source.
    """
    healthy, broken = (
        solve(read_shelf(name), controls, edits)[0] for edits in ((), [Open(branch)])
    )
    assert healthy.loads[load] != dead
    assert broken.loads[load] == dead
    assert broken.voltages_v[f"{load}.1"] - broken.voltages_v[f"{load}.2"] > 11.0


def test_two_places_of_a_floating_piece_hold_a_meter() -> None:
    """A circuit whose ground is off floats as a whole, and a meter across its battery is steady."""
    horn = read_shelf("horn")
    ground = next(p.id for p in horn.parts_of_kind("ground") if "BAT" in str(horn.segments))
    point = solve(horn, "horn=free", [Open(f"{ground}.stud")])[0]
    assert point.solution is not None
    assert source_between_ohm(point.solution, "BAT.+", "BAT.-") < 1.0
