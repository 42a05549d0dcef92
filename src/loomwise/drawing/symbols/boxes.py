"""Boxes: control modules, and every kind that has no symbol of its own."""

from collections.abc import Iterator
from dataclasses import replace
from typing import cast

from loomwise.circuit.model import Part
from loomwise.drawing.block import Block, Look, Port, Side, Site, Xs
from loomwise.drawing.shapes import LINE_HEIGHT, SMALL, SOFT, Box, Line, Shape, Text, text_width
from loomwise.drawing.symbols.words import height_of, lines_of, stacked, width_of
from loomwise.ways.heights import BUS, gives_current

PIN_ROW = 13.0
LEAD = 6.0


def box_block(part: Part, site: Site) -> Block:
    """A labelled box with the feed's pins on top and the ground's below."""
    ports = tuple(
        port for pin in part.pins for port in site.ports(part, pin, _side(part, pin, site))
    )
    lines = _lines(part, site)
    pitch = max(text_width(pin, SMALL) + 8 for pin in (*part.pins, "00"))
    most = max(sum(p.side == side for p in ports) for side in ("top", "bottom"))
    width = max(most * pitch, width_of(lines) + 16)
    inside = height_of(lines) + 2 * PIN_ROW + 6
    height = inside + 2 * LEAD

    def paint(xs: Xs, _: Look) -> Iterator[Shape]:
        yield Box(0, LEAD, width, inside, radius=3)
        for port in ports:
            yield from _pin(port, xs[port.id], height)
        yield from stacked(lines, width / 2, height / 2)

    body = (0.0, LEAD, width, inside)
    return Block(part.id, width, height, ports, paint, body, pitch=pitch)


def _lines(part: Part, site: Site) -> tuple[Text, ...]:
    """The usual lines in the middle; the kind's name where nothing else says what it is."""
    lines = lines_of(part, site)
    if part.kind not in site.home(part):
        lines = (*lines, Text(0, 0, part.kind, SMALL, fill=SOFT))
    return tuple(replace(line, anchor="middle") for line in lines)


def _pin(port: Port, x: float, height: float) -> Iterator[Shape]:
    far, near, y = 0.0, LEAD, LEAD + LINE_HEIGHT - 1
    if port.side == "bottom":
        far, near, y = height, height - LEAD, height - LEAD - 4
    yield Line(((x, far), (x, near)))
    yield Text(x, y, port.pin, SMALL, "middle")


def _side(part: Part, pin: str, site: Site) -> Side:
    """Where current enters is on top."""
    declared = part.module_pins.get(pin)
    if declared is None:
        return "top" if site.comes_from_above(part, pin) else "bottom"
    role = cast(str, declared.role)
    if role in BUS:
        return "bottom" if _first_on_bus(part, site) else "top"
    if role == "ground" or gives_current(role, declared.pull):
        return "bottom"
    return "top"


def _first_on_bus(part: Part, site: Site) -> bool:
    """A bus leads down from the first module of the file to the others."""
    modules = site.circuit.parts.values()
    first = next(m for m in modules if any(p.role in BUS for p in m.module_pins.values()))
    return first.id == part.id
