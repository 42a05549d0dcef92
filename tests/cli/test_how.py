"""What `loomwise how` prints."""

import json

import pytest

from tests.cli.conftest import Run


def test_the_whole_way_is_printed(run: Run) -> None:
    """Condition, way with pins, colours and sizes, what decides, what surprises: all on paper."""
    shown = run("how", "radiator-fans", "M1").stdout
    assert "slow with key run and coolant warm" in shown
    assert "30 to 87   RDWH 4 mm², 1.1 m, plugs C1.1, C3.1" in shown
    assert "K1 is pulled in: its coil is fed at 86 by BAT, S2 (run), F3" in shown
    assert "M1 is in series with M2 there." in shown
    assert "relay K1: contact welded" in shown and "what would stop it" in shown


def test_it_is_data_too(run: Run) -> None:
    """A program gets the conditions, ways and causes with units in the names."""
    answer = json.loads(run("how", "horn", "--json").stdout)
    (horn,) = answer["loads"]
    assert horn["runs"][0]["when"]["any_of"] == [{"horn": ["pressed"]}]
    assert horn["runs"][0]["current_a"] == pytest.approx(5.17, abs=0.01)
    assert any(s["colour"] == "BKVT" and s["area_mm2"] == 1.5 for s in horn["runs"][0]["path"])
    assert horn["text"][0] == "H1: sounds with horn pressed."


@pytest.mark.parametrize("name", ["horn", "headlamps", "radiator-fans"])
def test_pages_are_narrow(run: Run, name: str) -> None:
    """Nothing runs over a page of 100 columns."""
    assert max(map(len, run("how", name).stdout.splitlines())) <= 100


def test_a_part_that_is_no_load_is_refused(run: Run) -> None:
    """A fuse does nothing that one sees; a name that is not there gets the names that are."""
    result = run("how", "horn", "F4")
    assert result.exit_code == 2
    assert "F4 is a fuse" in result.stderr and "H1" in result.stderr
    result = run("how", "horn", "H9")
    assert result.exit_code == 2 and "there is no load 'H9'" in result.stderr
