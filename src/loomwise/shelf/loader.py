"""Finds and reads the circuits that ship with the package, and the worked jobs beside each."""

from collections.abc import Iterable
from difflib import get_close_matches
from functools import cache
from importlib import resources
from importlib.resources.abc import Traversable

from loomwise.circuit.model import Circuit
from loomwise.circuit.reader import read_circuit
from loomwise.errors import InputError

_CIRCUITS = resources.files(__package__).joinpath("circuits")


@cache
def shelf_names() -> tuple[str, ...]:
    """Names of the circuits at hand, sorted."""
    return _names(_CIRCUITS)


@cache
def shelf_jobs(circuit: str) -> tuple[str, ...]:
    """Names of the worked jobs on a circuit at hand, such as ``horn/silent``, sorted.

    Raises
    ------
    InputError : no circuit of that name is at hand.
    """
    _check(circuit, shelf_names(), f"there is no circuit '{circuit}' on the shelf")
    folder = _CIRCUITS.joinpath(circuit)
    return tuple(f"{circuit}/{job}" for job in _names(folder)) if folder.is_dir() else ()


def is_shelf_job(word: str) -> bool:
    """Whether a word names a worked job at hand."""
    circuit = word.partition("/")[0]
    return circuit in shelf_names() and word in shelf_jobs(circuit)


def shelf_text(name: str) -> str:
    """The file of a circuit at hand, or of a worked job (``horn/silent``), as text.

    Raises
    ------
    InputError : nothing of that name is at hand; the hint names the nearest.
    """
    circuit, of_job, _ = name.partition("/")
    if of_job and circuit in shelf_names():
        _check(name, shelf_jobs(circuit), f"there is no worked job '{name}' on the shelf")
    else:
        _check(name, shelf_names(), f"there is no circuit '{name}' on the shelf")
    return _CIRCUITS.joinpath(f"{name}.yaml").read_text(encoding="utf-8")


@cache
def read_shelf(name: str) -> Circuit:
    """A circuit at hand; the same object every time, as circuits do not change.

    Raises
    ------
    InputError : no circuit of that name is at hand; the hint names the nearest.
    """
    _check(name, shelf_names(), f"there is no circuit '{name}' on the shelf")
    return read_circuit(shelf_text(name), f"{name}.yaml")


def _names(folder: Traversable) -> tuple[str, ...]:
    files = (entry.name for entry in folder.iterdir())
    return tuple(sorted(name.removesuffix(".yaml") for name in files if name.endswith(".yaml")))


def _check(name: str, known: Iterable[str], what: str) -> None:
    names = tuple(known)
    if name in names:
        return
    near = get_close_matches(name.lower(), names, n=1)
    listed = f"the shelf has {', '.join(names)}"
    raise InputError(what, hint=f"did you mean '{near[0]}'? {listed}" if near else listed)
