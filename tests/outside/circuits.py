"""Circuits of textbooks, by the direct engine."""

from collections.abc import Iterator
from functools import cache, partial

from tests.outside import sources as s
from tests.outside.check import COMPUTED, Check, Source, digits
from tests.reference.printed import RIGHT_IN_PRINT, ROWS, WRONG_IN_PRINT, elements_of, quantity
from tests.solver.small import Answer, solve_elements

TITLES = {r["example"]: r["text"] for r in ROWS if r["item"] == "title"}
PAGES = {r["example"]: r["text"] for r in ROWS if r["item"] == "source"}
BOOKS = {"University Physics": s.UP, "College Physics": s.CP, "Lessons in Electric": s.LESSONS}


def checks() -> Iterator[Check]:
    """Every check of this topic."""
    for row in RIGHT_IN_PRINT:
        printed, *unit = row["printed"].split()
        yield _check(row, printed, " ".join(unit))
    for row in WRONG_IN_PRINT:
        unit = row["printed"].split()[1]
        right = row["ours_where_the_print_is_wrong"]
        yield _check(row, right, unit, f"; prints {row['printed']}, which is wrong", COMPUTED)


def _check(row: dict[str, str], printed: str, unit: str, more: str = "", mark: str = "") -> Check:
    example, page = row["example"], PAGES[row["example"]]
    return Check(
        f"{example} {TITLES[example]}: {row['text']}",
        unit,
        partial(_ours, example, row["text"]),
        digits(printed),
        _book(page),
        page + more,
        mark,
    )


def _book(page: str) -> Source:
    return next((source for name, source in BOOKS.items() if page.startswith(name)), Source(page))


@cache
def _answer(example: str) -> Answer:
    return solve_elements(elements_of(example))


def _ours(example: str, text: str) -> float:
    return quantity(text, _answer(example))
