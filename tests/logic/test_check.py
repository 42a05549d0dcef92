"""Holding rules against the pins of their module."""

import pytest

from loomwise.errors import InputError
from loomwise.logic import Rule, check_logic, free_outputs, parse_rule, rule_order

INPUTS = {"T1": ("cold", "warm", "hot"), "key": ("off", "run"), "S1": ("open", "pressed")}
OUTPUTS = ("OUT1", "OUT2", "OUT3")


def _rules(*texts: str) -> list[Rule]:
    return [parse_rule(text) for text in texts]


def test_sound_rules_have_no_findings() -> None:
    """Rules that fit the module pass, also when they read another output."""
    rules = _rules("OUT1 on when T1 is hot", "OUT2 on when OUT1 is off and key is run")
    assert check_logic(rules, INPUTS, OUTPUTS) == []


def test_unknown_name_with_nearest_spelling() -> None:
    """A pin that does not exist is named, with the nearest one and the list."""
    findings = check_logic(_rules("OUT1 on always", "OUT1 on when kye is run"), INPUTS, OUTPUTS)
    assert findings == [
        (
            1,
            "unknown name 'kye'",
            "did you mean 'key'? the names are: OUT1, OUT2, OUT3, T1, key, S1",
        )
    ]


def test_unknown_name_is_reported_once_a_rule() -> None:
    """One misspelt pin read twice is one thing to correct."""
    rules = _rules("OUT1 on when T9 is hot or T9 is warm")
    assert [what for _, what, _ in check_logic(rules, INPUTS, OUTPUTS)] == ["unknown name 'T9'"]


def test_nothing_near_gives_the_list_alone() -> None:
    """No far-fetched guess is offered."""
    (finding,) = check_logic(_rules("OUT1 on when brake is run"), {"key": ("run",)}, ["OUT1"])
    assert finding[2] == "the names are: OUT1, key"


def test_unknown_value_of_an_input() -> None:
    """A value the input cannot take is refused, with those it can."""
    (finding,) = check_logic(_rules("OUT1 on when T1 is Hot"), INPUTS, OUTPUTS)
    assert finding == (
        0,
        "'T1' has no value 'Hot'",
        "did you mean 'hot'? the values of 'T1' are: cold, warm, hot",
    )


def test_output_is_read_as_on_or_off_only() -> None:
    """An output has no other value than on and off."""
    (finding,) = check_logic(_rules("OUT1 on when OUT2 is ON"), INPUTS, OUTPUTS)
    assert finding[1] == "'OUT2' has no value 'ON'"
    assert finding[2] == "did you mean 'on'? the values of 'OUT2' are: on, off"


def test_unknown_output() -> None:
    """A rule cannot drive a pin the module does not have."""
    (finding,) = check_logic(_rules("OUT1, OUT7 on always"), INPUTS, OUTPUTS)
    assert finding[:2] == (0, "unknown output 'OUT7'")
    assert "the outputs are: OUT1, OUT2, OUT3" in finding[2]


def test_module_without_outputs() -> None:
    """With nothing to choose from, the hint says so."""
    assert check_logic(_rules("OUT1 on always"), {}, ()) == [
        (0, "unknown output 'OUT1'", "there are no outputs here")
    ]


def test_long_lists_are_cut() -> None:
    """A module with many pins does not flood the screen."""
    inputs = {f"P{n:02}": ("on", "off") for n in range(30)}
    (finding,) = check_logic(_rules("OUT1 on when brake is on"), inputs, ("OUT1",))
    assert finding[2].endswith("P10 and 19 more")


def test_all_findings_at_once_in_rule_order() -> None:
    """Everything wrong is reported in one go, rule by rule."""
    rules = _rules("OUT1 on when OUT1 is off", "OUT9 on when T9 is on", "OUT2 on when T1 is dry")
    found = check_logic(rules, INPUTS, OUTPUTS)
    assert [index for index, _, _ in found] == [0, 1, 1, 2]


@pytest.mark.parametrize(
    ("texts", "index", "loop"),
    [
        (["OUT1 on always", "OUT1 on when OUT1 is on"], 1, "OUT1 -> OUT1"),
        (
            ["OUT1 on when T1 is hot and not (OUT2 is on)", "OUT2 on when OUT1 is on"],
            0,
            "OUT1 -> OUT2 -> OUT1",
        ),
        (
            [
                "OUT1 on when OUT2 is on",
                "OUT2 on when OUT3 is on",
                "OUT3 on when OUT1 is off",
            ],
            0,
            "OUT1 -> OUT2 -> OUT3 -> OUT1",
        ),
        (["OUT3 on when OUT2 is on", "OUT1, OUT2 on when OUT2 is on"], 1, "OUT2 -> OUT2"),
    ],
)
def test_output_that_depends_on_itself(texts: list[str], index: int, loop: str) -> None:
    """A loop is reported once, at a rule that is part of it, and has no order."""
    rules = _rules(*texts)
    (finding,) = check_logic(rules, INPUTS, OUTPUTS)
    assert finding[:2] == (index, f"output '{loop.split()[0]}' depends on itself: {loop}")
    with pytest.raises(InputError, match=loop):
        rule_order(rules)


def test_two_loops_are_two_findings() -> None:
    """Loops that share no output are each reported."""
    rules = _rules("OUT1 on when OUT1 is on", "OUT2 on when OUT3 is on", "OUT3 on when OUT2 is on")
    assert [index for index, _, _ in check_logic(rules, INPUTS, OUTPUTS)] == [0, 1]


def test_order_puts_what_is_read_first() -> None:
    """An output comes after the outputs it reads; a free output is not in the order."""
    rules = _rules(
        "OUT1 on when OUT2 is on and OUT4 is on",
        "OUT2 on when OUT3 is off",
        "OUT3 on when T1 is hot",
        "OUT3 on always",
    )
    assert rule_order(rules) == ("OUT3", "OUT2", "OUT1")
    assert rule_order([]) == ()


def test_free_outputs_have_no_rule() -> None:
    """Outputs without a rule are listed: their logic is unknown."""
    assert free_outputs(_rules("OUT2 on always"), OUTPUTS) == ("OUT1", "OUT3")
