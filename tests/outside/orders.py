"""Examples from the literature: what may be bad, and the order of tests."""

from collections.abc import Iterator
from functools import partial

from loomwise.planning import best_cost_with_first, expected_cost, greedy_tree, optimal_cost, update
from tests.outside import sources as s
from tests.outside.check import MEMORY, Check, about, digits
from tests.planning import house, polybox
from tests.planning.candidates import Parts, minimal
from tests.planning.remembered import EXAMPLE, FIRSTS


def checks() -> Iterator[Check]:
    """Every check of this topic."""
    yield Check(
        "six states, five tests: cost of the best order",
        "tests",
        partial(optimal_cost, EXAMPLE),
        digits("2.18"),
        s.SEQUENCING,
        mark=MEMORY,
    )
    for first, cost in FIRSTS:
        yield Check(
            f"the same, test {first + 1} first",
            "tests",
            partial(best_cost_with_first, EXAMPLE, first),
            about(cost, 1e-9, "exact"),
            s.SEQUENCING,
            "by enumeration of the remembered table",
            MEMORY,
        )
    yield Check(
        "the same, one step at a time",
        "tests",
        lambda: expected_cost(EXAMPLE, greedy_tree(EXAMPLE)),
        about(2.86, 1e-9, "exact"),
        s.SEQUENCING,
        "by enumeration of the remembered table",
        MEMORY,
    )
    seen = ", ".join(f"{point} = {value}" for point, value in polybox.FIRST.items())
    yield Check(
        f"three multipliers, two adders: {seen}",
        "",
        _polybox,
        "A1; A2 M2; M1; M2 M3",
        s.POLYBOX,
        "A2 M2 published, the others from memory",
        MEMORY,
    )
    yield Check(
        "two lamps on one breaker, both dark",
        "",
        _both_dark,
        "cb1; l1 l2; l1 s3; l2 s1; l2 s2; s1 s3; s2 s3",
        s.HOUSE,
        "the wiring published, the answer from memory",
        MEMORY,
    )


def _words(diagnoses: set[Parts]) -> str:
    return "; ".join(sorted(" ".join(sorted(bad)) for bad in diagnoses))


def _polybox() -> str:
    return _words(minimal(polybox.SETS, polybox.after(polybox.FIRST).weights))


def _both_dark() -> str:
    problem = house.lamps(0.5)
    for lamp in range(2):
        problem = problem.with_weights(update(problem, lamp, house.DARK))
    return _words(minimal(house.SETS, problem.weights))
