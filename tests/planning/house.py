"""Two lamps on one breaker: which sets of bad parts explain what is lit and what is dark.

Poole and Mackworth, Artificial Intelligence: Foundations of Computational Agents, 2nd ed., 5.5.3,
example 5.23, https://cs.ubc.ca/~poole/aibook/2e/html2e/ArtInt2e.Ch5.S5.SS3.html . The wiring is
published; the diagnoses of "both dark" are from memory and were computed here too, the other two
rows were computed by enumeration.
"""

import numpy as np

from loomwise.planning import TestProblem
from tests.planning.candidates import Parts, all_sets, independent, named

# What each lamp needs to be good, all switches up. Published; cb2 feeds neither lamp.
CHAINS = {"l1": {"cb1", "s1", "s2", "l1"}, "l2": {"cb1", "s3", "l2"}}
SETS = all_sets(("cb1", "cb2", "s1", "s2", "s3", "l1", "l2"))
DARK, LIT = 0, 1


def lamps(p_lit_if_bad: float) -> TestProblem:
    """Looking at either lamp. A good chain lights it; a bad one does so with this probability."""
    lit = [[p_lit_if_bad if bad & chain else 1.0 for chain in CHAINS.values()] for bad in SETS]
    shown = np.stack([1.0 - np.array(lit), np.array(lit)], axis=2)
    return TestProblem(independent(SETS, 7, 0.01), shown, np.ones(2), np.arange(len(SETS)))


# A bad part may still let a lamp light (0.5), unless a lit lamp is held to prove its chain (0).
ROWS: list[tuple[float, dict[str, int], set[Parts]]] = [
    (
        0.5,
        {"l1": DARK, "l2": DARK},  # from memory; computed: same
        named("cb1", "s1 s3", "s1 l2", "s2 s3", "s2 l2", "l1 s3", "l1 l2"),
    ),
    (0.5, {"l1": DARK}, named("cb1", "s1", "s2", "l1")),  # computed
    (0.0, {"l1": DARK, "l2": LIT}, named("s1", "s2", "l1")),  # computed
]
