"""`loomwise sheet`."""

from collections.abc import Sequence

from loomwise.cli.show import heading, lines, print_json, table, volts, width
from loomwise.usecases.sheet import Column, Expected, Row, Sheet, sheet_source

VOLTS_WIDE = 10
"""Columns of the screen that one setup takes."""


def run(source: str, setups: Sequence[str], undo: Sequence[str], as_json: bool) -> None:
    """The sheet as a table, setups side by side as far as they fit."""
    answer = sheet_source(source, setups, undo)
    if as_json:
        print_json(answer)
        return
    lines(f"Test sheet: {answer.circuit}")
    lines("Volts to battery minus on a 10 MΩ meter. 'floats': no wire holds it, the meter wanders.")
    heading("setups")
    for number, column in enumerate(answer.setups, 1):
        lines(_setup(column), "       ", f"  S{number:<3} ")
    if answer.left_out:
        lines(f"{answer.left_out} more do something else again: name them with --setup.", "  ")
    _tables(answer)


def _setup(column: Column) -> str:
    does = ", ".join(f"{load} {word}" for load, word in column.loads.items())
    more = [f"blown: {', '.join(column.blown)}"] if column.blown else []
    more += [f"does not come to rest: {', '.join(column.chatter)}"] if column.chatter else []
    if column.other_states:
        more.append("by what went before it may stand otherwise, see predict --after")
    return "; ".join([column.setup.text or "nothing to set", does, *more])


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
    shown = [_volts(row.expected[k]) for k in some]
    return (row.place, row.title, *shown) if titled else (row.place, *shown)


def _volts(expected: Expected) -> str:
    if expected.floating:
        return "floats"
    if expected.low_v is not None and expected.high_v is not None:
        return f"{expected.low_v:.1f}..{expected.high_v:.1f} V"
    return volts(expected.voltage_v)
