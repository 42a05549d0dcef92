"""Outputs of modules: half-bridges, pulses, bias, trips."""

import pytest

from loomwise.edits import Bridge, Open
from loomwise.solver.engines import Direct
from loomwise.solver.operate import Plant, operate
from loomwise.solver.result import plant_of, start_state
from loomwise.solver.rows import prepared
from tests.contract.examples import example
from tests.solver.bench import bench, solve


def test_half_bridges_at_rest_hold_both_ends_low() -> None:
    """A window motor at rest has both ends at ground, which brakes it; a module without feed lets
    go of them."""
    point = solve(example("outputs"))[0]
    assert point.voltages_v["M1.1"] == pytest.approx(0.0, abs=0.05)
    assert "M1.1" not in point.floating
    dead = solve(example("outputs"), "", [Open("BAT.+-A1.30")])[0]
    assert dead.states["A1.O1"] == "asleep"
    assert "M1.1" in dead.floating


@pytest.mark.parametrize(("place", "controls", "share"), [("A1.PH", "A1.PH=on", 0.40),
                                                          ("A1.PL", "A1.PL=on", 0.75)])  # fmt: skip
def test_a_meter_shows_the_mean_of_pulses(place: str, controls: str, share: float) -> None:
    """40 % on from the high side reads 40 % of the supply; 25 % on to ground leaves 75 %."""
    point = solve(example("outputs"), controls)[0]
    assert point.voltages_v[place] / point.voltages_v["A1.30"] == pytest.approx(share, abs=0.02)


def test_pulsed_feed_takes_what_the_load_gets() -> None:
    """The mean watts that a pulsed output draws from its feed are those of the load and a little
    for the driver."""
    idle, on = (solve(example("outputs"), f"A1.PH={s}")[0] for s in ("off", "on"))
    amps = on.currents_a["BAT.+-A1.30"] - idle.currents_a["BAT.+-A1.30"]
    assert amps * on.voltages_v["A1.30"] == pytest.approx(on.powers_w["L1"], rel=0.05)


def test_a_pulsed_low_side_output_lets_go_of_an_open_load() -> None:
    """With its load off, it can only pull down: what is left is the bias, pulled low a quarter of
    the time."""
    point = solve(example("outputs"), "A1.PL=on", [Open("H1.2-A1.PL")])[0]
    assert point.voltages_v["A1.PL"] < 9.5


def test_an_idle_output_is_biased() -> None:
    """Off and unplugged, a module's own bias stands on the pin, as 10 V through 22 kohm; the load
    takes it down to nothing."""
    assert solve(example("outputs"))[0].voltages_v["A1.OH"] < 0.1
    unplugged = solve(example("outputs"), "", [Open("A1.OH-H2.1")])[0]
    assert unplugged.voltages_v["A1.OH"] == pytest.approx(10.0, abs=0.2)


def test_an_electronic_trip_stays_until_the_output_was_off() -> None:
    """Tripped by a short it stays off when the short is gone, and works again after off and on."""
    circuit, short = example("outputs"), [Bridge("H2.1", "body", 0.2)]
    assert solve(circuit, "A1.OH=on")[0].loads["H2"] == "hot"
    tripped = solve(circuit, "A1.OH=on", short)[0]
    assert tripped.states["A1.OH.trip"] == "tripped"
    assert tripped.loads["H2"] == "cold"
    assert tripped.fuses == ()
    again = solve(circuit, "A1.OH=on", after=[{"A1.OH": "on"}, {"A1.OH": "off"}])[0]
    assert again.states["A1.OH.trip"] == "sound"


def test_a_trip_holds_while_the_key_stays() -> None:
    """The latch is kept from one setup to the next as long as the output is asked for."""

    circuit = example("outputs")
    plant = plant_of(circuit)
    start = start_state(plant.net, {"A1.OH": "on"})
    net, rows = prepared(plant.net, start, [(Bridge("H2.1", "body", 0.2),), ()])
    first = operate(Plant(net, plant.brains), rows, Direct()).state
    later = rows.starting(first[[0, 0]])
    state = operate(Plant(net, plant.brains), later, Direct()).state
    assert state[1, net.device_index["A1.OH.trip"]] == 1


def test_all_ground_pins_of_a_module_are_one() -> None:
    """A sensor on the module's second ground pin works as if it hung on the first."""
    pins = (
        "{30: {role: supply}, 31: {role: ground}, SG: {role: ground}, "
        "T: {role: input, pull: up, to: 5 V, resistance: 1 kohm}}"
    )
    circuit = bench(
        f"A1: {{kind: module, pins: {pins}}}\nR1: {{kind: resistor, resistance: 1 kohm}}",
        "BAT.+ to A1.30\nA1.31 to G1.1\nA1.T to R1.1\nR1.2 to A1.SG",
    )
    assert solve(circuit)[0].voltages_v["A1.T"] == pytest.approx(2.5, abs=0.01)
