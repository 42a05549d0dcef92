"""Change one value in the text of a circuit file, and leave every other character as it is."""

import json
import re
from collections.abc import Iterator

from loomwise.circuit.document import Path, Tree, read_document
from loomwise.errors import FileError, InputError

_UNSAFE = re.compile(r"[\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]")


def set_value(text: str, path: Path, value: str) -> str:
    """``text`` with the value at ``path`` replaced; comments, blanks and order are kept.

    Parameters
    ----------
    path : keys and list positions from the top down, such as ("parts", "F1", "rating"). What it
        names must have a single value in the file already.
    value : the new value as a person would write it; it is put in quotes where YAML needs them.

    Raises
    ------
    FileError : the text is not a file of ours, see ``read_document``.
    InputError : there is no such value in the text, or the value cannot be written there.
    """
    document = read_document(text, "circuit")
    if path not in document.spans:
        raise InputError(
            f"there is no single value at {_words(path)}", hint="name one that stands in the file"
        )
    if _at(document.tree, path) == value:
        return text
    wanted = _replaced(document.tree, path, value)
    for new in _candidates(text, document.spans[path], value):
        if _reads_as(new, wanted):
            return new
    raise InputError(f"the value for {_words(path)} cannot be written", hint="use plain characters")


def _candidates(text: str, span: tuple[int, int], value: str) -> Iterator[str]:
    """The text with the value plain, then quoted; reading it again tells which is right."""
    start, end = span
    old = text[start:end]
    after = old[len(old.rstrip("\r\n")) :]  # a folded block ends with its line
    quoted = _UNSAFE.sub(lambda c: f"\\u{ord(c[0]):04x}", json.dumps(value, ensure_ascii=False))
    for written in (value, quoted):
        yield f"{text[:start]}{written}{after}{text[end:]}"


def _reads_as(text: str, wanted: Tree) -> bool:
    try:
        return read_document(text, "circuit").tree == wanted
    except FileError:
        return False


def _at(tree: Tree, path: Path) -> Tree:
    for step in path:
        if isinstance(tree, dict):
            tree = tree.get(str(step))
        elif isinstance(tree, list):
            tree = tree[int(step)]
    return tree


def _replaced(tree: Tree, path: Path, value: str) -> Tree:
    """A copy of the tree with one value replaced."""
    if not path:
        return value
    step, rest = path[0], path[1:]
    if isinstance(tree, dict):
        return {**tree, str(step): _replaced(tree.get(str(step)), rest, value)}
    assert isinstance(tree, list)
    return [_replaced(v, rest, value) if i == step else v for i, v in enumerate(tree)]


def _words(path: Path) -> str:
    return " / ".join(str(step) for step in path)[:80]
