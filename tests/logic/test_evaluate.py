"""Answering conditions for many rows at once."""

import numpy as np
import pytest
from numpy.typing import NDArray

from loomwise.errors import InputError
from loomwise.logic import evaluate, output_on, parse_rule, rule_order

STATES = {
    "T1": np.array(["cold", "warm", "hot", "hot"]),
    "AC": np.array(["off", "on", "off", "on"]),
}


def _holds(name: str, value: str) -> NDArray[np.bool_]:
    return np.asarray(STATES[name] == value)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("T1 is hot", [False, False, True, True]),
        ("T1 is not hot", [True, True, False, False]),
        ("T1 is hot and AC is on", [False, False, False, True]),
        ("T1 is hot or AC is on", [False, True, True, True]),
        ("not (T1 is hot or AC is on)", [True, False, False, False]),
        ("T1 is warm or T1 is hot and AC is off", [False, True, True, False]),
    ],
)
def test_every_row_is_answered(text: str, expected: list[bool]) -> None:
    """One rule is answered for each vehicle state by itself."""
    answer = evaluate(parse_rule(f"OUT1 on when {text}").condition, _holds)
    assert answer.dtype == np.bool_
    assert answer.tolist() == expected


def test_answer_shared_by_all_rows() -> None:
    """A key that stands the same for all faults is answered once and spread."""
    condition = parse_rule("OUT1 on when T1 is hot and key is run").condition
    answer = evaluate(condition, lambda n, v: np.array(v == "run") if n == "key" else _holds(n, v))
    assert answer.tolist() == [False, False, True, True]


def test_always_holds_in_every_row() -> None:
    """An output that is always on needs no reading, and fits any number of rows."""
    answer = evaluate(parse_rule("OUT1 on always").condition, _holds)
    assert np.broadcast_to(answer, 4).all()


@pytest.mark.parametrize("text", ["T1 is hot", "T1 is hot and AC is on", "T1 is not hot"])
def test_what_was_read_stays_unchanged(text: str) -> None:
    """Working on the answer does not alter the readings it came from."""
    known = {("T1", "hot"): np.array([True, False]), ("AC", "on"): np.array([True, True])}
    before = {key: value.copy() for key, value in known.items()}
    answer = evaluate(parse_rule(f"O on when {text}").condition, lambda n, v: known[n, v])
    answer[:] = ~answer
    assert all(np.array_equal(known[key], before[key]) for key in known)


def test_any_rule_switches_the_output_on() -> None:
    """An output with several rules is on when one of them says so."""
    rules = [
        parse_rule("OUT1 on when T1 is warm"),
        parse_rule("OUT2 on when T1 is cold"),
        parse_rule("OUT2, OUT1 on when T1 is hot and AC is on"),
    ]
    assert output_on(rules, "OUT1", _holds).tolist() == [False, True, False, True]
    assert output_on(rules, "OUT2", _holds).tolist() == [True, False, False, True]


def test_output_without_rule_is_unknown_not_off() -> None:
    """An output whose logic is not known must not be taken for off."""
    with pytest.raises(InputError, match=r"no rule drives OUT9.*unknown"):
        output_on([parse_rule("OUT1 on always")], "OUT9", _holds)


def test_outputs_that_read_outputs_in_rule_order() -> None:
    """A second fan stage that follows the first is found by going through the outputs in order."""
    rules = [parse_rule("OUT2 on when OUT1 is off"), parse_rule("OUT1 on when T1 is hot")]
    found: dict[str, NDArray[np.bool_]] = {}

    def holds(name: str, value: str) -> NDArray[np.bool_]:
        return found[name] == (value == "on") if name in found else _holds(name, value)

    for output in rule_order(rules):
        found[output] = output_on(rules, output, holds)
    assert found["OUT2"].tolist() == [True, True, False, False]
