"""Round parts with more than two pins: motors with three brushes, generators."""

from collections.abc import Iterator

from loomwise.circuit.model import Part
from loomwise.drawing.block import Block, Look, Port, Site, Xs
from loomwise.drawing.shapes import Disc, Line, Shape, Text
from loomwise.drawing.symbols.words import lines_of, pin_letters, pin_room, stacked, width_of

ROUND = {"motor": "M", "two-speed motor": "M", "reversible motor": "M"}
"""The letter in the circle."""
RADIUS, LEAD = 16.0, 14.0


def round_block(part: Part, site: Site) -> Block:
    """A circle with the feed's pins on top and the others below."""
    ranked = sorted(part.pins, key=lambda p: site.height(part, p))
    middle = (site.height(part, ranked[0]) + site.height(part, ranked[-1])) / 2
    top = [p for p in part.pins if site.height(part, p) <= middle]
    bottom = [p for p in part.pins if p not in top]
    pitch = pin_room(part.pins) + 10
    axis = max(RADIUS + 2, pin_room(part.pins) + pitch * (max(len(top), len(bottom)) - 1) / 2)
    lines, height = lines_of(part, site), 2 * (RADIUS + LEAD)
    right = max(axis + RADIUS, axis + pitch * (max(len(top), len(bottom)) - 1) / 2) + 5

    def stand(pins: list[str]) -> Iterator[tuple[str, float]]:
        left = axis - pitch * (len(pins) - 1) / 2
        return ((pin, left + pitch * n) for n, pin in enumerate(pins))

    ports: list[Port] = []
    for pin, x in stand(top):
        ports += site.ports(part, pin, "top", x)
    for pin, x in stand(bottom):
        ports += site.ports(part, pin, "bottom", x)

    def paint(_: Xs, __: Look) -> Iterator[Shape]:
        for port in ports:
            assert port.x is not None
            far, near = (0.0, LEAD - 2) if port.side == "top" else (height, height - LEAD + 2)
            yield Line(((port.x, far), (port.x, near), (axis, near), (axis, height / 2)))
            yield pin_letters(port.pin, port.x, port.side, height)
        yield Disc(axis, height / 2, RADIUS)
        yield Text(axis, height / 2 + 5, ROUND[part.kind], 14, "middle")
        yield from stacked(lines, right, height / 2)

    body = (axis - RADIUS, LEAD, 2 * RADIUS, 2 * RADIUS)
    return Block(part.id, right + width_of(lines), height, tuple(ports), paint, body)
