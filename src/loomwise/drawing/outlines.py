"""Thin dashed outlines around the parts of a unit, where all of them stand together on the sheet.

The layout knows nothing of units. Outlines around a few parts of a unit only, or around parts of
others too, would mislead: then its name beside each part says where it is.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, product

from loomwise.drawing.block import Site, wire_ends
from loomwise.drawing.chains import CONTACT_HEIGHT, CUP
from loomwise.drawing.shapes import BOLD, PLAIN, text_width
from loomwise.drawing.sheet import Rect, Sheet, Standing

AIRS = tuple(product((6.0, 10.0, 3.0), (3.0, 6.0, 9.0, 13.0, 1.0)))
"""Beside and above the outermost letters, in the order they are tried. [px]"""
MOST_LEFT = 16.0
"""An outline keeps within the margin of the drawing. [px]"""
WIRE_AIR = 7.0
"""Between an outline and a wire that runs along it. [px]"""
Corners = tuple[float, float, float, float]
"""left, top, right, bottom"""


@dataclass(frozen=True)
class Outline:
    """The unit, and where its outline is: x, y, width, height."""

    unit: str
    box: Rect


def outlines(sheet: Sheet) -> tuple[Outline, ...]:
    """Outlines of whole units, that no foreign part, letter or contact lies in, none on another."""
    others = list(_obstacles(sheet))
    found: list[tuple[str, Corners]] = []
    for unit, members in _by_unit(sheet).items():
        tried = (_around(members, air) for air in AIRS)
        box = next((b for b in tried if _is_free(sheet, members, b, others)), None)
        if len(members) > 1 and box and not any(_meet(box, there) for _, there in found):
            found.append((unit, box))
    return tuple(Outline(unit, (b[0], b[1], b[2] - b[0], b[3] - b[1])) for unit, b in found)


def _by_unit(sheet: Sheet) -> dict[str, list[Standing]]:
    site = Site(sheet.circuit, {}, wire_ends(sheet.circuit))
    homes: dict[str, list[Standing]] = {}
    for standing in sheet.blocks:
        part = sheet.circuit.parts[standing.block.id]
        if part.kind != "ground" and (unit := site.home(part)):
            homes.setdefault(unit, []).append(standing)
    return homes


def _is_free(
    sheet: Sheet, members: Sequence[Standing], box: Corners, others: Sequence[Corners]
) -> bool:
    foreign = (_letters(s) for s in sheet.blocks if s not in members)
    return (
        box[0] > -MOST_LEFT
        and box[2] < sheet.width + MOST_LEFT
        and not any(_meet(box, other) for other in (*foreign, *others))
        and not any(_runs_along(box, a, b) for run in sheet.runs for a, b in pairwise(run.points))
    )


def _obstacles(sheet: Sheet) -> Iterator[Corners]:
    """Contacts, sleeves and letters where the sheet was cut."""
    for c in sheet.contacts:
        right = c.x + CUP + 4 + text_width(c.segment.id, PLAIN)
        yield c.x - CUP - 2, c.y, right, c.y + CONTACT_HEIGHT
    for run in sheet.runs:
        if run.sleeve:
            x, y, width, height = run.sleeve
            yield x, y, x + width, y + height
    for (x, y), name in sheet.letters:
        yield x - 4, y - BOLD, x + text_width(name, BOLD) + 4, y + 4


def _letters(standing: Standing) -> Corners:
    """A block with its letters."""
    block = standing.block
    right = standing.x + block.width + block.beside
    return standing.x, standing.y, right, standing.y + block.height


def _around(members: Sequence[Standing], air: tuple[float, float]) -> Corners:
    boxes = [_letters(s) for s in members]
    left, top = min(b[0] for b in boxes) - air[0], min(b[1] for b in boxes) - air[1]
    return left, top, max(b[2] for b in boxes) + air[0], max(b[3] for b in boxes) + air[1]


def _meet(a: Corners, b: Corners) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _runs_along(box: Corners, a: tuple[float, float], b: tuple[float, float]) -> bool:
    """Whether a straight of a wire runs so near an edge that it could be taken for it."""
    across = 0 if abs(a[0] - b[0]) < abs(a[1] - b[1]) else 1
    along = 1 - across
    near = min(abs(a[across] - box[across]), abs(a[across] - box[across + 2])) < WIRE_AIR
    low, high = sorted((a[along], b[along]))
    return near and low < box[along + 2] and high > box[along]
