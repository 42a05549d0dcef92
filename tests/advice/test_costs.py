import pytest

from loomwise.advice.candidates import Candidate
from loomwise.advice.costs import minutes_of, reach_minutes, setup_minutes, undo_minutes
from loomwise.setups import Setup, Undoing, parse_setup
from loomwise.shelf import read_shelf

HORN, FANS = read_shelf("horn"), read_shelf("radiator-fans")


def horn(undone: str = "", controls: str = "") -> Setup:
    """A setup of the horn."""
    return parse_setup(HORN, controls, [undone] if undone else [])


def test_staying_costs_nothing() -> None:
    """A test in the setup we stand in needs no change."""
    assert setup_minutes(HORN, horn("C4 apart"), horn("C4 apart")) == 0.0


def test_an_undoing_is_paid_with_its_putting_back() -> None:
    """Parting a plug counts its putting back too, whether now or when going on."""
    whole, plug = horn(), horn("C4 apart")
    out = setup_minutes(HORN, whole, plug)
    back = setup_minutes(HORN, plug, whole)
    alone = undo_minutes(HORN, Undoing("apart", "C4"))
    assert alone == 8.0  # the circuit file's own minutes
    assert out == pytest.approx(alone + back)
    assert 0.0 < back < alone


def test_a_new_fuse_stays_in() -> None:
    """A new fuse need not be taken out again."""
    assert setup_minutes(HORN, horn("F4 new"), horn()) == 0.0
    assert setup_minutes(HORN, horn(), horn("F4 new")) == undo_minutes(HORN, Undoing("new", "F4"))


def test_weather_costs_more_than_a_key() -> None:
    """Turning the key takes a moment; hot coolant takes minutes."""
    off = parse_setup(FANS)
    key = setup_minutes(FANS, off, parse_setup(FANS, "key=run"))
    hot = setup_minutes(FANS, off, parse_setup(FANS, "coolant=hot"))
    both = setup_minutes(FANS, off, parse_setup(FANS, "key=run, coolant=hot"))
    assert 0.0 < key < 1.0 < hot
    assert both == pytest.approx(key + hot)


def test_battery_off_is_dear() -> None:
    """Disconnecting the battery is the dearest undoing of all: memories, coding, time."""
    off = undo_minutes(HORN, Undoing("off", "BAT"))
    assert all(off > undo_minutes(HORN, Undoing("out", part)) for part in ("F4", "K1"))


def test_an_opened_place_costs_less() -> None:
    """The wheel is off already: another reading there takes only the probing."""
    test = Candidate(horn(controls="horn=pressed"), "voltmeter", "S1.2", "BAT.-", "back-probe")
    shut, shared = minutes_of(HORN, test, horn(), frozenset())
    opened, _ = minutes_of(HORN, test, horn(), frozenset({"S1"}))
    assert reach_minutes(HORN, "S1.2", frozenset()) == 8.0  # the steering wheel's own reach
    assert shut - opened == pytest.approx(8.0)
    assert 0.0 < shared < opened


def test_minutes_count_from_where_we_stand() -> None:
    """The same test costs less if the vehicle already stands as it asks."""
    there = horn("C4 apart")
    test = Candidate(there, "voltmeter", "C4.1.a", "BAT.-", "open")
    assert (
        minutes_of(HORN, test, there, frozenset())[0]
        < minutes_of(HORN, test, horn(), frozenset())[0]
    )
