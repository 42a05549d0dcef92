"""Splices, ground points and the contacts of connectors."""

from collections.abc import Iterator
from math import ceil

from loomwise.circuit.model import Part
from loomwise.drawing.block import Block, Look, Port, Site, Xs
from loomwise.drawing.chains import CONTACT_HEIGHT, CUP
from loomwise.drawing.shapes import INK, Arc, Box, Disc, Line, Shape, Text
from loomwise.drawing.symbols.words import (
    height_of,
    lines_of,
    pin_letters,
    pin_room,
    stacked,
    width_of,
)

BAR = 14.0


def splice_block(part: Part, site: Site) -> Block:
    """A bar with a joint for every leg; the legs' order along it is left to the layout."""
    ports = _legs(part, site)
    lines = lines_of(part, site)
    width, height = _bar_width(ports, part), max(2 * BAR, height_of(lines))

    def paint(xs: Xs, _: Look) -> Iterator[Shape]:
        stand = [xs[p.id] for p in ports]
        yield Line(((min(stand), height / 2), (max(stand), height / 2)), 4.0)
        for port in ports:
            x, far = xs[port.id], 0.0 if port.side == "top" else height
            yield Line(((x, far), (x, height / 2)))
            yield Disc(x, height / 2, 3.2, fill=INK)
            yield pin_letters(port.pin, x, port.side, height)
        yield from stacked(lines, width + 2, height / 2)

    body, beside = (0.0, height / 2 - 7, width, 14.0), width_of(lines)
    return Block(part.id, width, height, tuple(ports), paint, body, "", beside, _pitch(part))


def _legs(part: Part, site: Site) -> list[Port]:
    """The legs by which current comes are above, the others below."""
    ports: list[Port] = []
    for pin in part.pins:
        ports += site.ports(part, pin, "top" if site.comes_from_above(part, pin) else "bottom")
    return ports


def _pitch(part: Part) -> float:
    """Least distance of two legs: a finger's hit area and the letters of a leg fit between."""
    return max(18.0, ceil(pin_room(part.pins) + 6))


def _bar_width(ports: list[Port], part: Part) -> float:
    most = max(sum(p.side == side for p in ports) for side in ("top", "bottom"))
    outermost = max(pin_room(part.pins) - _pitch(part) / 2, 0.0)
    return _pitch(part) * most + 2 * outermost


def ground_block(part: Part, site: Site) -> Block:
    """A ground point on the body, its wires under one stud."""
    ports = [port for pin in part.pins for port in site.ports(part, pin, "top")]
    lines = lines_of(part, site)
    width, height = max(_bar_width(ports, part), 28.0), BAR + 22.0

    def paint(xs: Xs, _: Look) -> Iterator[Shape]:
        stand = [xs[p.id] for p in ports]
        middle = (min(stand) + max(stand)) / 2
        for port in ports:
            yield Line(((xs[port.id], 0), (xs[port.id], BAR)))
            yield pin_letters(port.pin, xs[port.id], "top", height)
        if len(ports) > 1:
            yield Line(((min(stand), BAR), (max(stand), BAR)), 3.0)
        yield Line(((middle, BAR), (middle, BAR + 8)))
        yield Line(((middle - 12, BAR + 8), (middle + 12, BAR + 8)), 2.4)
        for x in (-9.0, -1.0, 7.0):
            yield Line(((middle + x, BAR + 8), (middle + x - 5, BAR + 17)))
        yield from stacked(lines, width + 2, BAR + 12)

    body, beside = (width / 2 - 14, BAR - 2, 28.0, 22.0), width_of(lines)
    return Block(part.id, width, height, tuple(ports), paint, body, "last", beside, _pitch(part))


def contact_shapes(name: str, x: float, y: float, apart: bool = False) -> Iterator[Shape]:
    """A contact: its pin from above in its socket, or out of it; connector and cavity beside it."""
    up, down = (3.5, 2.5) if apart else (0.0, 0.0)
    yield Line(((x, y), (x, y + 4 - up)))
    yield Box(x - 2, y + 3 - up, 4, 8 - down, fill=INK, line=0)
    yield Arc((x - CUP, y + 8 + down), (x + CUP, y + 8 + down), bulge=0)
    yield Line(((x, y + 8 + CUP + down), (x, y + CONTACT_HEIGHT)))
    yield Text(x + CUP + 4, y + 12.5, name)
