"""The circuits and worked jobs at hand: list, show, copy."""

from dataclasses import dataclass
from pathlib import Path

from loomwise.circuit.model import Circuit
from loomwise.errors import InputError
from loomwise.shelf import read_shelf, shelf_jobs, shelf_names, shelf_text


@dataclass(frozen=True)
class ShelfEntry:
    """One circuit at hand, with the number of its parts, wires' pieces, places and worked jobs."""

    name: str
    title: str
    parts: int
    wires: int
    places: int
    jobs: int


@dataclass(frozen=True)
class ShelfList:
    """All circuits at hand, by name."""

    circuits: tuple[ShelfEntry, ...]


@dataclass(frozen=True)
class ShelfText:
    """The file of one circuit or worked job as text."""

    name: str
    text: str


@dataclass(frozen=True)
class Copied:
    """A circuit or worked job from the shelf, written to a file."""

    name: str
    file: str


def list_shelf() -> ShelfList:
    """Every circuit at hand."""
    return ShelfList(tuple(_entry(name) for name in shelf_names()))


def _entry(name: str) -> ShelfEntry:
    c = read_shelf(name)
    wires = len({s.wire for s in c.segments.values() if s.wire})
    return ShelfEntry(name, c.title, len(c.parts), wires, len(c.places), len(shelf_jobs(name)))


def show_shelf(name: str) -> ShelfText:
    """The file of a circuit or worked job at hand.

    Raises
    ------
    InputError : nothing on the shelf has that name.
    """
    return ShelfText(name, shelf_text(name))


def shelf_circuit(name: str) -> Circuit:
    """A circuit at hand; ``name`` is never a file.

    Raises
    ------
    InputError : nothing on the shelf has that name.
    """
    return read_shelf(name)


def copy_shelf(name: str, file: str) -> Copied:
    """Write a circuit or worked job at hand to a new file.

    Raises
    ------
    InputError : nothing has that name, the file is there already, or cannot be written.
    """
    text = shelf_text(name)
    try:
        with Path(file).open("x", encoding="utf-8") as out:
            out.write(text)
    except FileExistsError:
        raise InputError("the file is there already", file, "choose another name") from None
    except OSError as error:
        words = (error.strerror or "no reason given").lower()
        raise InputError(f"cannot write it: {words}", file, "choose another folder") from None
    return Copied(name, file)
