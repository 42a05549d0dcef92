"""Sensors, potentiometers and ladder switches on a module's inputs."""

import pytest

from loomwise.circuit.ntc import ntc_resistance_ohm
from loomwise.edits import AddOhm, Bridge, Hold, Open
from loomwise.faults import enumerate_faults
from tests.contract.examples import example
from tests.solver.bench import solve

NTC_SOURCE = "https://fm-workbench.kohbwoo.workers.dev/tools/ntc-thermistor-calculator"


@pytest.mark.parametrize(
    ("celsius", "kilohm", "half_digit"),
    [(0, 33.62, 0.005), (25, 10.00, 0.005), (50, 3.59, 0.005), (85, 1.09, 0.005)],
)
def test_published_ntc(celsius: float, kilohm: float, half_digit: float) -> None:
    """10 kohm and B = 3950 K give the published table to every printed digit (``NTC_SOURCE``)."""
    assert ntc_resistance_ohm(celsius, 10e3, 3950) / 1e3 == pytest.approx(kilohm, abs=half_digit)


@pytest.mark.parametrize(("coolant", "volts"), [("cold", 3.854), ("warm", 0.490)])
def test_ntc_on_a_pulled_up_input(coolant: str, volts: float) -> None:
    """With 10 kohm to 5 V the input reads what the divider gives: 3.854 V at 0 °C, 0.490 V at
    85 °C (computed from the published resistances)."""
    point = solve(example("sensors"), f"coolant={coolant}")[0]
    assert point.voltages_v["N1.1"] - point.voltages_v["A1.31"] == pytest.approx(volts, abs=0.004)


def test_sensor_open_and_shorted() -> None:
    """Open, the input goes to 5 V; shorted, to nothing: both outside 0.5 to 4.5 V (from memory)."""
    circuit = example("sensors")
    faults = {f.id: f for f in enumerate_faults(circuit, {})}
    assert solve(circuit, "", faults["N1 open"].edits)[0].voltages_v["N1.1"] > 4.9
    assert solve(circuit, "", faults["N1 short"].edits)[0].voltages_v["N1.1"] < 0.1


@pytest.mark.parametrize(("pedal", "share"), [("up", 0.15), ("down", 0.80)])
def test_potentiometer_divides_its_supply(pedal: str, share: float) -> None:
    """The signal is the wiper's share of the 5 V, a little less with the input's own load."""
    point = solve(example("sensors"), f"pedal={pedal}")[0]
    assert point.voltages_v["P1.S"] / 5.0 == pytest.approx(share, abs=0.02)


def test_a_worn_spot_is_seen_only_where_the_wiper_stands_on_it() -> None:
    """Worn at rest, the pedal reads nothing there and right when pressed."""
    circuit = example("sensors")
    worn = next(f for f in enumerate_faults(circuit, {}) if f.id == "P1.up worn spot")
    assert solve(circuit, "pedal=up", worn.edits)[0].voltages_v["P1.S"] < 0.7
    assert solve(circuit, "pedal=down", worn.edits)[0].voltages_v["P1.S"] > 3.5


def test_open_track() -> None:
    """The lower track open, the wiper shows the whole supply; the upper one, nothing."""
    circuit = example("sensors")
    faults = {f.id: f for f in enumerate_faults(circuit, {})}
    for word, low, high in (("lower", 4.7, 5.1), ("upper", -0.1, 0.1)):
        point = solve(circuit, "", faults[f"P1.{word} track open"].edits)[0]
        assert low < point.voltages_v["P1.S"] < high


def test_ladder_switch_bands() -> None:
    """Each position of a stalk is a band of the input; 300 ohm in its plug may be another one."""
    circuit = example("sensors")
    assert solve(circuit, "stalk=off")[0].live_data["A1.I2"] == "high"
    assert solve(circuit, "stalk=on")[0].live_data["A1.I2"] == "low"
    bad = solve(circuit, "stalk=on", [AddOhm("A1.I2-S1.1", 3000.0)])[0]
    assert bad.live_data["A1.I2"] == "high"


def test_a_stuck_ladder_switch() -> None:
    """Stuck in a position, the module reads that position whatever the hand does."""
    stuck = solve(example("sensors"), "stalk=off", [Hold("S1", "on")])[0]
    assert stuck.live_data["A1.I2"] == "low"


def test_sensor_supply_gives_up_on_a_short_and_takes_nothing_back() -> None:
    """Shorted to ground a 5 V supply falls to its limit, and all that hang on it read wrong;
    shorted to battery it goes up with it: it can give, not swallow."""
    circuit = example("sensors")
    short = solve(circuit, "pedal=down", [Bridge("P1.+", "body", 1.0)])[0]
    assert short.voltages_v["A1.V5"] == pytest.approx(0.1, abs=0.02)
    assert short.voltages_v["P1.S"] < 0.1
    up = solve(circuit, "", [Bridge("P1.+", "BAT.+", 1.0)])[0]
    assert up.voltages_v["A1.V5"] > 11.5
    assert solve(circuit)[0].voltages_v["A1.V5"] == pytest.approx(5.0, abs=0.1)


def test_a_dead_module_gives_no_sensor_supply() -> None:
    """Its own feed off, a module's 5 V is gone too."""
    point = solve(example("sensors"), "", [Open("BAT.+-A1.30")])[0]
    assert point.voltages_v["A1.V5"] < 0.1
    assert point.live_data["A1"] == "no answer"
