"""What a document is made of. Text is plain everywhere; who sets it may not read markup in it."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Heading:
    """The workshop at the head of a page: name, lines of address, logo (PNG) or none."""

    name: str
    lines: tuple[str, ...] = ()
    logo: bytes = b""


@dataclass(frozen=True)
class Facts:
    """Names with their values."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Words:
    """A paragraph. ``quote``: somebody's own words; ``lead``: what to read first; ``small``: a
    remark."""

    text: str
    look: Literal["plain", "quote", "lead", "small"] = "plain"


@dataclass(frozen=True)
class Points:
    """A list of short texts; ``numbered`` where they are done in order."""

    items: tuple[str, ...]
    numbered: bool = False


@dataclass(frozen=True)
class Cautions:
    """What to beware of, set so that it is not overlooked."""

    items: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """Rows under a head. ``wide`` shares the room among the columns, 0: as wide as its content;
    ``right`` are columns set to the right, ``blank`` columns to write in, ``strong`` rows that
    stand out. ``small``: many columns."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    wide: tuple[float, ...]
    right: tuple[int, ...] = ()
    blank: tuple[int, ...] = ()
    strong: tuple[int, ...] = ()
    small: bool = False


@dataclass(frozen=True)
class Picture:
    """A drawing as SVG, ``width`` and ``height`` in its own pixels; ``about`` says what it shows
    to those who cannot see it."""

    svg: str
    width: float
    height: float
    about: str
    caption: str = ""


@dataclass(frozen=True)
class Photo:
    """A photograph as JPEG."""

    data: bytes
    width: int
    height: int
    caption: str = ""


@dataclass(frozen=True)
class Photos:
    """Photographs, two beside each other."""

    items: tuple[Photo, ...]


@dataclass(frozen=True)
class PlanStep:
    """A test of a plan. ``first`` is what to set before it, ``aside`` said behind it; each result
    with what follows, and the number of the test that goes on (0: none)."""

    number: int
    text: str
    first: str
    aside: str
    results: tuple[tuple[str, str, int], ...]


@dataclass(frozen=True)
class Plan:
    """A tree of tests, the first at its root."""

    steps: tuple[PlanStep, ...]


@dataclass(frozen=True)
class Signatures:
    """Lines to sign on, each for somebody."""

    roles: tuple[str, ...]


Block = Facts | Words | Points | Cautions | Table | Picture | Photos | Plan | Signatures


@dataclass(frozen=True)
class Section:
    """Blocks under a title."""

    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Document:
    """The whole. ``foot`` stands at the foot of each page; ``wide``: pages lie on their side."""

    title: str
    subtitle: str
    heading: Heading | None
    sections: tuple[Section, ...]
    foot: str = ""
    wide: bool = False


def section(title: str, *blocks: Block | None) -> tuple[Section, ...]:
    """A section of the blocks that have something in them; none at all if there is none."""
    kept = tuple(b for b in blocks if b is not None and not _empty(b))
    return (Section(title, kept),) if kept else ()


def _empty(block: Block) -> bool:
    match block:
        case Words(text=text):
            return not text.strip()
        case Facts(rows=rows) | Table(rows=rows):
            return not rows
        case Points(items=items) | Cautions(items=items):
            return not items
        case Photos(items=photos):
            return not photos
        case Signatures(roles=roles):
            return not roles
    return False
