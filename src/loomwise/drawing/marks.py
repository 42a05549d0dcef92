"""Marks on a drawing: where the fault is, and where the probes go.

A mark is a badge in a free spot with a thin leader to what it means; under a faulty wire or part
lies a broad band.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import cos, pi, sin

from loomwise.drawing.chains import CONTACT_HEIGHT, CUP
from loomwise.drawing.shapes import PLAIN, Box, Disc, Line, Point, Shape, Text, text_width
from loomwise.drawing.sheet import Rect, Run, Sheet

FAULT, BAND, PROBE = "#a3195b", "#f3cfe0", "#22577a"
RADIUS, CLEAR = 9.0, 3.0
"""Of a badge; air around it."""
STEP, TURNS, RINGS = 7.0, 16, 24


@dataclass(frozen=True)
class Marks:
    """``faults``: for each, ids of the parts, segments, contacts or places it concerns.

    ``probes``: a place and its letter, as "1" for the first.
    """

    faults: tuple[tuple[str, ...], ...] = ()
    probes: tuple[tuple[str, str], ...] = ()


def bands(sheet: Sheet, marks: Marks) -> Iterator[Shape]:
    """What lies under faulty wires and parts."""
    names = {name for fault in marks.faults for name in fault}
    for run in sheet.runs:
        if run.segment.id in names:
            yield Line(run.points, 18, BAND)
    for contact in sheet.contacts:
        if contact.segment.id in names:
            yield Box(contact.x - 11, contact.y - 2, 22, CONTACT_HEIGHT + 4, 8, "none", BAND, 0)
    for standing in sheet.blocks:
        if standing.block.id in names:
            x, y, width, height = standing.block.body
            box = standing.x + x - 6, standing.y + y - 6, width + 12, height + 12
            yield Box(*box, 8, "none", BAND, 0)


def badges(sheet: Sheet, marks: Marks) -> Iterator[list[Shape]]:
    """The shapes of each badge with its leader, each where nothing else is."""
    taken = list(obstacles(sheet))
    places = dict(_places(sheet))
    wanted = [(_target(sheet, places, fault[0]), "") for fault in marks.faults if fault]
    wanted += [(places.get(place), letter) for place, letter in marks.probes]
    for at, letter in wanted:
        if at is None:
            continue
        half = max(RADIUS, text_width(letter, PLAIN) / 2 + 4)
        spot = free_spot(at, taken, sheet, half)
        taken.append((spot[0] - half, spot[1] - RADIUS, 2 * half, 2 * RADIUS))
        yield list(_badge(at, spot, letter, half))


def _badge(at: Point, spot: Point, letter: str, half: float) -> Iterator[Shape]:
    colour = PROBE if letter else FAULT
    x, y = spot
    yield Line((at, spot), 1.4, colour)
    yield Disc(*at, 4, "#ffffff", colour, 1.2)
    yield Box(x - half, y - RADIUS, 2 * half, 2 * RADIUS, RADIUS, colour, colour, 1)
    if letter:
        yield Text(x, y + 3.7, letter, PLAIN, "middle", True, "#ffffff")
    else:
        flash = ((x + 2, y - 6), (x - 2.5, y + 0.5), (x + 2.5, y - 0.5), (x - 1.5, y + 6))
        yield Line(flash, 1.8, "#ffffff")


def _target(sheet: Sheet, places: dict[str, Point], name: str) -> Point | None:
    """The point a fault's badge leads to: the middle of a part or of the longest straight."""
    for standing in sheet.blocks:
        if standing.block.id == name:
            x, y, width, height = standing.block.body
            return standing.x + x + width - 4, standing.y + y + height / 2
    for contact in sheet.contacts:
        if contact.segment.id == name:
            return contact.x, contact.y + CONTACT_HEIGHT / 2
    run = next((run for run in sheet.runs if run.segment.id == name), None)
    return _middle(run) if run else places.get(name)


def _middle(run: Run) -> Point:
    """The middle of the longest straight that is seen."""
    straights = [
        (a, b)
        for piece in run.pieces(run.sleeve[3] if run.sleeve else 0.0)
        for a, b in pairwise(piece)
    ]
    a, b = max(straights, key=lambda s: abs(s[0][0] - s[1][0]) + abs(s[0][1] - s[1][1]))
    return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2


def _places(sheet: Sheet) -> Iterator[tuple[str, Point]]:
    for standing in sheet.blocks:
        for port in standing.block.ports:
            x, y = standing.point(port)
            yield port.place, (x, y + (3 if port.side == "top" else -3))
    for contact in sheet.contacts:
        yield contact.upper, (contact.x, contact.y)
        yield contact.lower, (contact.x, contact.y + CONTACT_HEIGHT)


def obstacles(sheet: Sheet) -> Iterator[Rect]:
    """Where no badge may lie: blocks with their letters, contacts, sleeves, wires."""
    for standing in sheet.blocks:
        block = standing.block
        yield standing.x, standing.y, block.width + block.beside + 4, block.height
    for contact in sheet.contacts:
        width = 2 * CUP + 4 + text_width(contact.segment.id, PLAIN)
        yield contact.x - CUP, contact.y, width, CONTACT_HEIGHT
    for run in sheet.runs:
        if run.sleeve:
            yield run.sleeve
        for (ax, ay), (bx, by) in pairwise(run.points):
            yield min(ax, bx) - 4, min(ay, by) - 4, abs(ax - bx) + 8, abs(ay - by) + 8


def free_spot(at: Point, taken: list[Rect], sheet: Sheet, half: float) -> Point:
    """The nearest spot for a badge that nothing covers, within the sheet."""
    wide, tall = half + CLEAR, RADIUS + CLEAR
    for ring in range(2, 2 + RINGS):
        for turn in range(TURNS):
            angle = 2 * pi * turn / TURNS
            x, y = at[0] + ring * STEP * cos(angle), at[1] - ring * STEP * sin(angle)
            inside = wide <= x <= sheet.width - wide and tall <= y <= sheet.height - tall
            if inside and not any(_covers(rect, x, y, wide, tall) for rect in taken):
                return x, y
    return at[0] + 3 * STEP, at[1]


def _covers(rect: Rect, x: float, y: float, wide: float, tall: float) -> bool:
    left, top, width, height = rect
    return left - wide < x < left + width + wide and top - tall < y < top + height + tall
