"""A record: each name's values by time, from a long table (time, name, value) or a wide one."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from statistics import median

from loomwise.errors import FileError, Problem
from loomwise.records.table import Sheet, column, number_of, read_sheet

NAMES = ("name", "signal", "channel", "parameter", "item", "label")
VALUES = ("value", "reading", "data")
_TIME = re.compile(r"((date ?)?time(stamp)?|clock|elapsed)(?![a-z])|t\s*(_|\[|\(|$)", re.IGNORECASE)
_UNIT = re.compile(r"[\[(]([^\])]*)[\])]\s*$|_(ms|s)$")
GAP_TIMES = 5.0
"""A pause is a gap where it is so many usual steps long, and a second at least. Judgement. [-]"""
GAP_S = 1.0


@dataclass(frozen=True)
class Record:
    """What a file holds. ``series`` are values by name in order of time [s, from the first];
    ``units`` those that stand in a column's name; ``gaps`` are pauses [s, s], ``empty`` counts
    cells without a value; ``unread`` says which lines were left out, and why."""

    time: str
    series: Mapping[str, tuple[tuple[float, str], ...]]
    units: Mapping[str, str]
    gaps: tuple[tuple[float, float], ...]
    empty: int
    unread: tuple[Problem, ...]

    @property
    def seconds(self) -> float:
        """How long it is. [s]"""
        return max((s[-1][0] for s in self.series.values() if s), default=0.0)


def read_record(text: str, name: str, time: str = "") -> Record:
    """The record in the text of a CSV; ``time`` names the column of times where there are several.

    Raises
    ------
    FileError : no column of times, or more than one; no row that can be read.
    """
    sheet = read_sheet(text, name)
    at = _time_column(sheet, name, time)
    rows, bad = _timed(sheet, at, name)
    if not rows:
        raise FileError([*bad][:10] or [Problem(name, 0, "no row has a time", "")])
    cells = [*_values(sheet, at, rows)]
    series: dict[str, list[tuple[float, str]]] = {}
    for seconds, label, value in cells:
        if value:
            series.setdefault(label, []).append((seconds, value))
    ordered = {k: tuple(sorted(v, key=lambda tv: tv[0])) for k, v in series.items()}
    return Record(
        sheet.head[at], ordered, {k: _unit(k) for k in ordered if _unit(k)},
        _gaps(sorted({t for t, _ in rows})), sum(not v for _, _, v in cells),
        (*sheet.unread, *bad),
    )  # fmt: skip


def _time_column(sheet: Sheet, name: str, wanted: str) -> int:
    if wanted:
        at = column(sheet.head, wanted)
        if at is not None:
            return at
        what, hint = f"there is no column '{wanted[:40]}'", f"there is {', '.join(sheet.head[:20])}"
        raise FileError([Problem(name, 1, what, hint)])
    found = [k for k, head in enumerate(sheet.head) if _TIME.match(head)]
    if len(found) == 1:
        return found[0]
    if not found:
        what = "no column looks like a time"
    else:
        some = " and ".join(f"'{sheet.head[k]}'" for k in found)
        what = f"{len(found)} columns look like times: {some}"
    hint = f"say which it is of {', '.join(sheet.head[:20])} (in a command: --time NAME)"
    raise FileError([Problem(name, 1, what, f"{hint}; it is remembered")])


def _timed(
    sheet: Sheet, at: int, name: str
) -> tuple[list[tuple[float, tuple[str, ...]]], list[Problem]]:
    """Rows by seconds from the first; a row without a time is left out and told."""
    scale = 1e-3 if _unit(sheet.head[at]) == "ms" else 1.0
    rows, bad = list[tuple[float, tuple[str, ...]]](), list[Problem]()
    for k, (line, cells) in enumerate(sheet.rows):
        seconds = _seconds(cells[at], scale)
        if seconds is not None:
            rows.append((seconds, cells))
        elif k or any(number_of(c) is not None for c in cells):  # a first line may hold the units
            hint = "the line was left out"
            bad.append(Problem(name, line, f"'{cells[at][:20]}' is no time", hint))
    first = min((t for t, _ in rows), default=0.0)
    return [(t - first, cells) for t, cells in rows], bad


def _seconds(cell: str, scale: float) -> float | None:
    """A number, a clock (12:04:31.5) or a date with a clock, in seconds."""
    number = number_of(cell)
    if number is not None:
        return number * scale
    clock = re.fullmatch(r"(?:(\d+):)?(\d{1,2}):(\d{1,2}(?:[.,]\d+)?)", cell)
    if clock:
        seconds = float(clock[3].replace(",", "."))
        return int(clock[1] or 0) * 3600.0 + int(clock[2]) * 60.0 + seconds
    try:
        return datetime.fromisoformat(cell.replace(",", ".")).timestamp() if cell else None
    except ValueError:
        return None


def _values(
    sheet: Sheet, at: int, rows: Sequence[tuple[float, tuple[str, ...]]]
) -> Iterator[tuple[float, str, str]]:
    """Seconds, name and value of every cell."""
    names = _first(sheet.head, NAMES)
    values = _first(sheet.head, VALUES)
    for seconds, cells in rows:
        if names is not None and values is not None:
            yield seconds, cells[names], cells[values]
            continue
        for k, value in enumerate(cells):
            if k != at:
                yield seconds, sheet.head[k], value


def _first(head: Sequence[str], words: Sequence[str]) -> int | None:
    return next((k for k, h in enumerate(head) if h.casefold() in words), None)


def _unit(label: str) -> str:
    found = _UNIT.search(label)
    return (found[1] or found[2] or "").strip() if found else ""


def _gaps(times: Sequence[float]) -> tuple[tuple[float, float], ...]:
    steps = [b - a for a, b in pairwise(times)]
    if not steps:
        return ()
    least = max(GAP_TIMES * median(steps), GAP_S)
    return tuple((a, b) for a, b in pairwise(times) if b - a > least)
