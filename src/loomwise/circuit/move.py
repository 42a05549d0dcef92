"""Keep in the text of a circuit file where a person moved a symbol to, in the order of moving."""

import re
from collections.abc import Sequence

from loomwise.circuit.document import Tree, read_document
from loomwise.circuit.rewrite import set_value
from loomwise.errors import InputError

_SECTION = re.compile(r"positions:[ \t]*(#.*)?")
_HEADING = "positions:   # symbols moved by hand"


def with_position(text: str, part: str, x: float, y: float) -> str:
    """The text with the symbol of a part at x, y [px], moved last; all else stays as it is.

    Raises
    ------
    FileError : the text is not a file of ours, see ``read_document``.
    InputError : the positions of the file are written in a way that no line can be added to.
    """
    spot = (f"{x:.0f}", f"{y:.0f}")
    line = f"  {part}: [{spot[0]}, {spot[1]}]"
    kept = _positions(text)
    if part in kept:
        for place, value in enumerate(spot):
            text = set_value(text, ("positions", part, place), value)
        line = _lines(text)[_line_of(text, part)]
        text = _without(text, part)
    return _added(text, line, part)


def without_position(text: str, part: str) -> str:
    """The text without a place for the symbol of a part, which is laid out again then.

    Raises
    ------
    FileError, InputError : as ``with_position``; or the symbol was not moved.
    """
    kept = _positions(text)
    if part not in kept:
        have = ", ".join(kept) or "nothing was"
        raise InputError(f"{part[:40]} was not moved", "positions", f"moved by hand: {have}")
    text = _without(text, part)
    return text if len(kept) > 1 else _without_heading(text)


def _positions(text: str) -> dict[str, Tree]:
    tree = read_document(text, "circuit").tree
    assert isinstance(tree, dict)
    kept = tree.get("positions")
    return kept if isinstance(kept, dict) else {}


def _lines(text: str) -> list[str]:
    """The lines; a carriage return before their end is part of them."""
    return text.split("\n")


def _heading(lines: Sequence[str], part: str) -> int:
    found = [n for n, line in enumerate(lines) if _SECTION.fullmatch(line.rstrip())]
    if not found:
        message = f"no line for {part} can be added to the positions"
        raise InputError(message, hint="write them one a line, as in 'M1: [300, 420]'")
    return found[0]


def _line_of(text: str, part: str) -> int:
    """The line a part's place stands in, alone."""
    lines = _lines(text)
    name = rf"""["']?{re.escape(part)}["']?"""
    alone = re.compile(rf"[ \t]+{name}[ \t]*:[ \t]*\[[^\[\]]*\][ \t]*(#.*)?")
    for n in range(_heading(lines, part) + 1, len(lines)):
        if alone.fullmatch(lines[n].rstrip()):
            return n
    message = f"the place of {part} does not stand in a line of its own"
    raise InputError(message, "positions", "write it as in 'M1: [300, 420]'")


def _without(text: str, part: str) -> str:
    lines = _lines(text)
    del lines[_line_of(text, part)]
    return "\n".join(lines)


def _without_heading(text: str) -> str:
    lines = _lines(text)
    n = _heading(lines, "")
    return "\n".join([*lines[:n], *lines[n + 1 :]]).rstrip() + _ending(text)


def _added(text: str, line: str, part: str) -> str:
    """The line below the last one of the section, which is made if there is none."""
    end, line = _ending(text), line.rstrip("\r")
    lines = _lines(text)
    has_section = isinstance(read_document(text, "circuit").tree, dict) and any(
        key.startswith("positions:") for key in lines
    )
    if not has_section:
        return f"{text.rstrip()}{end}{end}{_HEADING}{end}{line}{end}"
    last = _heading(lines, part)
    for n in range(last + 1, len(lines)):
        if lines[n].strip() and not lines[n][0].isspace():
            break
        if lines[n].strip():
            last = n
    more = line + end.removesuffix("\n")
    if not lines[last].endswith("\r") and last == len(lines) - 1:
        lines[last] += end.removesuffix("\n")
    return "\n".join([*lines[: last + 1], more, *lines[last + 1 :]])


def _ending(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"
