"""What is undone or put on for a reading, beyond fuses out and plugs apart."""

import pytest

from loomwise.circuit.model import Circuit
from loomwise.diagnosis.ranking import Ranking
from loomwise.edits import AddOhm, Bridge, Edit, Hold, Open
from loomwise.errors import SetupError
from loomwise.evidence import Sign
from loomwise.setups import parse_setup, parse_undoing, with_new_fuses
from loomwise.shelf import read_shelf
from tests.contract.examples import example
from tests.diagnosis.experts import horn_expert, pressed, rank
from tests.solver.bench import bench, solve

LAMP = """
F1: {kind: fuse, rating: 10 A}
L1: {kind: lamp, power: 21 W}
"""
WIRES = "BAT.+ to F1.1\nF1.2 to L1.1\nL1.2 to G1.1"


def _lamp() -> Circuit:
    return bench(LAMP, WIRES)


@pytest.mark.parametrize(("short_ohm", "word"), [(0.05, "dark"), (None, "dim")])
def test_a_lamp_in_place_of_a_fuse(short_ohm: float | None, word: str) -> None:
    """The short-finder: 21 W in place of the fuse burns full on a short, and shares its light with
    the load where there is none."""
    edits: list[Edit] = [Bridge("L1.1", "body", short_ohm)] if short_ohm else []
    point = solve(_lamp(), "", edits, undone=["F1 out", "lamp F1.1 to F1.2"])[0]
    assert point.loads["L1"] == word
    left_v = point.voltages_v["F1.1"] - point.voltages_v["F1.2"]
    assert left_v > 11.0 if short_ohm else left_v < 8.0


def test_a_lamp_as_load_finds_a_bad_feed() -> None:
    """A feed through 10 ohm shows full volts open, and breaks down under a bulb."""
    bad, off = [Bridge("F1.1", "F1.2", 10.0), Hold("F1", "blown")], ["L1 unplugged"]
    assert solve(_lamp(), "", bad, undone=off)[0].voltages_v["F1.2"] > 11.9
    loaded = solve(_lamp(), "", bad, undone=[*off, "lamp F1.2 to BAT.-"])[0]
    assert loaded.voltages_v["F1.2"] < 8.0


def test_a_bulb_unplugged_takes_nothing() -> None:
    """With the bulb out, no current flows and its feed stands at the supply."""
    point = solve(_lamp(), "", undone=["L1 unplugged"])[0]
    assert abs(point.currents_a["L1.element"]) < 1e-6
    assert point.voltages_v["F1.2"] == pytest.approx(12.0, abs=0.01)


def test_a_module_unplugged_does_not_answer() -> None:
    """Its plug off, a module has no feed and its sensors none of its 5 V."""
    point = solve(example("sensors"), undone=["A1 unplugged"])[0]
    assert point.live_data["A1"] == "no answer"
    assert point.voltages_v["P1.+"] < 0.1


def test_ground_off_its_stud() -> None:
    """A ground point off its stud leaves what hangs on it live."""
    circuit = example("starting and charging")
    point = solve(circuit, "key=start", undone=["G2 off"])[0]
    assert point.states["K1"] in ("released", "pulled")
    assert solve(_lamp(), "", undone=["BAT.+-F1.1 cut"])[0].loads["L1"] == "dark"


@pytest.mark.parametrize("words", ["jumper BAT.+ to A1.P", "jumper P1.S to BAT.+"])
def test_no_powered_lead_on_a_module(words: str) -> None:
    """Battery on a wire that a module listens to is refused, with the reason."""
    with pytest.raises(SetupError, match=r"reaches module pin A1\.P and may destroy it"):
        parse_undoing(example("sensors"), words)


def test_a_swapped_relay_is_a_good_one() -> None:
    """Swapped with a like one, what was wrong inside the relay is gone; what was fitted beside it
    and what is wrong with its wires is not."""
    inside: list[Edit] = [Open("K1.coil"), Hold("K1", "released"), AddOhm("K1.make", 2.0)]
    beside: list[Edit] = [Bridge("K1.30", "K1.87", 0.02), Open("K1.87-C1.3.a")]
    assert with_new_fuses([*inside, *beside], {"K1"}) == tuple(beside)
    circuit = read_shelf("horn")
    assert str(parse_undoing(circuit, "K1 swapped")) == "K1 swapped"


def _silent_but(undone: str) -> Ranking:
    sounding = parse_setup(horn_expert().circuit, "horn=pressed", [undone])
    silent = Sign("s1", pressed(), "H1", "silent", "yes")
    return rank(horn_expert(), silent, Sign("s2", sounding, "H1", "sounds", "yes"))


def test_a_swap_that_helps_convicts_the_relay() -> None:
    """Silent before, sounding with another relay: the relay it was."""
    leader = _silent_but("K1 swapped").suspects[0].fault
    assert leader.unit == "K1"


def test_a_jumper_that_helps_clears_what_lies_beyond() -> None:
    """The horn sounds with its fuse bridged: the fuse or its holder, nothing beyond."""
    ranking = _silent_but("jumper F4.1 to F4.2")
    assert ranking.suspects[0].fault.where.startswith("F4")
