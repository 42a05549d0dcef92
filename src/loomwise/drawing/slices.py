"""A tall drawing in parts, one below the other, so that each fits a page and can still be read.

It is cut where nothing but wires running downwards is in the way; each of these gets a letter at
both sides of the cut.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from math import ceil
from string import ascii_lowercase
from typing import TypeVar

from loomwise.drawing.shapes import Point
from loomwise.drawing.sheet import Contact, Rect, Run, Sheet, Standing

STEP = 4.0
"""Cuts are looked for at this distance."""
SPARE = 0.3
"""A part may be this much shorter or longer than its even share."""
SLACK = 0.15
"""By so much of a part a drawing may be too high before it is cut: it is made a little smaller."""
AIR = 14.0
"""Room for the letters at a cut."""

Span = tuple[float, float]


def slices(sheet: Sheet, tallest: float) -> tuple[Sheet, ...]:
    """The sheet in parts about ``tallest`` high, or whole where it is low enough or has no gap."""
    count = ceil(sheet.height / tallest - SLACK)
    cuts = [y for n in range(1, count) if (y := _cut(sheet, n / count, count)) is not None]
    ends = [0.0, *sorted(set(cuts)), sheet.height]
    return tuple(_part(sheet, top, below) for top, below in pairwise(ends))


def _cut(sheet: Sheet, share: float, count: int) -> float | None:
    """The free height nearest to where the drawing should be cut."""
    aim, spare = share * sheet.height, SPARE * sheet.height / count
    taken = list(_taken(sheet))
    tries = [k * STEP for k in range(1, int(sheet.height / STEP))]
    free = [
        y for y in tries if abs(y - aim) <= spare and not any(a < y < b for a, b in taken)
    ]  # fmt: skip
    return min(free, key=lambda y: abs(y - aim), default=None)


def _taken(sheet: Sheet) -> Iterator[Span]:
    """Heights at which something other than a wire running downwards stands."""
    for block in sheet.blocks:
        yield block.y - 2, block.y + block.block.height + 2
    for contact in sheet.contacts:
        yield contact.y - 4, contact.y + 30
    for run in sheet.runs:
        if run.sleeve:
            yield run.sleeve[1] - 2, run.sleeve[1] + run.sleeve[3] + 2
        for (_, ay), (_, by) in pairwise(run.points):
            if ay == by:
                yield ay - 5, ay + 5


def _part(sheet: Sheet, top: float, below: float) -> Sheet:
    """What lies between two heights, moved up, with letters where wires go on."""
    down = AIR if top > 0 else 0.0
    shift = down - top

    def inside(y: float) -> bool:
        return top <= y < below

    blocks = tuple(_moved(b, shift) for b in sheet.blocks if inside(b.y))
    contacts = tuple(_moved(c, shift) for c in sheet.contacts if inside(c.y))
    runs = tuple(piece for run in sheet.runs for piece in _clipped(run, top, below, shift))
    letters = (*_letters(sheet, top, down - 5), *_letters(sheet, below, below + shift + AIR - 4))
    height = below - top + down + (AIR if below < sheet.height else 0.0)
    return replace(
        sheet, height=height, blocks=blocks, contacts=contacts, runs=runs, letters=letters
    )


Placed = TypeVar("Placed", Standing, Contact)


def _moved(item: Placed, shift: float) -> Placed:
    return replace(item, y=item.y + shift)


def _clipped(run: Run, top: float, below: float, shift: float) -> Iterator[Run]:
    """The pieces of a wire between two heights: one, unless it turns back on its way."""
    pieces: list[list[Point]] = []
    for (ax, ay), (bx, by) in pairwise(run.points):
        if max(ay, by) <= top or min(ay, by) >= below:
            continue
        ends = [(x, min(max(y, top), below) + shift) for x, y in ((ax, ay), (bx, by))]
        if pieces and pieces[-1][-1] == ends[0]:
            pieces[-1].append(ends[1])
        else:
            pieces.append(ends)
    for points in pieces:
        yield replace(run, points=tuple(points), sleeve=_sleeve(run, points, shift))


def _sleeve(run: Run, points: Sequence[Point], shift: float) -> Rect | None:
    """The sleeve, if it is on this piece."""
    if run.sleeve is None:
        return None
    x, y, width, height = run.sleeve
    moved = x, y + shift, width, height
    on = any(
        abs(ax - (x + width / 2)) < 0.1 and ay <= moved[1] and by >= moved[1] + height
        for (ax, ay), (_, by) in pairwise(points)
    )
    return moved if on else None


def _letters(sheet: Sheet, cut: float, y: float) -> Iterator[tuple[Point, str]]:
    """A letter beside every wire that crosses a cut, from left to right."""
    if not 0 < cut < sheet.height:
        return
    crossing = sorted(
        x
        for run in sheet.runs
        for (x, ay), (_, by) in pairwise(run.points)
        if min(ay, by) < cut < max(ay, by)
    )
    for x, letter in zip(crossing, _names(), strict=False):
        yield (x + 4, y), letter


def _names() -> Iterable[str]:
    return (*ascii_lowercase, *(f"{a}{b}" for a in ascii_lowercase for b in ascii_lowercase))
