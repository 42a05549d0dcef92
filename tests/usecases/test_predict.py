"""Predictions with an instrument in the circuit."""

import pytest

from loomwise.errors import EvidenceError, InputError, SetupError
from loomwise.shelf import read_shelf
from loomwise.usecases.faults_of import list_faults
from loomwise.usecases.predict import Prediction, Question, predict

SLOW = "key=run, AC=on"


def shown(at: str, instrument: str = "voltmeter", *undo: str, fault: str = "") -> Prediction:
    """The fan circuit asked to run slowly."""
    faults = (fault,) if fault else ()
    question = Question(SLOW, undo, (), faults, at, instrument)
    return predict(read_shelf("radiator-fans"), question)


def value(answer: Prediction) -> float:
    """What the instrument shows."""
    instrument = answer.states[0].instrument
    assert instrument is not None and instrument.value is not None
    return instrument.value


def text(answer: Prediction) -> str:
    """What the instrument shows, in words."""
    instrument = answer.states[0].instrument
    assert instrument is not None
    return instrument.text


def test_fans_in_series_share_the_supply() -> None:
    """Between two like fans in series stands half the supply."""
    whole, half = value(shown("C1.1.b,C4.2.a")), value(shown("C3.2.b,C4.2.b"))
    assert half / whole == pytest.approx(0.5, abs=0.02)


def test_swapped_tips_change_the_sign() -> None:
    """Red and black exchanged, a meter shows the same with a minus."""
    assert value(shown("C1.2.a,BAT.-")) == pytest.approx(-value(shown("BAT.-,C1.2.a")), rel=1e-6)


def test_a_clamp_sees_one_current_in_a_series_path() -> None:
    """The same amps flow in every wire of a series path."""
    amps = [value(shown(wire, "clamp")) for wire in ("C1.1", "C3.2", "C4.1", "C4.2")]
    assert [abs(a) for a in amps] == pytest.approx([abs(amps[0])] * 4, rel=1e-4)


def test_a_test_lamp_loads_what_a_meter_does_not() -> None:
    """Behind corrosion a meter shows full voltage at an open plug, but a lamp stays dark."""
    listed = list_faults(read_shelf("radiator-fans")).faults
    corroded = next(f for f in listed if f.name == "C2.2 resistance")
    worst = corroded.variants[-1]
    assert value(shown("C5.1.a", "voltmeter", "C5 apart", fault=worst)) > 10
    assert text(shown("C5.1.a", "test-lamp", "C5 apart", fault=worst)) == "dark"
    assert text(shown("C5.1.a", "test-lamp", "C5 apart")) == "bright"


def test_an_ohmmeter_on_a_bridged_path() -> None:
    """With the supply off a winding reads its ohms, and an open path reads OL."""
    assert 0.01 < value(shown("M1.+,M1.-", "ohmmeter", "BAT off")) < 1
    open_ = shown("C1.1.b,C4.1.a", "ohmmeter", "BAT off", "C1 apart", "C3 apart", "C4 apart")
    assert text(open_) == "OL (open)"


def test_an_ohmmeter_needs_the_supply_off() -> None:
    """An ohmmeter on a live circuit shows nonsense, so it is refused with what to do."""
    with pytest.raises(EvidenceError, match="BAT off"):
        shown("M1.+,M1.-", "ohmmeter")


def test_a_floating_place() -> None:
    """A wire that hangs free has no voltage of its own: a meter there wanders."""
    assert text(shown("C1.1.b", "voltmeter", "C1 apart", "C3 apart")) == "floating: a meter wanders"


@pytest.mark.parametrize(
    ("at", "instrument", "error"),
    [
        ("C1.2.a,", "voltmetre", "no instrument"),
        ("C9.2.a", "voltmeter", "no place"),
        ("C1.2.a,C1.2.a", "voltmeter", "both tips"),
        ("C1.2.a,C1.3.a,G1.1", "voltmeter", "one or two places"),
        ("C1.2.a", "clamp", "no conductor"),
    ],
)
def test_wrong_places_and_instruments(at: str, instrument: str, error: str) -> None:
    """What cannot be asked is refused with what could."""
    with pytest.raises(EvidenceError, match=error):
        shown(at, instrument)


def test_wrong_setups_and_faults() -> None:
    """A soldered relay stays in, and an unknown fault is not solved."""
    with pytest.raises(SetupError, match="soldered"):
        shown("", "voltmeter", "K1 out")
    with pytest.raises(InputError, match="there is no fault"):
        shown("", fault="K9 open")


def test_two_faults_at_once() -> None:
    """Two faults can be put in together."""
    question = Question(SLOW, faults=("F1 blown", "F2 blown"))
    states = predict(read_shelf("radiator-fans"), question).states[0].devices
    assert (states["F1"], states["F2"], states["F3"]) == ("blown", "blown", "intact")
