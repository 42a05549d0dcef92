"""The text of a CSV as columns: its separator found, its decimal commas read, its errors told."""

import csv
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from loomwise.errors import FileError, Problem

SEPARATORS = (";", "\t", ",")
MOST_PROBLEMS, MOST_HEAD = 20, 100_000
_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")


@dataclass(frozen=True)
class Sheet:
    """A header and rows, each with its line in the file; ``unread`` are lines that were left out,
    with why."""

    head: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    unread: tuple[Problem, ...] = ()


def read_sheet(text: str, name: str) -> Sheet:
    """The rows of a file. A row that does not fit the header is left out and told.

    Raises
    ------
    FileError : nothing in it, no separator, or no header.
    """
    lines = _lines(text)
    separator = _checked(lines[0] if lines else None, text, name)
    first, *rest = [(n, _cells(line, separator)) for n, line in lines]
    good = tuple((n, cells) for n, cells in rest if len(cells) == len(first[1]))
    bad = tuple(
        _misfit(name, n, len(cells), len(first[1]), separator)
        for n, cells in rest
        if len(cells) != len(first[1])
    )
    if not good:
        raise FileError(bad[:MOST_PROBLEMS] or [Problem(name, first[0], "no row follows", "")])
    return Sheet(first[1], good, bad)


def read_head(text: str, name: str) -> tuple[str, ...]:
    """The names of the columns alone.

    Raises
    ------
    FileError : as ``read_sheet``.
    """
    first = next(iter(_lines(text[:MOST_HEAD])), None)
    separator = _checked(first, text, name)
    assert first is not None
    return _cells(first[1], separator)


def _lines(text: str) -> list[tuple[int, str]]:
    every = enumerate(text.lstrip("\ufeff").splitlines(), 1)
    return [(n, line) for n, line in every if line.strip()]


def _checked(first: tuple[int, str] | None, text: str, name: str) -> str:
    """The separator of a file whose first line names its columns."""
    if first is None:
        raise _refused(name, 0, "the file is empty", "is it the right file?")
    if "\0" in text:
        hint = "export the record as CSV text and name that"
        raise _refused(name, 0, "this is not text", hint)
    separator = _separator(first[1])
    if not separator:
        hint = "the first line names the columns, parted by commas, semicolons or tabs"
        raise _refused(name, first[0], "there is only one column", hint)
    if any(number_of(cell) is not None for cell in _cells(first[1], separator)):
        hint = "put a line above that names the columns, such as time,name,value"
        raise _refused(name, first[0], "the columns have no names", hint)
    return separator


def _separator(head: str) -> str:
    return next((s for s in SEPARATORS if len(_cells(head, s)) > 1), "")


def _cells(line: str, separator: str) -> tuple[str, ...]:
    return tuple(cell.strip() for cell in next(csv.reader([line], delimiter=separator)))


def _misfit(name: str, line: int, have: int, want: int, separator: str) -> Problem:
    hint = "the line was left out; mend it if it matters"
    if have > want and separator == ",":
        hint = "is it a decimal comma? Export the record with semicolons, or numbers in quotes"
    return Problem(name, line, f"{have} cells where the header has {want}", hint)


def number_of(cell: str) -> float | None:
    """The number in a cell, with a decimal point or comma; None where it is none.

    "1.234,5" is none: nobody can say what its point means.
    """
    text = cell.replace("\u00a0", "").replace(" ", "")
    text = text.replace(",", ".") if text.count(",") == 1 and "." not in text else text
    value = float(text) if _NUMBER.fullmatch(text) else None
    return value if value is None or math.isfinite(value) else None


def _refused(name: str, line: int, what: str, hint: str) -> FileError:
    return FileError([Problem(name, line, what, hint)])


def column(head: Sequence[str], wanted: str) -> int | None:
    """The number of a column by its name, whatever the case."""
    names = [h.casefold() for h in head]
    return names.index(wanted.casefold()) if wanted.casefold() in names else None
