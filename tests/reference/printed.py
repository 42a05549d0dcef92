"""Circuits with published answers: the table and how it is read.

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

from tests.solver.small import Answer, Element, parse_element

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


def elements_of(example: str) -> list[Element]:
    """The element list of an example."""
    shrink = SHRUNK.get(example, 1.0)
    listed = [parse_element(line) for line in LINES[example]]
    return [replace(e, value=e.value * shrink) if e.kind == "R" else e for e in listed]


def quantity(text: str, a: Answer) -> float:
    """The named quantity of a solved example."""
    letter, word, *names = text.split()
    if word in ("from", "into"):
        sign = -1.0 if word == "from" else 1.0
        return sign * sum(a.amps[n] if letter == "I" else a.power_w(n) for n in names)
    if letter == "R":
        sign = -1.0 if word == "seen" else 1.0
        return sign * a.voltage_v(names[-1]) / a.amps[names[-1]]
    return a.amps[word] if letter == "I" else a.voltage_v(word, *names)
