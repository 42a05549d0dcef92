"""The test sheet agrees with solving each setup, and says what floats."""

import pytest

from loomwise.errors import InputError
from loomwise.usecases.predict import Question
from loomwise.usecases.sheet import sheet_source
from loomwise.usecases.sources import predict_source


def test_a_sheet_says_what_predict_says_with_the_meter_in() -> None:
    """Each value is what a voltmeter shows when it is put there in that setup."""
    sheet = sheet_source("radiator-fans", ["key=run, AC=on", "key=run, coolant=hot"])
    words = "key=run, AC=on", "key=run, coolant=hot"
    for place in ("C1.1.a", "C1.2.a", "C1.3.a", "C6.1.a", "C7.1.a"):
        row = next(r for r in sheet.rows if r.place == place)
        for setup, expected in zip(words, row.expected, strict=True):
            (state, *_) = predict_source("radiator-fans", Question(setup, at=place)).states
            assert state.instrument is not None and state.instrument.value is not None
            assert expected.voltage_v == pytest.approx(state.instrument.value, abs=2e-3)
            assert expected.floating == state.instrument.floating


def test_a_place_that_nothing_holds_floats() -> None:
    """With the horn free and its relay's contact open, the feed wire hangs on the horn: 0 V; with
    the horn's plug apart it floats."""
    free = next(r for r in sheet_source("horn").rows if r.place == "C1.3.b")
    assert not free.expected[0].floating and abs(free.expected[0].voltage_v) < 0.001
    apart = sheet_source("horn", [""], ["C3 apart"])
    assert next(r for r in apart.rows if r.place == "C1.3.b").expected[0].floating


def test_only_places_a_probe_can_reach_are_on_it() -> None:
    """The inside of a sealed unit is not on a sheet for the bench."""
    places = {r.place for r in sheet_source("radiator-fans").rows}
    assert "K1.30" not in places and "C1.1.a" in places


def test_without_setups_named_each_thing_the_circuit_does_has_one() -> None:
    """Rest first, and every behaviour of the loads somewhere."""
    sheet = sheet_source("radiator-fans")
    assert set(sheet.setups[0].loads.values()) == {"off"}
    assert {c.loads["M1"] for c in sheet.setups} == {"off", "slow", "normal"}


def test_a_control_that_is_not_there_is_refused() -> None:
    """A misspelt control gets the ones there are."""
    with pytest.raises(InputError, match="kee"):
        sheet_source("horn", ["kee=on"])
