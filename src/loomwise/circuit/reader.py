"""Read the text of a circuit file into a circuit, or say everything that is wrong with it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from loomwise.circuit.document import Document, Path, Tree, read_document
from loomwise.circuit.model import Circuit
from loomwise.errors import FileError

if TYPE_CHECKING:
    from loomwise.circuit.schema import CircuitEntry

FORMAT = "1"
_STAND_INS: dict[str, Tree] = {
    **{"format": FORMAT, "title": "?", "supply": "12"},
    **{"parts": {}, "wires": []},
}
"""What stands for an entry that must be there and is wrong, while the rest is checked."""


def read_circuit(text: str, name: str) -> Circuit:
    """The circuit that ``text`` describes; ``name`` is the file's name for messages.

    Raises
    ------
    FileError : with every problem found, each with its line and what would be right.
    """
    # pydantic takes 0.1 s to load, so it is loaded only when a file is read.
    from loomwise.circuit.build import build_circuit

    document = read_document(text, name)
    _check_format(document)
    entry, dropped = _entry(document)
    circuit = build_circuit(document, entry, dropped, text)
    if document.problems:
        raise FileError(document.problems)
    return circuit


def _check_format(document: Document) -> None:
    """A later format may mean other things by the same words: nothing more is said about it."""
    assert isinstance(document.tree, dict)
    given = document.tree.get("format", FORMAT)
    if given != FORMAT:
        shown = str(given)[:40] if isinstance(given, str) else "a list"
        document.add(("format",), f"this is format {shown}", f"this program reads format {FORMAT}")
        raise FileError(document.problems)


def _entry(document: Document) -> tuple[CircuitEntry, dict[str, set[str]]]:
    """The valid entries of the file, and the names of those that were left out as wrong."""
    from pydantic import ValidationError

    from loomwise.circuit.explain import explain
    from loomwise.circuit.schema import CircuitEntry

    tree, dropped = document.tree, dict[str, set[str]]()
    assert isinstance(tree, dict)
    try:
        return CircuitEntry.model_validate(tree), dropped
    except ValidationError as error:
        explain(document, error)
        for loc in {tuple(detail["loc"]) for detail in error.errors()}:
            _drop(tree, loc, dropped)
    return CircuitEntry.model_validate(tree), dropped


def _drop(tree: dict[str, Tree], loc: Path, dropped: dict[str, set[str]]) -> None:
    section = str(loc[0])
    entries = tree.get(section)
    if len(loc) > 1 and isinstance(entries, dict):
        entries.pop(str(loc[1]), None)
    elif section == "wires" and len(loc) > 1 and isinstance(entries, list):
        entries[int(loc[1])] = ""  # the others keep their numbers, and so their lines
    elif section in _STAND_INS:
        tree[section] = _STAND_INS[section]
    else:
        tree.pop(section, None)
    dropped.setdefault(section, set()).add(str(loc[1]) if len(loc) > 1 else "")
