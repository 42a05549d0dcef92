"""Supplies: the battery, and what charges it. They stand at the top, their posts below."""

from collections.abc import Iterator

from loomwise.circuit.model import Part
from loomwise.drawing.block import Block, Look, Port, Site, Xs
from loomwise.drawing.shapes import SMALL, Box, Disc, Line, Shape, Text
from loomwise.drawing.symbols.words import lines_of, stacked, width_of
from loomwise.ways.heights import MINUS

PITCH = 20.0
TALL, LEAD = 34.0, 14.0


def supply_block(part: Part, site: Site) -> Block:
    """A box with its symbol, ground posts left and feed posts right, several wires to a post."""
    minus = [p for p in part.pins if p in MINUS]
    pins = [*minus, *(p for p in part.pins if p not in minus)]
    ports: list[Port] = []
    for pin in pins:
        for port in site.ports(part, pin, "bottom"):
            x = PITCH * (len(ports) + 1) + (26 if pin not in minus else 0)
            ports.append(Port(port.place, port.segment, pin, "bottom", x))
    lines = lines_of(part, site)
    inside = max(p.x or 0.0 for p in ports) + PITCH

    def paint(_: Xs, __: Look) -> Iterator[Shape]:
        yield Box(0, 0, inside, TALL, radius=3)
        yield from _cells(inside / 2) if part.kind == "battery" else _generator(inside / 2)
        for pin in pins:
            yield from _post(pin, [p.x or 0.0 for p in ports if p.pin == pin])
        yield from stacked(lines, inside + 6, TALL / 2 + 2)

    width, body = inside + 6 + width_of(lines), (0.0, 0.0, inside, TALL)
    return Block(part.id, width, TALL + LEAD, tuple(ports), paint, body, rank="first")


def _cells(x: float) -> Iterator[Shape]:
    """Two cells lying: the long thin plate is plus, as the posts below."""
    for left in (x - 10, x + 4):
        yield Line(((left, 9), (left, 25)), 4.0)
        yield Line(((left + 6, 3), (left + 6, 31)))


def _generator(x: float) -> Iterator[Shape]:
    yield Disc(x, TALL / 2, 13)
    yield Text(x, TALL / 2 + 4.6, "G", 13, "middle")


def _post(pin: str, stand: list[float]) -> Iterator[Shape]:
    for x in stand:
        yield Line(((x, TALL), (x, TALL + LEAD)))
        if len(stand) == 1:
            break
    if len(stand) > 1:
        yield Line(((stand[0], TALL), (stand[-1], TALL)), 4.0)
    yield Text(stand[0] - 3.5, TALL + 10, pin, SMALL + 1.5, "end", bold=True)
