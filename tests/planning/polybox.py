"""Three multipliers and two adders: which set of parts is bad, and where to measure next.

De Kleer and Williams, Diagnosing multiple faults, Artificial Intelligence 32, 1987, 97-130. Inputs,
observed outputs and the diagnosis {A2, M2} are published (also in Williams, MIT 16.412J/6.834J,
lecture of 10 March 2004); the other first diagnoses are from memory. All figures and the follow-up
table were computed by enumerating the 32 sets, not taken from the paper.
"""

from collections.abc import Mapping

import numpy as np

from loomwise.planning import TestProblem, update
from loomwise.planning.arrays import Floats
from tests.planning.candidates import Parts, all_sets, independent, named

Values = Mapping[str, int]

PRODUCTS = {"M1": ("X", "A", "C"), "M2": ("Y", "B", "D"), "M3": ("Z", "C", "E")}  # published
SUMS = {"A1": ("F", "X", "Y"), "A2": ("G", "Y", "Z")}  # published
INPUTS = {"A": 3, "B": 2, "C": 2, "D": 3, "E": 3}  # published
POINTS = ("F", "G", "X", "Y", "Z")
SETS = all_sets((*PRODUCTS, *SUMS))
P_BAD = 0.01
N_VALUES = 16  # a point that a set does not predict shows any of 0 to 15, all equally likely
FIRST = {"F": 10, "G": 12}  # published


def known(bad: Parts, seen: Values) -> dict[str, int]:
    """All values that follow from the inputs, what was seen, and the parts not in the set."""
    values = {**INPUTS, **seen}
    for part, (out, a, b) in PRODUCTS.items():
        if part not in bad:
            values.setdefault(out, values[a] * values[b])
    for _ in SUMS:  # a value can pass through both adders
        for part, (out, a, b) in SUMS.items():
            if part not in bad:
                _fill_in(values, out, a, b)
    return values


def _fill_in(known: dict[str, int], out: str, a: str, b: str) -> None:
    """The third value of ``out = a + b`` where two are known."""
    if a in known and b in known:
        known.setdefault(out, known[a] + known[b])
    elif out in known and (a in known or b in known):
        have, miss = (a, b) if a in known else (b, a)
        known[miss] = known[out] - known[have]


def _problem(weights: Floats, seen: Values) -> TestProblem:
    """Measuring any point, given what was seen; every set of bad parts is a repair of its own."""
    shown = np.full((len(SETS), len(POINTS), N_VALUES), 1.0 / N_VALUES)
    for h, bad in enumerate(SETS):
        values = known(bad, seen)
        for t, point in enumerate(POINTS):
            if point in values:
                shown[h, t] = np.arange(N_VALUES) == values[point]
    return TestProblem(weights, shown, np.ones(len(POINTS)), np.arange(len(SETS)))


def after(readings: Values) -> TestProblem:
    """The problem as it stands after these readings, taken one by one."""
    problem, seen = _problem(independent(SETS, 5, P_BAD), {}), dict[str, int]()
    for point, value in readings.items():
        weights = update(problem, POINTS.index(point), value)
        seen[point] = value
        problem = _problem(weights, seen)
    return problem


FOLLOW_UPS: list[tuple[Values, set[Parts]]] = [  # computed
    ({"F": 10}, named("A1", "M1", "M2")),
    (FIRST, named("A1", "M1", "A2 M2", "M2 M3")),  # {A2, M2} published, the rest from memory
    ({**FIRST, "X": 6}, named("A1", "A2 M2", "M2 M3")),
    ({**FIRST, "X": 4}, named("M1")),
    ({**FIRST, "Y": 6}, named("A1", "M1")),
    ({**FIRST, "Y": 4}, named("A2 M2", "M2 M3")),
    ({**FIRST, "Z": 6}, named("A1", "M1", "A2 M2")),
    ({**FIRST, "Z": 8}, named("M2 M3", "A1 A2 M3", "A2 M1 M3")),
    ({"F": 10, "G": 10}, named("M2", "A1 A2", "A1 M3", "A2 M1", "M1 M3")),
    (
        {"F": 10, "G": 14},
        named("A1 A2", "A1 M2", "A1 M3", "A2 M1", "A2 M2", "M1 M2", "M1 M3", "M2 M3"),
    ),
]
