"""Keep in the text of a circuit file where a person moved a symbol to."""

import re

from loomwise.circuit.document import read_document
from loomwise.circuit.rewrite import set_value
from loomwise.errors import InputError

_SECTION = re.compile(r"^positions:[ \t]*(#.*)?$", re.MULTILINE)


def with_position(text: str, part: str, x: float, y: float) -> str:
    """The text with the symbol of a part at x, y [px]; every other character stays as it is.

    Raises
    ------
    FileError : the text is not a file of ours, see ``read_document``.
    InputError : the positions of the file are written in a way that no line can be added to.
    """
    tree = read_document(text, "circuit").tree
    assert isinstance(tree, dict)
    kept = tree.get("positions") or {}
    spot = (f"{x:.0f}", f"{y:.0f}")
    if isinstance(kept, dict) and part in kept:
        for place, value in enumerate(spot):
            text = set_value(text, ("positions", part, place), value)
        return text
    return _added(text, "positions" in tree, part, f"  {part}: [{spot[0]}, {spot[1]}]\n")


def _added(text: str, has_section: bool, part: str, line: str) -> str:
    if not has_section:
        return f"{text.rstrip()}\n\npositions:   # symbols moved by hand\n{line}"
    found = _SECTION.search(text)
    if found is None:
        message = f"no line for {part} can be added to the positions"
        raise InputError(message, hint="write them one a line, as in 'M1: [300, 420]'")
    return f"{text[: found.end()]}\n{line}{text[found.end() + 1 :]}"
