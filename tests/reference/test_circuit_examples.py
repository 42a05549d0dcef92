"""Circuits with published answers, through the same solver as every vehicle circuit.

``circuit_examples.csv`` holds for each example its title, its source, its element list (see
``tests/solver/small.py``; ohm, volt, ampere) and the printed quantities. Sources: University
Physics vol. 2 (OpenStax), https://github.com/openstax/osbooks-university-physics-bundle ; College
Physics (OpenStax), https://github.com/openstax/osbooks-college-physics-bundle ; Lessons in Electric
Circuits vol. I, https://github.com/FauxFaux/lessons-in-electric-circuits . Only numbers are taken.

"I from B" is the current that leaves plus; "V x" is across an element, or a node's voltage, or
between two nodes. Every printed digit must hold: tolerance is half a unit of the last one.
The last column gives what the circuit gives where the print is wrong.
"""

import csv
from collections import defaultdict
from dataclasses import replace
from pathlib import Path

import pytest

from loomwise.solver.engines import Direct, Engine, LowRank
from tests.solver.small import Answer, Element, parse_element, solve_elements

ROWS = list(csv.DictReader(Path(__file__).with_name("circuit_examples.csv").open(encoding="utf-8")))
LINES: dict[str, list[str]] = defaultdict(list)
for _row in ROWS:
    if _row["item"] == "element":
        LINES[_row["example"]].append(_row["text"])
QUANTITIES = [r for r in ROWS if r["item"] == "quantity"]
WRONG_IN_PRINT = [r for r in QUANTITIES if r["ours_where_the_print_is_wrong"]]
RIGHT_IN_PRINT = [r for r in QUANTITIES if r not in WRONG_IN_PRINT]
SHRUNK = {"C26a": 1e-3, "C26b": 1e-3, "C34": 1e-2}
"""Resistances made smaller, as the printed volts depend on their ratios only: the 1 Gohm leak of
our nodes would show beside 250 Mohm, and in the fifth digit of a shunt before 15 kohm."""


def _elements(example: str) -> list[Element]:
    shrink = SHRUNK.get(example, 1.0)
    listed = [parse_element(line) for line in LINES[example]]
    return [replace(e, value=e.value * shrink) if e.kind == "R" else e for e in listed]


def _quantity(text: str, a: Answer) -> float:
    letter, word, *names = text.split()
    if word in ("from", "into"):
        sign = -1.0 if word == "from" else 1.0
        return sign * sum(a.amps[n] if letter == "I" else a.power_w(n) for n in names)
    if letter == "R":
        sign = -1.0 if word == "seen" else 1.0
        return sign * a.voltage_v(names[-1]) / a.amps[names[-1]]
    return a.amps[word] if letter == "I" else a.voltage_v(word, *names)


def _half_unit(printed: str) -> float:
    """Half a unit of the last printed digit of a number such as ``42.299e-3``."""
    mantissa, _, exponent = printed.partition("e")
    places = len(mantissa.partition(".")[2])
    return float(0.5 * 10.0 ** (int(exponent or 0) - places))


def _name(row: dict[str, str]) -> str:
    return f"{row['example']} {row['text']}"


@pytest.mark.parametrize("engine", [Direct(), LowRank()], ids=["direct", "low rank"])
@pytest.mark.parametrize("row", RIGHT_IN_PRINT, ids=_name)
def test_printed_digits(row: dict[str, str], engine: Engine) -> None:
    """Both engines give every digit the book prints."""
    printed = row["printed"].split()[0]
    engine = type(engine)()
    ours = _quantity(row["text"], solve_elements(_elements(row["example"]), engine))
    assert ours == pytest.approx(float(printed), rel=0, abs=_half_unit(printed) * (1 + 1e-6))


@pytest.mark.parametrize("row", WRONG_IN_PRINT, ids=_name)
def test_prints_that_are_wrong(row: dict[str, str]) -> None:
    """Where the book's last digit is wrong, we give what the circuit gives."""
    printed, right = row["printed"].split()[0], row["ours_where_the_print_is_wrong"]
    ours = _quantity(row["text"], solve_elements(_elements(row["example"])))
    assert ours == pytest.approx(float(right), abs=_half_unit(right))
    assert abs(ours - float(printed)) > _half_unit(printed)


def test_the_wrong_prints_are_the_known_ones() -> None:
    """Two printed answers are wrong: a resistance of C04 and the terminal voltage of C12a."""
    assert [_name(r) for r in WRONG_IN_PRINT] == ["C04 R seen by B", "C12a V t"]


def test_c08_slip_in_the_sum() -> None:
    """One line of the book puts 10 ohm for R3: that would be 0.24 A, while 0.20 A is printed."""
    slipped = [replace(e, value=10.0) if e.name == "R3" else e for e in _elements("C08")]
    assert _quantity("I from V2", solve_elements(slipped)) == pytest.approx(0.24, abs=5e-7)
    right = _quantity("I from V2", solve_elements(_elements("C08")))
    assert right == pytest.approx(0.20, abs=5e-7)


def test_the_leak_bears_a_meter_but_not_250_megohms() -> None:
    """Our nodes leak 1 Gohm: a 10 Mohm meter feels 1 %, a divider of 250 Mohm is beyond us."""
    as_printed = [parse_element(line) for line in LINES["C26a"]]
    side = 1.0 / (1.0 / 250e6 + 1e-9)
    expected = 24.0 * side / (side + 250e6)
    assert solve_elements(as_printed).voltage_v("b") == pytest.approx(expected, rel=1e-6)
    assert expected < 11.0
