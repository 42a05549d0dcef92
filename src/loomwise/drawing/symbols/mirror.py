"""Shapes turned upside down."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from loomwise.drawing.shapes import Arc, Box, Disc, Line, Shape


def upside_down(shapes: Iterable[Shape], height: float) -> Iterator[Shape]:
    """The shapes mirrored at half of ``height``; letters stay upright."""
    for shape in shapes:
        match shape:
            case Line(points=points):
                yield replace(shape, points=tuple((x, height - y) for x, y in points))
            case Box(y=y, height=tall):
                yield replace(shape, y=height - y - tall)
            case Disc(y=y):
                yield replace(shape, y=height - y)
            case Arc(start=(ax, ay), end=(bx, by), bulge=bulge):
                ends = (ax, height - ay), (bx, height - by)
                yield replace(shape, start=ends[0], end=ends[1], bulge=0 if bulge else 1)
            case _:
                yield shape
