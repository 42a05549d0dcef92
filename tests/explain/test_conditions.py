"""Combinations of controls in few words, whatever they are."""

from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from loomwise.explain.conditions import condition

STATES = {"key": ("off", "acc", "run"), "light": ("off", "on"), "door": ("shut", "open")}
EVERY = list(product(*STATES.values()))


def test_two_controls_that_must_both_be_on() -> None:
    """Key on and switch pressed: the rest does not matter and is not said."""
    yes = [c for c in EVERY if c[0] == "run" and c[1] == "on"]
    assert condition(STATES, yes, [c for c in EVERY if c not in yes]).text == "key run and light on"


def test_all_states_but_one_are_said_by_the_one() -> None:
    """Accessory or run is "not off"."""
    yes = [c for c in EVERY if c[0] != "off"]
    assert condition(STATES, yes, [c for c in EVERY if c not in yes]).text == "key not off"


def test_always_and_never() -> None:
    """A permanent feed is always there; what nothing runs is never."""
    assert condition(STATES, EVERY, []).text == "always"
    assert condition(STATES, [], EVERY).text == "never"


@given(st.lists(st.booleans(), min_size=len(EVERY), max_size=len(EVERY)))
def test_the_words_hold_in_those_combinations_and_in_no_other(marks: list[bool]) -> None:
    """Whatever the list, the short form is true in each of them and in none beside."""
    yes = [c for c, mark in zip(EVERY, marks, strict=True) if mark]
    found = condition(STATES, yes, [c for c in EVERY if c not in yes]).any_of
    for combination in EVERY:
        controls = dict(zip(STATES, combination, strict=True))
        said = any(all(controls[n] in some for n, some in cube.items()) for cube in found)
        assert said == (combination in yes)
