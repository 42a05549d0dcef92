"""A test sheet for paper: what to expect at every place, with room to write what was read."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from loomwise.advice.wording import METER
from loomwise.report.document import Document, Heading, Section, Table, Words, section

SIDE_BY_SIDE = 4
"""Setups in one table; a page on its side has no room for more with their readings."""


@dataclass(frozen=True)
class SheetRow:
    """A place, where it is, how it is reached, and what to expect there in each setup."""

    place: str
    where: str
    method: str
    expected: tuple[str, ...]


def sheet_document(
    circuit: str, setups: Sequence[str], rows: Sequence[SheetRow], left_out: str = "",
    heading: Heading | None = None,
) -> Document:  # fmt: skip
    """The sheet as a document; ``setups`` say how the vehicle stands in each and what it does."""
    named = tuple((f"S{n}", text) for n, text in enumerate(setups, 1))
    listed = Table(("", "setup, and what the loads do"), named, (0, 1))
    sections = (
        *section("Setups", listed, Words(left_out, "small")),
        *_tables([name for name, _ in named], rows),
        *section("Vehicle", Words("Vehicle, date, by whom: " + "_" * 60)),
    )
    return Document(f"Test sheet: {circuit}", METER, heading, sections, circuit, wide=True)


def _tables(names: list[str], rows: Sequence[SheetRow]) -> Iterator[Section]:
    for start in range(0, len(names), SIDE_BY_SIDE):
        some = range(start, min(start + SIDE_BY_SIDE, len(names)))
        head = ("place", "where", "reach by", *(w for k in some for w in (names[k], "read")))
        cells = tuple(
            (r.place, r.where, r.method, *(w for k in some for w in (r.expected[k], "")))
            for r in rows
        )
        wide = (0, 2.2, 0, *(w for _ in some for w in (0, 1.3)))
        right = tuple(3 + 2 * k for k in range(len(some)))
        blank = tuple(4 + 2 * k for k in range(len(some)))
        title = f"Expected in {names[some[0]]} to {names[some[-1]]}" if len(some) > 1 else (
            f"Expected in {names[some[0]]}"
        )  # fmt: skip
        yield Section(title, (Table(head, cells, wide, right, blank, small=True),))
