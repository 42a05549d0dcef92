"""Finds and reads the circuits that ship with the package."""

from difflib import get_close_matches
from functools import cache
from importlib import resources

from loomwise.circuit.model import Circuit
from loomwise.circuit.reader import read_circuit
from loomwise.errors import InputError

_CIRCUITS = resources.files(__package__).joinpath("circuits")


@cache
def shelf_names() -> tuple[str, ...]:
    """Names of the circuits at hand, sorted."""
    files = (entry.name for entry in _CIRCUITS.iterdir())
    return tuple(sorted(name.removesuffix(".yaml") for name in files if name.endswith(".yaml")))


def shelf_text(name: str) -> str:
    """The file of a circuit at hand, as text.

    Raises
    ------
    InputError : no circuit of that name is at hand; the hint names the nearest.
    """
    if name not in shelf_names():
        raise InputError(f"there is no circuit '{name}' on the shelf", hint=_hint(name))
    return _CIRCUITS.joinpath(f"{name}.yaml").read_text(encoding="utf-8")


@cache
def read_shelf(name: str) -> Circuit:
    """A circuit at hand; the same object every time, as circuits do not change.

    Raises
    ------
    InputError : as ``shelf_text``.
    """
    return read_circuit(shelf_text(name), f"{name}.yaml")


def _hint(name: str) -> str:
    near = get_close_matches(name.lower(), shelf_names(), n=1)
    listed = f"the shelf has {', '.join(shelf_names())}"
    return f"did you mean '{near[0]}'? {listed}" if near else listed
