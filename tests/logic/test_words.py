"""A rule in plain words, and what it reads."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from loomwise.logic import (
    Always,
    And,
    Condition,
    Expr,
    Is,
    Not,
    Or,
    Rule,
    describe,
    describe_rule,
    evaluate,
    names,
    parse_rule,
)

PINS = ("S1", "15", "AC", "on")
ROWS = np.array(list(product([False, True], repeat=len(PINS))))
EXPRESSIONS: st.SearchStrategy[Expr] = st.recursive(
    st.builds(Is, st.sampled_from(PINS), st.sampled_from(["on", "off"])),
    lambda inner: st.one_of(
        st.builds(Not, inner),
        st.builds(And, st.lists(inner, min_size=2, max_size=3).map(tuple)),
        st.builds(Or, st.lists(inner, min_size=2, max_size=3).map(tuple)),
    ),
    max_leaves=12,
)


def _table(condition: Condition) -> NDArray[np.bool_]:
    """The truth table over all on/off settings of the pins."""

    def holds(name: str, value: str) -> NDArray[np.bool_]:
        return np.asarray(ROWS[:, PINS.index(name)] == (value == "on"))

    return np.broadcast_to(evaluate(condition, holds), len(ROWS))


def _by_hand(expr: Expr, row: dict[str, bool]) -> bool:
    """The same meaning a second way: one setting at a time, in plain Python."""
    match expr:
        case Is(name, value):
            return row[name] == (value == "on")
        case Not(part):
            return not _by_hand(part, row)
        case And(parts):
            return all(_by_hand(p, row) for p in parts)
        case Or(parts):
            return any(_by_hand(p, row) for p in parts)


@settings(deadline=None)
@given(EXPRESSIONS)
def test_words_read_again_mean_the_same(expr: Expr) -> None:
    """What the program says a rule is, is what it is, for every setting of the pins."""
    rule = parse_rule(describe_rule(Rule(("OUT1", "OUT2"), expr, "")))
    assert rule.outputs == ("OUT1", "OUT2")
    by_hand = [_by_hand(expr, dict(zip(PINS, row, strict=True))) for row in ROWS.tolist()]
    assert _table(rule.condition).tolist() == by_hand


@settings(deadline=None)
@given(EXPRESSIONS)
def test_words_keep_the_grouping(expr: Expr) -> None:
    """No parenthesis is lost or added on the way."""
    assert parse_rule(f"OUT1 on when {describe(expr)}").condition == expr


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("T1 is hot or (15 is on and AC is on)", "T1 is hot, or 15 is on and AC is on"),
        ("T1 is hot or AC is on", "T1 is hot or AC is on"),
        ("15 is on and (T1 is hot or AC is on)", "15 is on and (T1 is hot or AC is on)"),
        ("not (S1 is pressed)", "S1 is not pressed"),
        ("not (S1 is not pressed)", "not (S1 is not pressed)"),
        ("not (not (15 is on and AC is on))", "not not (15 is on and AC is on)"),
    ],
)
def test_words_are_plain(text: str, words: str) -> None:
    """Parentheses appear only where the meaning needs them."""
    assert describe(parse_rule(f"OUT1 on when {text}").condition) == words


@pytest.mark.parametrize("opening", ["not ", "not (", "("])
def test_deepest_rule_can_be_read_again(opening: str) -> None:
    """Saying a rule in words never nests it deeper than it was written."""
    levels = 25 if opening == "not (" else 50
    closing = ")" * levels if "(" in opening else ""
    rule = parse_rule("OUT1 on when " + opening * levels + "S1 is on" + closing)
    assert parse_rule(describe_rule(rule)).condition == rule.condition


def test_always_in_words() -> None:
    """An output that is always on says so, without "when"."""
    assert describe(Always()) == "always"
    assert describe_rule(parse_rule("OUT1,OUT2  ON  always")) == "OUT1, OUT2 on always"


def test_names_in_the_order_written() -> None:
    """Everything a rule reads is listed, also behind "not"."""
    condition = parse_rule("O on when not (S1 is on or AC is off) and S1 is on").condition
    assert list(names(condition)) == [("S1", "on"), ("AC", "off"), ("S1", "on")]
    assert list(names(Always())) == []
