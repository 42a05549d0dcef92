"""What a drawing is made of: lines, boxes, discs, arcs and texts, all with absolute coordinates.

Coordinates are pixels of the drawing, x to the right and y downwards. Text is set in one monospaced
face, so its extent is known without a font engine.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal

FONT = "DejaVu Sans Mono, Menlo, Consolas, monospace"
ADVANCE = 1233 / 2048
"""Width of every character of DejaVu Sans Mono in ems: its own hmtx table."""
SMALL, PLAIN, BOLD = 8.5, 10.0, 12.0
"""Sizes of text: pins, values, and ids."""
LINE_HEIGHT = 12.0

INK, SOFT, PAPER, FILL = "#1d2733", "#5a6672", "#fcfbf7", "#f1eee4"
"""Lines and letters; side remarks (5.8:1 on paper); the sheet; the inside of boxes."""

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True)
class Line:
    """A polyline; ``dash`` as in SVG, ``fill`` closes it."""

    points: tuple[Point, ...]
    width: float = 1.6
    stroke: str = INK
    dash: str = ""
    fill: str = "none"


@dataclass(frozen=True)
class Box:
    """A rectangle."""

    x: float
    y: float
    width: float
    height: float
    radius: float = 0.0
    stroke: str = INK
    fill: str = FILL
    line: float = 1.6
    dash: str = ""


@dataclass(frozen=True)
class Disc:
    """A circle."""

    x: float
    y: float
    radius: float
    stroke: str = INK
    fill: str = FILL
    line: float = 1.6


@dataclass(frozen=True)
class Arc:
    """Half a circle from ``start`` to ``end``, bulging to the left of that direction."""

    start: Point
    end: Point
    width: float = 1.6
    bulge: Literal[0, 1] = 1


@dataclass(frozen=True)
class Text:
    """One line of text; (x, y) is its anchor on the baseline."""

    x: float
    y: float
    text: str
    size: float = PLAIN
    anchor: Anchor = "start"
    bold: bool = False
    fill: str = INK


Shape = Line | Box | Disc | Arc | Text


def text_width(text: str, size: float = PLAIN) -> float:
    """How wide a text is set."""
    return len(text) * ADVANCE * size


def moved(shape: Shape, dx: float, dy: float) -> Shape:
    """The same shape elsewhere."""
    match shape:
        case Line(points=points):
            return replace(shape, points=tuple((x + dx, y + dy) for x, y in points))
        case Arc(start=start, end=end):
            (ax, ay), (bx, by) = start, end
            return replace(shape, start=(ax + dx, ay + dy), end=(bx + dx, by + dy))
        case _:
            return replace(shape, x=shape.x + dx, y=shape.y + dy)


def moved_all(shapes: Iterable[Shape], dx: float, dy: float) -> Iterator[Shape]:
    """The same shapes elsewhere."""
    return (moved(shape, dx, dy) for shape in shapes)


def wrapped(text: str, most: int) -> list[str]:
    """A text in lines of at most ``most`` characters, broken between words where it can be."""
    lines: list[str] = []
    for word in text.split():
        if lines and len(lines[-1]) + 1 + len(word) <= most:
            lines[-1] += f" {word}"
        else:
            lines += [word[i : i + most] for i in range(0, len(word), most)]
    return lines
