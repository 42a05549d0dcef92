"""Reading the text of a rule, and the errors when it is not one."""

import pytest

from loomwise.errors import InputError
from loomwise.logic import Always, And, Is, Not, Or, Rule, parse_rule

HOT, WARM, AC = Is("T1", "hot"), Is("T1", "warm"), Is("AC", "on")


def _condition(text: str) -> object:
    return parse_rule(f"OUT1 on when {text}").condition


def test_rule_with_two_conditions() -> None:
    """A rule names the output and all the conditions that switch it on."""
    text = "OUT1 on when key is run and T1 is warm"
    assert parse_rule(text) == Rule(("OUT1",), And((Is("key", "run"), WARM)), text)


def test_one_rule_may_drive_several_outputs() -> None:
    """Outputs that switch together share one rule."""
    rule = parse_rule("OUT1, OUT2 on when T1 is hot or (15 is on and AC is on)")
    assert rule.outputs == ("OUT1", "OUT2")
    assert rule.condition == Or((HOT, And((Is("15", "on"), AC))))


def test_always() -> None:
    """An output may be on whatever the vehicle does."""
    assert parse_rule("OUT3 on always").condition == Always()


def test_and_binds_tighter_than_or() -> None:
    """Without parentheses, conditions joined by "and" belong together first."""
    assert _condition("T1 is warm and AC is on or T1 is hot") == Or((And((WARM, AC)), HOT))
    assert _condition("T1 is warm and (AC is on or T1 is hot)") == And((WARM, Or((AC, HOT))))


def test_not_takes_only_what_stands_next() -> None:
    """ "Not" turns round the one condition or the parentheses behind it, no more."""
    assert _condition("not T1 is hot and AC is on") == And((Not(HOT), AC))
    assert _condition("not (T1 is hot and AC is on)") == Not(And((HOT, AC)))
    assert _condition("T1 is not hot") == _condition("not (T1 is hot)") == Not(HOT)


def test_grammar_words_in_any_case_names_as_written() -> None:
    """Capitals matter in pin names only, not in the words of the grammar."""
    rule = parse_rule("out1 ON When T1 IS Hot AND Not AC is on")
    assert rule.outputs == ("out1",)
    assert rule.condition == And((Is("T1", "Hot"), Not(AC)))


def test_words_of_signs_and_foreign_letters() -> None:
    """Terminals and values such as 31-, +15, 5.0V, Lüfter_1 are plain words."""
    assert _condition("+15 is 5.0V and Lüfter_1 is 31-") == And(
        (Is("+15", "5.0V"), Is("Lüfter_1", "31-"))
    )
    assert _condition("BAT is + or BAT is -") == Or((Is("BAT", "+"), Is("BAT", "-")))


def test_line_breaks_and_tight_parentheses() -> None:
    """How a rule is spaced does not matter."""
    assert _condition("(T1 is hot)or\n(AC\tis on)") == Or((HOT, AC))


def test_comma_before_or_changes_nothing() -> None:
    """A comma before "or" is how people write it, and it cannot mislead."""
    assert _condition("T1 is hot, or T1 is warm and AC is on") == Or((HOT, And((WARM, AC))))


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("", "column 1: the rule ends", "name of an output"),
        ("OUT1 on when", "column 13: the rule ends after 'when'", "'T1 is hot' is needed"),
        ("OUT1 on when and", "column 14: found 'and' after 'when'", "'T1 is hot' is needed"),
        ("OUT1 OUT2 on always", "column 6: found 'OUT2' after 'OUT1'", "a comma and another"),
        ("OUT1, on", "column 9: the rule ends after 'on'", "or 'on', is needed"),
        ("OUT1 off when T1 is hot", "column 6: found 'off'", "or 'on', is needed"),
        ("OUT1 on if T1 is hot", "column 9: found 'if' after 'on'", "'always', or 'when'"),
        ("OUT1 on when T1", "column 16: the rule ends after 'T1'", "as in 'T1 is on'"),
        ("OUT1 on when T1 is", "column 19: the rule ends after 'is'", "a value is needed"),
        ("OUT1 on when T1 is not", "column 23: the rule ends after 'not'", "a value is needed"),
        ("OUT1 on when (T1 is hot", "column 24: the rule ends", "'(' in column 14"),
        ("OUT1 on when T1 is hot)", "column 23: found ')' after 'hot'", "no '(' is open"),
        ("OUT1 on when T1 is hot AC", "column 24: found 'AC'", "or the end of the rule"),
        ("OUT1 on always AC", "column 16: found 'AC' after 'always'", "the end of the rule"),
        ("OUT1 on when T1 = hot", "column 17: found '='", "letters, digits and _ - + ."),
        ("OUT1 on when T1 is \x00", "column 20: found '\\x00'", "letters, digits"),
    ],
)
def test_error_names_column_found_and_right(text: str, message: str, hint: str) -> None:
    """A rule that cannot be read says where, what stands there, and what should."""
    with pytest.raises(InputError) as caught:
        parse_rule(text)
    assert caught.value.message.startswith(message)
    assert hint in caught.value.hint


def test_second_value_is_written_in_full() -> None:
    """ "T1 is warm or hot" is answered with what to write instead."""
    with pytest.raises(InputError, match="for a second value write 'T1 is hot' in full"):
        _condition("T1 is warm or hot")
    with pytest.raises(InputError, match="as in 'AC is on'"):
        _condition("T1 is warm and AC")


def test_comma_before_and_is_refused() -> None:
    """ "A or B, and C" reads two ways, so parentheses are asked for."""
    with pytest.raises(InputError, match=r"column 37: found ','.*parentheses"):
        _condition("T1 is hot or T1 is warm, and AC is on")


@pytest.mark.parametrize("opening", ["(", "not "])
def test_nesting_stops_at_fifty(opening: str) -> None:
    """Fifty levels are read, the fifty-first is refused with its column."""
    closing = ")" if opening == "(" else ""
    _condition(opening * 50 + "T1 is hot" + closing * 50)
    column = 14 + 50 * len(opening)
    with pytest.raises(InputError, match=f"column {column}: .* deeper than 50 levels"):
        _condition(opening * 51 + "T1 is hot" + closing * 51)


def test_nesting_counts_open_levels_only() -> None:
    """Many parentheses side by side are not deep."""
    assert _condition(" or ".join(["(T1 is hot)"] * 60)) == Or((HOT,) * 60)


def test_very_long_text_is_refused() -> None:
    """Two thousand characters are read, one more is refused."""
    parse_rule("OUT1 on always".ljust(2000))
    with pytest.raises(InputError, match="2001 characters, more than 2000"):
        parse_rule("OUT1 on always".ljust(2001))


def test_long_word_is_cut_in_the_message() -> None:
    """A message stays readable whatever was typed."""
    with pytest.raises(InputError) as caught:
        parse_rule("OUT1 " + "x" * 1500)
    assert len(str(caught.value)) < 200
