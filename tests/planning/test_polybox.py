"""Three multipliers and two adders: which set of parts is bad, and where to measure next.

De Kleer and Williams, Diagnosing multiple faults, Artificial Intelligence 32, 1987, 97-130. Inputs,
observed outputs and the diagnosis {A2, M2} are published (also in Williams, MIT 16.412J/6.834J,
lecture of 10 March 2004); the other first diagnoses are from memory. All figures and the follow-up
table were computed by enumerating the 32 sets, not taken from the paper.
"""

from collections.abc import Mapping

import numpy as np
import pytest

from loomwise.planning import (
    TestProblem,
    expected_gain_bits,
    rank_tests,
    repair_entropy_bits,
    update,
)
from loomwise.planning.arrays import Floats
from tests.planning.candidates import Parts, all_sets, independent, minimal, named, share_with

Values = Mapping[str, int]

PRODUCTS = {"M1": ("X", "A", "C"), "M2": ("Y", "B", "D"), "M3": ("Z", "C", "E")}  # published
SUMS = {"A1": ("F", "X", "Y"), "A2": ("G", "Y", "Z")}  # published
INPUTS = {"A": 3, "B": 2, "C": 2, "D": 3, "E": 3}  # published
POINTS = ("F", "G", "X", "Y", "Z")
SETS = all_sets((*PRODUCTS, *SUMS))
P_BAD = 0.01
N_VALUES = 16  # a point that a set does not predict shows any of 0 to 15, all equally likely
FIRST = {"F": 10, "G": 12}  # published


def _known(bad: Parts, seen: Values) -> dict[str, int]:
    """All values that follow from the inputs, what was seen, and the parts not in the set."""
    known = {**INPUTS, **seen}
    for part, (out, a, b) in PRODUCTS.items():
        if part not in bad:
            known.setdefault(out, known[a] * known[b])
    for _ in SUMS:  # a value can pass through both adders
        for part, (out, a, b) in SUMS.items():
            if part not in bad:
                _fill_in(known, out, a, b)
    return known


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
        known = _known(bad, seen)
        for t, point in enumerate(POINTS):
            if point in known:
                shown[h, t] = np.arange(N_VALUES) == known[point]
    return TestProblem(weights, shown, np.ones(len(POINTS)), np.arange(len(SETS)))


def _after(readings: Values) -> TestProblem:
    """The problem as it stands after these readings, taken one by one."""
    problem, seen = _problem(independent(SETS, 5, P_BAD), {}), dict[str, int]()
    for point, value in readings.items():
        weights = update(problem, POINTS.index(point), value)
        seen[point] = value
        problem = _problem(weights, seen)
    return problem


def test_good_parts_predict_six_and_twelve() -> None:
    """With nothing bad, the products show 6 and the sums 12."""
    healthy = _known(frozenset(), {})
    assert [healthy[p] for p in "XYZFG"] == [6, 6, 6, 12, 12]  # follows from the inputs


def test_shares_after_the_first_two_readings() -> None:
    """Two single parts explain both readings, equally well, and nearly share the whole."""
    weights = _after(FIRST).weights
    # By hand, with r = 0.01 / 0.99: beside {A1} and {M1} stand {A1, M1}, and at 1/16 of that rate
    # eight more pairs, all ten threes, all five fours and the five. This is 0.4962248; the figure
    # 0.49623 noted with the example has its last digit rounded twice.
    r = P_BAD / (1.0 - P_BAD)
    alone_share = 1.0 / (2.0 + r + (8.0 * r + 10.0 * r**2 + 5.0 * r**3 + r**4) / N_VALUES)
    assert alone_share == pytest.approx(0.49623, abs=1e-5)  # computed
    for part in ("A1", "M1"):
        assert weights[SETS.index(frozenset({part}))] == pytest.approx(alone_share, rel=1e-12)
        assert share_with(part, SETS, weights) == pytest.approx(0.5022, abs=5e-5)  # computed
    assert np.count_nonzero(weights) == 27  # computed: 27 of 32 sets stay possible


def test_measure_x_next() -> None:
    """Between the two suspects lies point X: measure there, not at Y or Z."""
    problem = _after(FIRST)
    now = repair_entropy_bits(problem.weights, problem.repair)
    f, g, x, y, z = now - expected_gain_bits(problem)
    assert now == pytest.approx(1.0714, abs=5e-5)  # computed
    assert [x, y, z] == pytest.approx([0.0383, 1.0635, 1.0670], abs=5e-5)  # computed
    assert x < y <= z
    assert POINTS[rank_tests(problem)[0]] == "X"
    assert [f, g] == pytest.approx([now, now])  # already measured: nothing left to learn there


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


@pytest.mark.parametrize(("readings", "diagnoses"), FOLLOW_UPS)
def test_smallest_explanations_after_each_reading(readings: Values, diagnoses: set[Parts]) -> None:
    """What may be bad after these readings, with no part named that need not be."""
    assert minimal(SETS, _after(readings).weights) == diagnoses


@pytest.mark.parametrize("readings", [{**FIRST, "X": 6}, {**FIRST, "Z": 8}, {"F": 10, "G": 14}])
def test_order_of_readings_does_not_change_what_is_possible(readings: Values) -> None:
    """The same readings taken the other way round leave the same sets possible."""
    backwards = dict(reversed(list(readings.items())))
    assert np.array_equal(_after(readings).weights > 0.0, _after(backwards).weights > 0.0)
