"""Checks circuit and job files: every problem of every file, none of them half."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from loomwise.advice.about import LARGE
from loomwise.advice.expert import all_setups
from loomwise.circuit.model import Circuit
from loomwise.circuit.reader import read_circuit
from loomwise.diagnosis.table import currents_over
from loomwise.errors import FileError, LoomwiseError, Problem, SolveError
from loomwise.setups import Setup
from loomwise.shelf import is_shelf_job, shelf_names, shelf_text
from loomwise.solver.operate import Plant
from loomwise.solver.result import ARC_A, plant_of, solve_states
from loomwise.usecases.dead_short import dead_short
from loomwise.usecases.files import find_job, read_text
from loomwise.usecases.problems import ProblemShown, problems_of

_JOB = re.compile(r"^['\"]?(complaint|circuit|vehicle|readings|signs)['\"]?\s*:", re.MULTILINE)


@dataclass(frozen=True)
class PlaceShown:
    """A place a probe can go; ``method`` is how it is reached, "none" if nobody can."""

    place: str
    title: str
    unit: str
    method: str


@dataclass(frozen=True)
class FileChecked:
    """One file. ``kind`` is circuit or job; ``counts`` says what is in it, by word."""

    file: str
    kind: str
    ok: bool
    title: str
    counts: dict[str, int]
    problems: tuple[ProblemShown, ...]
    places: tuple[PlaceShown, ...] = ()


@dataclass(frozen=True)
class FilesChecked:
    """All files asked for; ``ok`` if none has a problem."""

    ok: bool
    files: tuple[FileChecked, ...]


def check_files(files: Sequence[str]) -> FilesChecked:
    """Read every file and note what is wrong; nothing is raised for a bad file."""
    checked = tuple(_check(name) for name in files)
    return FilesChecked(all(c.ok for c in checked), checked)


def _check(name: str) -> FileChecked:
    kind = "circuit"
    try:
        at_hand = name in shelf_names() or is_shelf_job(name)
        text = shelf_text(name) if at_hand else read_text(Path(name))
        if _JOB.search(text) and not re.search(r"^parts\s*:", text, re.MULTILINE):
            kind = "job"
            return _job(name)
        circuit = read_circuit(text, name)
        refuse_unsolvable(circuit, name)
    except LoomwiseError as error:
        return FileChecked(name, kind, False, "", {}, problems_of(error))
    return FileChecked(name, kind, True, circuit.title, _counts(circuit), (), _places(circuit))


def _job(name: str) -> FileChecked:
    job = find_job(name)
    numbers = {"signs and readings": len(job.evidence), "withdrawn": len(job.withdrawn)}
    return FileChecked(name, "job", True, job.complaint, numbers, ())


def _counts(circuit: Circuit) -> dict[str, int]:
    return {
        "parts": len(circuit.parts),
        "wires": len({s.wire for s in circuit.segments.values() if s.wire}),
        "connectors": len(circuit.connectors),
        "places": len(circuit.places),
        "units": len(circuit.units),
    }


def _places(circuit: Circuit) -> tuple[PlaceShown, ...]:
    return tuple(PlaceShown(p.id, p.title, p.unit, p.method) for p in circuit.places.values())


def refuse_unsolvable(circuit: Circuit, name: str) -> None:
    """Refuse a circuit that shorts its battery as drawn, in any position of its controls.

    Raises
    ------
    FileError : with the lines that make the short, where wires alone do.
    """
    short = dead_short(circuit)
    if short is not None:
        raise FileError([Problem(name, short.line, short.what, short.hint)])
    for message, hint in _unsolved(circuit):
        raise FileError([Problem(name, 0, message, hint)])


def _unsolved(circuit: Circuit) -> Iterator[tuple[str, str]]:
    plant, setups = plant_of(circuit), all_setups(circuit)
    if len(circuit.parts) >= LARGE and not _any_arc(circuit, plant, setups):
        return
    for setup in setups:
        try:
            solve_states(circuit, plant, dict(setup.controls + setup.settled))
        except SolveError as error:
            yield f"no solution with {setup}: {error.message}", error.hint
            return


def _any_arc(circuit: Circuit, plant: Plant, setups: Sequence[Setup]) -> bool:
    """Whether a battery gives more than any vehicle takes in one of these setups, all solved at
    once: of a large circuit one after the other takes a minute."""
    largest = currents_over(circuit, plant, setups)
    return any(amps > ARC_A for name, amps in largest.items() if name.endswith(".cell"))
