"""Devices that switch: relays with a memory, chatter, fuses, motors, modules."""

import numpy as np
import pytest

from loomwise.circuit.model import BODY, Circuit
from loomwise.edits import AddOhm, Bridge, Edit, Hold, Limit, Open, SetEmf
from loomwise.errors import SolveError
from loomwise.shelf import read_shelf
from loomwise.solver.engines import Direct
from loomwise.solver.operate import operate
from tests.solver.bench import bench, brought_to_rest, solve, state_of

RELAY = """
R1: {kind: resistor, resistance: 10 ohm}
S1: {kind: switch, pins: [1, 2], set by: button, positions: {off: [], on: [1-2]}}
K1: {kind: relay, contact: NO, coil: 90 ohm, pull in: 7.2 V, drop out: 3.6 V}
"""
FED = """
BAT.+ to S1.1
S1.2 to K1.86
K1.85 to G1.1
BAT.+ to K1.30
K1.87 to R1.1
R1.2 to G1.2
"""
BUTTON = "button: {states: [off, on], rest: off}"


def _relay_circuit(emf_v: float = 12.0) -> Circuit:
    return bench(RELAY, FED, BUTTON, emf_v=emf_v)


def test_relay_follows_its_coil() -> None:
    """Button on, the relay pulls; button off, it lets go."""
    circuit = _relay_circuit()
    assert solve(circuit, "button=on")[0].states["K1"] == "pulled"
    assert solve(circuit)[0].states["K1"] == "released"


def test_between_drop_out_and_pull_in_a_relay_stays_as_it_was() -> None:
    """At 5 V a 12 V relay stays pulled if it was, and does not pull if it was not."""
    circuit = _relay_circuit()
    weak = AddOhm("S1.1-2", 90.0 * (12.0 / 5.0 - 1.0))
    helped = Bridge("S1.2", "BAT.+", 0.1)
    plant, _, at = brought_to_rest(circuit, {"button": "on"}, [(weak,), (weak, helped)])
    assert [state_of(plant, at, "K1", r) for r in (0, 1)] == ["released", "pulled"]
    both = solve(circuit, "button=on", [weak])
    assert [p.states["K1"] for p in both] == ["released", "pulled"]
    assert [p.weight for p in both] == [0.8, 0.2]
    assert both[0].weight + both[1].weight == 1.0


def test_history_decides_between_two_stable_states() -> None:
    """With a bypass that alone gives 5 V the relay, once pulled by the button, stays in."""
    bypass = Bridge("S1.1", "S1.2", 90.0 * (12.0 / 5.0 - 1.0))
    circuit = _relay_circuit()
    after = solve(circuit, "button=off", [bypass], after=[{"button": "on"}])
    assert [p.states["K1"] for p in after] == ["pulled"]
    never = solve(circuit, "button=off", [bypass], after=[{"button": "off"}])
    assert [p.states["K1"] for p in never] == ["released"]


def test_a_relay_without_a_drop_out_stays_in_at_no_current_at_all() -> None:
    """With the battery dead flat a pulled relay lets go, and one that sticks does not."""
    flat = SetEmf("BAT.cell", 0.0)
    plant, rows, _ = brought_to_rest(_relay_circuit(), {}, [(flat,), (flat, Limit("K1", 1, 0.0))])
    pulled = rows.start.copy()
    pulled[:, plant.net.device_index["K1"]] = 1
    at = operate(plant, rows.starting(pulled), Direct())
    assert [state_of(plant, at, "K1", r) for r in (0, 1)] == ["released", "pulled"]


def test_a_relay_that_cuts_its_own_coil_feed_chatters() -> None:
    """Coil fed through its own break contact: it buzzes, and the place swings between two volts."""
    parts = "K1: {kind: relay, contact: NC}"
    buzzer = bench(parts, "BAT.+ to K1.30\nK1.87a to K1.86\nK1.85 to G1.1")
    point = solve(buzzer)[0]
    assert point.chatter == ("K1",)
    low, high = point.band_v["K1.86"]
    assert low < 0.1 and high > 11.9
    assert low < point.voltages_v["K1.86"] < high


def test_a_quiet_circuit_has_no_band() -> None:
    """Where nothing chatters there is one voltage, not a range."""
    point = solve(_relay_circuit(), "button=on")[0]
    assert point.chatter == () and point.band_v == {}


FUSED = """
F1: {kind: fuse, rating: 10 A}
R1: {kind: resistor, resistance: 2 ohm}
"""
FUSED_WIRES = "BAT.+ to F1.1, RD 2.5 mm2, 1 m\nF1.2 to R1.1, RD 1.5 mm2, 1 m\nR1.2 to G1.1"


def test_a_short_blows_the_fuse_within_the_published_time() -> None:
    """A short behind a 10 A fuse opens it in a tenth of a second at most.

    At six times the rating: ISO 8820-3 as quoted in relay data sheet V23134-F4,
    http://www.datasheetandpdf.com/EN/TEC/1/V23134-F4.htm
    """
    point = solve(bench(FUSED, FUSED_WIRES), edits=[Bridge("R1.1", BODY, 0.03)])[0]
    (event,) = point.fuses
    assert (event.fuse, point.states["F1"]) == ("F1", "blown")
    assert event.current_a > 6 * event.rating_a
    assert event.within_s == pytest.approx(0.1)
    assert abs(point.currents_a["F1.link"]) < 1e-6


@pytest.mark.parametrize(("multiple", "within_s"), [(2.0, 5.0), (3.5, 0.5)])
def test_the_time_limit_follows_the_overload(multiple: float, within_s: float) -> None:
    """Twice the rating: 5 s at most; three and a half times: half a second (same source)."""
    circuit = bench(FUSED, FUSED_WIRES)
    whole = solve(circuit, edits=[Hold("F1", "intact")])[0].currents_a["F1.link"]
    emf_v = 12.0 * 10 * multiple / whole
    (event,) = solve(circuit, edits=[SetEmf("BAT.cell", emf_v)])[0].fuses
    assert event.current_a == pytest.approx(10 * multiple)
    assert event.within_s == pytest.approx(within_s)


def test_a_fuse_holds_a_little_over_its_rating() -> None:
    """At 110 % of its rating a fuse does not open in ordinary use."""
    parts = FUSED.replace("2 ohm", f"{12 / 11:.4f} ohm")
    point = solve(bench(parts, FUSED_WIRES))[0]
    assert point.states["F1"] == "intact" and point.fuses == ()


def test_the_weakest_of_two_fuses_in_line_goes_alone() -> None:
    """A short behind a 40 A and a 10 A fuse takes the 10 A one; the other survives."""
    parts = "F1: {kind: fuse, rating: 40 A}\n" + FUSED.replace("F1", "F2")
    wires = "BAT.+ to F1.1\nF1.2 to F2.1\nF2.2 to R1.1\nR1.2 to G1.1"
    point = solve(bench(parts, wires), edits=[Bridge("R1.1", BODY, 0.03)])[0]
    assert (point.states["F1"], point.states["F2"]) == ("intact", "blown")


def test_a_new_fuse_on_a_short_blows_again() -> None:
    """A fuse held blown has no event of its own: it did not open now."""
    point = solve(bench(FUSED, FUSED_WIRES), edits=[Hold("F1", "blown")])[0]
    assert point.states["F1"] == "blown" and point.fuses == ()


def test_an_unfused_short_across_the_battery_is_refused() -> None:
    """Both posts joined: no current that a vehicle could give solves it, and it says so."""
    with pytest.raises(SolveError, match="BAT is shorted"):
        solve(bench(FUSED, FUSED_WIRES), edits=[Bridge("BAT.+", "BAT.-", 1e-4)])


def test_a_cut_off_wire_is_reported_floating() -> None:
    """A wire with both ends free shows no trustworthy 0 V; a grounded one does."""
    cut = solve(bench(FUSED, FUSED_WIRES), edits=[Open("F1.link"), Open("R1.element")])[0]
    assert "R1.1" in cut.floating and "F1.2" in cut.floating
    assert not cut.floating & {"R1.2", "BAT.+", "F1.1", "G1.1"}
    sound = solve(bench(FUSED, FUSED_WIRES))[0]
    assert sound.floating == frozenset()


MOTOR = "M1: {kind: motor, current: 10 A}"
MOTOR_WIRES = "BAT.+ to M1.+\nM1.- to G1.1"


@pytest.mark.parametrize(
    ("emf_v", "state"), [(12.0, "forward"), (-12.0, "reverse"), (0.1, "stalled")]
)
def test_motor_turns_as_it_is_fed(emf_v: float, state: str) -> None:
    """Polarity gives the direction; too little to beat friction leaves it standing."""
    point = solve(bench(MOTOR, MOTOR_WIRES), edits=[SetEmf("BAT.cell", emf_v)])[0]
    assert point.states["M1"] == state


def test_a_seized_motor_takes_its_standstill_current() -> None:
    """A seized motor is just its winding: seven times the running current by default."""
    running, seized = (solve(bench(MOTOR, MOTOR_WIRES), edits=e)[0]
                       for e in ([], [Hold("M1", "stalled")]))  # fmt: skip
    assert seized.loads["M1"] == "off"
    amps = [abs(p.currents_a["M1.winding"]) for p in (running, seized)]
    assert 5.0 < amps[1] / amps[0] < 7.5


def test_a_dead_module_drives_nothing() -> None:
    """Without its supply the fan module lets go of every relay and answers nothing."""
    fans, hot = read_shelf("radiator-fans"), "key=run, coolant=hot"
    assert {solve(fans, hot)[0].states[k] for k in ("K1", "K2", "K3")} == {"pulled"}
    dead = solve(fans, hot, [Open("C5.1")])[0]
    assert {dead.states[k] for k in ("K1", "K2", "K3")} == {"released"}
    assert dead.live_data["A1"] == "no answer"


def test_order_of_rows_does_not_matter() -> None:
    """Each variant comes to rest on its own, whatever stands beside it."""
    circuit = _relay_circuit()
    edits: list[tuple[Edit, ...]] = [
        (), (Open("K1.coil"),), (SetEmf("BAT.cell", 5.0),), (Hold("K1", "pulled"),)
    ]  # fmt: skip
    one, other = (brought_to_rest(circuit, {"button": "on"}, e)[2] for e in (edits, edits[::-1]))
    assert (one.state == other.state[::-1]).all()
    assert np.allclose(one.v, other.v[::-1], atol=1e-9)
