"""Blocks of a whole vehicle, as an electrician knows them: what comes once, what moves what."""

import re
from functools import cache
from pathlib import Path

import pytest

from loomwise.circuit.kinds.tables import kinds, sockets
from loomwise.circuit.model import Circuit
from loomwise.circuit.reader import read_circuit
from loomwise.faults import enumerate_faults
from loomwise.generate import generate_circuit
from loomwise.generate.words import SOCKETS
from loomwise.setups import make_setup
from loomwise.solver.result import OperatingPoint, plant_of, solve_states
from tests.generate.setups import everything_on, rest_of
from tests.reference.agreement import largest_gap
from tests.reference.shelf_cases import drawn_faults

SEEDS = range(40)
HOLD_ALL = (2, 72, 159, 166)
"""Circuits of 60 parts that together hold every kind of part."""


@cache
def _with(words: str) -> Circuit:
    """The first invented vehicle of 150 parts whose file has these words."""
    texts = (generate_circuit(150, seed) for seed in SEEDS)
    return read_circuit(next(text for text in texts if words in text), "invented")


def _solved(circuit: Circuit, **moved: str) -> OperatingPoint:
    """With these controls moved; an underscore stands for a blank."""
    states = {name.replace("_", " "): state for name, state in moved.items()}
    return solve_states(circuit, plant_of(circuit), rest_of(circuit) | states)[0]


def _only(circuit: Circuit, kind: str) -> str:
    (part,) = circuit.parts_of_kind(kind)
    return part.id


def _motor_of(circuit: Circuit, part: str) -> str:
    """The motor in the same unit."""
    unit = circuit.parts[part].unit
    return next(p.id for p in circuit.parts.values() if p.unit == unit and "motor" in p.kind)


@pytest.mark.parametrize("seed", range(6))
def test_a_vehicle_has_one_of_each(seed: int) -> None:
    """One generator, one starter, one flasher, and a CAN pair that ends in two resistors."""
    text = generate_circuit(150, seed)
    for kind in ("charging source", "starter solenoid", "flasher", "equaliser", "park switch"):
        assert text.count(f"kind: {kind}") <= 1
    assert text.count("terminator: 120 ohm") in (0, 2)


def test_the_charge_lamp_goes_out() -> None:
    """Key on, the lamp is lit; with the engine running it is dark and the battery is charged."""
    circuit = _with("kind: charging source")
    lamp = next(p.id for p in circuit.parts_of_kind("lamp") if p.unit == "instruments")
    assert _solved(circuit, key="run").loads[lamp] == "bright"
    running = _solved(circuit, key="run", engine="running")
    assert running.loads[lamp] == "dark" and running.currents_a["BAT.cell"] > 1.0


def test_the_second_battery_is_joined_while_charged() -> None:
    """The split-charge relay pulls with the engine running, and parts when it stands."""
    circuit = _with("kind: split-charge relay")
    relay = _only(circuit, "split-charge relay")
    assert _solved(circuit).states[relay] == "released"
    assert _solved(circuit, engine="running").states[relay] == "pulled"


def test_the_starter_needs_the_key() -> None:
    """The start button turns the engine with the key on, and does nothing with it off."""
    circuit = _with("kind: starter solenoid")
    motor = _motor_of(circuit, _only(circuit, "starter solenoid"))
    assert _solved(circuit, start_button="pressed").loads[motor] == "off"
    assert _solved(circuit, start_button="pressed", key="run").loads[motor] == "normal"


def test_the_wiper_runs_on_until_it_is_parked() -> None:
    """Switched off on its way, it goes on slowly; parked, it stands."""
    circuit = _with("kind: park switch")
    motor = _motor_of(circuit, _only(circuit, "park switch"))
    assert _solved(circuit, key="run", wiper_arm="moving").loads[motor] == "normal"
    assert _solved(circuit, key="run").loads[motor] == "off"


def test_the_tap_stays_at_half() -> None:
    """In a 24 V vehicle the 12 V lamp works, and both batteries bear it alike."""
    circuit = _with("kind: equaliser")
    tap, whole = (_solved(circuit).voltages_v[post] for post in ("BAT.+", "BAT2.+"))
    assert circuit.supply_v == 24 and abs(tap - whole / 2) < 0.1


@pytest.mark.parametrize("supply_v", [12, 24])
def test_trailer_contacts_are_those_of_the_table(supply_v: int) -> None:
    """Each lamp of a trailer hangs on the contact that its socket has for it."""
    standard, contacts = SOCKETS[supply_v]
    table = {(pin.terminal, pin.pin) for pin in sockets()[standard]}
    assert {(terminal, str(contact)) for terminal, contact in contacts.items()} <= table


def test_a_trailer_hangs_on_its_socket() -> None:
    """Every wire to the trailer goes by a contact of its own, the ground by the ground's."""
    circuit = _with("standard: ISO 1724")
    used = re.findall(r"X1\.(\d+)", circuit.text)
    assert len(used) == len(set(used)) >= 4
    assert re.search(r"- SP\d+\.\d+ to X1\.3 to G\d+\.\d+, BN", circuit.text)


@pytest.mark.ngspice
@pytest.mark.parametrize("seed", HOLD_ALL)
def test_ngspice_agrees(seed: int, ngspice_path: str, tmp_path: Path) -> None:
    """Healthy and with ten faults, key on and all on, both programs give the same volts."""
    circuit = read_circuit(generate_circuit(60, seed), "invented")
    branches = plant_of(circuit).net.branches
    faults = drawn_faults(enumerate_faults(circuit, {b.id: 1.0 for b in branches}), 10, seed)
    edits = [(), *(f.edits for f in faults)]
    for states in (rest_of(circuit) | {"key": "run"}, everything_on(circuit)):
        gap = largest_gap(circuit, make_setup(circuit, states), edits, ngspice_path, tmp_path)
        label = ["healthy", *(f.id for f in faults)][gap.variant]
        assert gap.share <= 1.0, f"{label} at {gap.place}: {gap.volts} V"


def test_those_compared_hold_every_kind() -> None:
    """The circuits compared with ngspice together hold every kind of part."""
    text = "".join(generate_circuit(60, seed) for seed in HOLD_ALL)
    assert not [kind for kind in kinds() if f"kind: {kind}" not in text]
