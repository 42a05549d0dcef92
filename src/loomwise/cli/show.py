"""Prints answers: tables no wider than a page, plain where no person watches, or JSON."""

import json
import re
import shutil
import sys
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from loomwise.usecases.shape import to_json
from loomwise.usecases.wording import minutes, percent, volts

if TYPE_CHECKING:
    from rich.console import Console

__all__ = ["minutes", "percent", "volts"]
WIDTH = 100
_NUMBER_AND_UNIT = re.compile(r"(\d) (%|m?[VA]\b|[mkM]?Ω|min\b|mm2\b)")


def width() -> int:
    """Columns to use: the terminal's, at most ``WIDTH``."""
    if not sys.stdout.isatty():
        return WIDTH
    return max(40, min(WIDTH, shutil.get_terminal_size().columns))


def console() -> "Console":
    """Where text goes. Colour and bold only where a person watches."""
    from rich.console import Console

    watched = sys.stdout.isatty()
    return Console(
        file=sys.stdout, width=width(), highlight=False, markup=False, emoji=False,
        force_terminal=watched, no_color=not watched,
    )  # fmt: skip


def print_json(answer: object) -> None:
    """An answer as one JSON object."""
    print(json.dumps(answer if isinstance(answer, dict) else to_json(answer),
                     indent=2, ensure_ascii=False))  # fmt: skip


def heading(text: str) -> None:
    """A line above what follows, after an empty one."""
    print()
    console().print(text, style="bold")


def lines(text: str, indent: str = "", first: str | None = None) -> None:
    """A paragraph, wrapped; ``first`` stands before its first line."""
    lead = indent if first is None else first
    kept = _NUMBER_AND_UNIT.sub("\\1\u00a0\\2", text)  # no line ends between number and unit
    filled = textwrap.fill(
        kept, width(), initial_indent=lead, subsequent_indent=indent, break_on_hyphens=False,
        break_long_words="://" not in text,  # an address is of use in one piece only
    )  # fmt: skip
    print(filled.replace("\u00a0", " "))


def table(head: Sequence[str], rows: Iterable[Sequence[str]], right: Iterable[int] = ()) -> None:
    """An aligned table, two blanks in; columns named in ``right`` are set to the right."""
    from rich.table import Table
    from rich.text import Text

    made = Table(box=None, show_header=any(head), pad_edge=False, padding=(0, 2, 0, 0),
                 header_style="dim")  # fmt: skip
    at_right = set(right)
    for k, name in enumerate(head):
        made.add_column(name, justify="right" if k in at_right else "left", overflow="fold")
    for row in rows:
        made.add_row(*(Text(cell) for cell in row))
    _trimmed(made)


def _trimmed(made: Any) -> None:
    """Print without the blanks that a table leaves at the ends of its lines."""
    from rich.padding import Padding

    screen = console()
    if screen.is_terminal:
        screen.print(Padding(made, (0, 0, 0, 2)))
        return
    with screen.capture() as kept:
        screen.print(Padding(made, (0, 0, 0, 2)))
    print("\n".join(line.rstrip() for line in kept.get().splitlines()))


def words(names: Iterable[str]) -> str:
    """A list in a sentence: "a, b and c"."""
    listed = list(names)
    return " and ".join([", ".join(listed[:-1]), listed[-1]] if len(listed) > 1 else listed)


@contextmanager
def patience(doing: str) -> Iterator[None]:
    """Say on the terminal what takes a few seconds, and take it back afterwards."""
    watched = sys.stderr.isatty()
    if watched:
        print(f"{doing} ...", end="", file=sys.stderr, flush=True)
    try:
        yield
    finally:
        if watched:
            print(f"\r{' ' * (len(doing) + 4)}\r", end="", file=sys.stderr, flush=True)
