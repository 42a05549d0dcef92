"""From readings to the branch, or to why none can be named."""

import pytest

from loomwise.errors import QuantityError
from loomwise.standing_draw import Hunt, Hunted, hunt, parse_clamp, parse_fuse


def hunted(*fuses: str, clamp: tuple[str, ...] = ("0.45 A after 45 min",)) -> Hunted:
    """Readings in words, judged."""
    return hunt(Hunt(tuple(map(parse_clamp, clamp)), tuple(map(parse_fuse, fuses))))


def test_the_branch_that_draws_is_named() -> None:
    """2.9 mV on a mini 10 A fuse is about 0.4 A of the 0.45 A."""
    found = hunted("F12 10 A 2.9 mV feeds radio", "F3 15 A 0.1 mV")
    assert found.verdict == "found" and found.suspects == ("F12",)
    assert any("F12 (radio)" in line for line in found.text)


def test_what_flows_past_every_fuse_is_said() -> None:
    """The sum of all fuses cannot make up the clamp's current, whatever the meter's last digit."""
    found = hunted("F12 10 A 0.1 mV", "F3 15 A 0 mV")
    assert found.verdict == "bypass" and found.past_fuses_a > 0.4
    assert any("charging source" in step for step in found.next_steps)


def test_what_the_meter_cannot_see_is_no_bypass() -> None:
    """70 mA may hide in the last digit of three large fuses: no draw past them is claimed."""
    fuses = [f"F{n} 30 A 0 mV maxi" for n in (1, 2, 3)]
    assert hunted(*fuses, clamp=("0.09 A after 60 min",)).verdict == "found"


def test_a_fuse_behind_another_counts_once() -> None:
    """The main fuse carries what F12 carries; the branch is F12."""
    found = hunted("F1 60 A 0.45 mV maxi", "F12 10 A 2.9 mV behind F1")
    assert found.suspects == ("F12",) and found.fuses_a < 0.6
    twice = hunted("F1 60 A 0.45 mV maxi", "F12 10 A 2.9 mV")
    assert twice.fuses_a > found.fuses_a + 0.3


def test_fuses_that_show_more_than_the_clamp_contradict_it() -> None:
    """One of the readings is wrong, and no branch is named."""
    found = hunted("F12 10 A 29 mV", clamp=("0.45 A after 45 min",))
    assert found.verdict == "contradiction" and not found.suspects


@pytest.mark.parametrize(
    "clamp",
    [
        ("0.45 A after 5 min",),
        ("0.45 A",),
        ("2.1 A after 45 min", "0.45 A after 50 min"),
        ("0.1 A after 45 min", "0.45 A after 50 min"),
    ],
)
def test_a_vehicle_that_does_not_sleep_yet_names_nothing(clamp: tuple[str, ...]) -> None:
    """Too early, not said when, still falling, or waking again: wait."""
    found = hunted("F12 10 A 2.9 mV", clamp=clamp)
    assert found.verdict == "awake" and not found.suspects


def test_a_usual_draw_is_no_fault() -> None:
    """30 mA is within the 50 mA that is common practice."""
    assert hunted("F12 10 A 0.2 mV", clamp=("30 mA after 45 min",)).verdict == "usual"


def test_readings_that_cannot_stand_together_are_refused() -> None:
    """No clamp, a fuse twice, a ring of fuses, one behind a fuse nobody read."""
    for fuses in (
        ("F1 10 A 1 mV", "F1 10 A 2 mV"),
        ("F1 10 A 1 mV behind F2", "F2 10 A 1 mV behind F1"),
        ("F1 10 A 1 mV behind F9",),
        ("F1 10 A 1 mV behind F1",),
    ):
        with pytest.raises(QuantityError):
            hunted(*fuses)
    with pytest.raises(QuantityError, match="no clamp"):
        hunted("F1 10 A 1 mV", clamp=())
    with pytest.raises(QuantityError, match="back in time"):
        hunted(clamp=("1 A after 50 min", "1 A after 20 min"))
