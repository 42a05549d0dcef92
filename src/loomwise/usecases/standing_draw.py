"""The hunt for a standing draw, from options, a YAML file or a CSV table."""

import csv
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from io import StringIO
from pathlib import Path
from typing import TypeVar

from loomwise.circuit.document import Document, Tree, read_document
from loomwise.circuit.explain import nearest
from loomwise.errors import FileError, InputError, Problem, QuantityError
from loomwise.standing_draw import (
    FuseDraw,
    FuseReading,
    Hunt,
    Hunted,
    hunt,
    make_fuse,
    parse_clamp,
    parse_fuse,
)
from loomwise.units import parse_quantity
from loomwise.usecases.files import read_text

__all__ = ["COLUMNS", "FuseDraw", "Hunted", "Words", "standing_draw", "standing_draw_of_table"]

SINGLE = ("battery", "charge", "allowed", "asleep")
KEYS = ("clamp", "fuses", *SINGLE)
COLUMNS = ("fuse", "rating", "drop", "type", "behind", "feeds")
NEEDED = COLUMNS[:3]
S = TypeVar("S")
T = TypeVar("T")


@dataclass(frozen=True)
class Words:
    """What was asked in words. Options come on top of what the file says."""

    clamps: tuple[str, ...] = ()
    fuses: tuple[str, ...] = ()
    battery: str = ""
    charge: str = ""
    allowed: str = ""
    asleep: str = ""


def standing_draw(words: Words, file: str = "") -> Hunted:
    """Judge what was read.

    Raises
    ------
    FileError : with every problem of the file.
    QuantityError : a word that is no such quantity, or readings that cannot stand together.
    """
    given = _of_file(file) if file else Hunt(())
    clamps = tuple(_named("clamp", parse_clamp, c) for c in words.clamps)
    fuses = tuple(_named("fuse", parse_fuse, f) for f in words.fuses)
    given = replace(given, clamps=given.clamps + clamps, fuses=given.fuses + fuses)
    return hunt(_singles(given, words))


def _singles(given: Hunt, words: Words) -> Hunt:
    for name in SINGLE:
        if text := getattr(words, name):
            given = _named(name, partial(_with, given, name), text)
    return given


def standing_draw_of_table(
    clamps: Sequence[str], fuses: Sequence[Mapping[str, str]], words: Words
) -> Hunted:  # fmt: skip
    """Judge what was filled in cell by cell: a fuse's cells are named as in ``COLUMNS``, a drop
    without a unit is in millivolts.

    Raises
    ------
    FileError : with every line of the table that says no reading.
    QuantityError : as ``standing_draw``.
    """
    problems: list[Problem] = []
    read_clamps = _each(clamps, "clamp readings", parse_clamp, problems)
    read_fuses = _each(fuses, "fuses", _fuse, problems)
    if problems:
        raise FileError(problems)
    return hunt(_singles(Hunt(tuple(read_clamps), tuple(read_fuses)), words))


def _each(
    given: Sequence[S], where: str, read: Callable[[S], T], problems: list[Problem]
) -> list[T]:  # fmt: skip
    """Each line read; what is wrong is noted with the number of its line."""
    found = []
    for number, one in enumerate(given, 1):
        try:
            found.append(read(one))
        except QuantityError as error:
            problems.append(Problem(where, number, error.message, error.hint))
    return found


def _named(where: str, read: Callable[[str], T], text: str) -> T:
    """What a word says, or an error that says which word it is about."""
    try:
        return read(text)
    except QuantityError as error:
        raise QuantityError(error.message, where, error.hint) from None


def _with(given: Hunt, name: str, text: str) -> Hunt:
    """One of the single values put in."""
    if name == "battery":
        return replace(given, capacity_ah=parse_quantity(text.strip().removesuffix("Ah"), "-"))
    if name == "charge":
        return replace(given, charge=parse_quantity(text, "-"))
    if name == "allowed":
        return replace(given, allowed_a=parse_quantity(text, "A"))
    return replace(given, asleep_min=parse_quantity(text, "min"))


def _of_file(file: str) -> Hunt:
    text = read_text(Path(file))
    return _of_table(text, file) if file.lower().endswith(".csv") else _of_yaml(text, file)


def _of_table(text: str, file: str) -> Hunt:
    """A CSV table with a header; a drop without a unit is in millivolts."""
    rows = csv.DictReader(StringIO(text), skipinitialspace=True)
    head = [name.strip().lower() for name in rows.fieldnames or ()]
    missing = [name for name in NEEDED if name not in head]
    if missing or set(head) - set(COLUMNS):
        what = f"the first line is {', '.join(head) or 'empty'}"
        hint = f"write {', '.join(NEEDED)}, and if you like {', '.join(COLUMNS[3:])}"
        raise FileError([Problem(file, 1, what, hint)])
    rows.fieldnames = head
    problems, fuses = list[Problem](), list[FuseReading]()
    for row in rows:
        if None in row or None in row.values():
            hint = "a comma inside a number? write 2.1, or put the cell in quotes"
            problems.append(
                Problem(file, rows.line_num, f"the line has not {len(head)} cells", hint)
            )
            continue
        try:
            fuses.append(_fuse(row))
        except QuantityError as error:
            problems.append(Problem(file, rows.line_num, error.message, error.hint))
    if problems:
        raise FileError(problems)
    return Hunt((), tuple(fuses))


def _fuse(row: Mapping[str, str]) -> FuseReading:
    """A fuse from its cells; a drop without a unit is in millivolts."""
    cells = {name: cell.strip() for name, cell in row.items()}
    if cells["drop"] and not cells["drop"].endswith("V"):
        cells["drop"] += " mV"
    if not cells["fuse"]:
        raise QuantityError("the fuse has no name", hint="write what the box calls it, such as F12")
    return make_fuse(**cells)


def _of_yaml(text: str, file: str) -> Hunt:
    document = read_document(text, file)
    assert isinstance(document.tree, dict)
    given = Hunt(())
    for key, value in document.tree.items():
        if key not in KEYS:
            document.add((key,), f"there is no entry '{key}'", nearest(key, KEYS, "entries"))
        elif key == "clamp":
            given = replace(given, clamps=tuple(_lines(document, key, value, parse_clamp)))
        elif key == "fuses":
            given = replace(given, fuses=tuple(_lines(document, key, value, parse_fuse)))
        else:
            some = _lines(document, key, value, partial(_with, given, key))
            given = next(iter(some), given)
    if document.problems:
        raise FileError(document.problems)
    return given


def _lines(
    document: Document, key: str, value: Tree, read: Callable[[str], T]
) -> list[T]:  # fmt: skip
    """Each line of a list (or the one text) read; what is wrong is noted at its line."""
    items: Sequence[Tree] = value if isinstance(value, list) else [value]
    found = []
    for number, item in enumerate(items):
        path = (key, number) if isinstance(value, list) else (key,)
        if not isinstance(item, str):
            document.add(path, f"an item of '{key}' is not a line of text", "see the docs page")
            continue
        try:
            found.append(read(item))
        except InputError as error:
            document.add(path, error.message, error.hint)
    return found
