"""`loomwise sheet`."""

from collections.abc import Sequence

from loomwise.cli.report import say
from loomwise.cli.show import heading, lines, print_json, table, width
from loomwise.usecases.paper import Output, check_file, check_paper, write_sheet
from loomwise.usecases.sheet import (
    Row,
    Sheet,
    expected_text,
    left_out_text,
    setup_text,
    sheet_source,
)
from loomwise.usecases.wording import METER

VOLTS_WIDE = 10
"""Columns of the screen that one setup takes."""


def run_paper(
    source: str, setups: Sequence[str], undo: Sequence[str], out: Output, as_json: bool
) -> None:
    """The sheet for paper, in a file."""
    check_file(out.file)
    check_paper(out.paper)
    answer = sheet_source(source, setups, undo)
    say(write_sheet(answer, out.file, out.paper, out.heading), "the test sheet", as_json)


def run(source: str, setups: Sequence[str], undo: Sequence[str], as_json: bool) -> None:
    """The sheet as a table, setups side by side as far as they fit."""
    answer = sheet_source(source, setups, undo)
    if as_json:
        print_json(answer)
        return
    lines(f"Test sheet: {answer.circuit}")
    lines(METER)
    heading("setups")
    for number, column in enumerate(answer.setups, 1):
        lines(setup_text(column), "       ", f"  S{number:<3} ")
    if answer.left_out:
        lines(left_out_text(answer), "  ")
    _tables(answer)


def _tables(answer: Sheet) -> None:
    place = max((len(r.place) for r in answer.rows), default=0)
    where = max((len(r.title) for r in answer.rows), default=0)
    room = width() - place - where - 6
    titled = room >= VOLTS_WIDE * min(3, len(answer.setups))
    fitting = max(1, (room if titled else room + where + 2) // VOLTS_WIDE)
    for some in _batches(range(len(answer.setups)), fitting):
        print()
        names = [f"S{k + 1}" for k in some]
        head = ("place", "where", *names) if titled else ("place", *names)
        at_right = range(len(head) - len(names), len(head))
        table(head, (_cells(r, some, titled) for r in answer.rows), right=at_right)


def _batches(numbers: range, size: int) -> list[tuple[int, ...]]:
    return [tuple(numbers[k : k + size]) for k in range(0, len(numbers), size)]


def _cells(row: Row, some: Sequence[int], titled: bool) -> tuple[str, ...]:
    shown = [expected_text(row.expected[k]) for k in some]
    return (row.place, row.title, *shown) if titled else (row.place, *shown)
