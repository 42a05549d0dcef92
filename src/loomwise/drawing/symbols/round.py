"""Round parts with their pins side by side: motors with brushes, lamps with two filaments."""

from collections.abc import Iterator

from loomwise.circuit.model import Part
from loomwise.drawing.block import Block, Look, Port, Site, Xs
from loomwise.drawing.shapes import Disc, Line, Shape, Text
from loomwise.drawing.symbols.words import lines_of, pin_letters, pin_room, stacked, width_of

ROUND = frozenset({"two-speed motor", "reversible motor", "two-filament lamp"})
RADIUS, LEAD = 16.0, 14.0


def round_block(part: Part, site: Site) -> Block:
    """A circle with the feed's pins on top and the others below."""
    top, bottom = _sides(part, site)
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
            rim = RADIUS if port.side == "bottom" else -RADIUS
            yield Line(((port.x, far), (port.x, near), (axis, near), (axis, height / 2 + rim)))
            yield pin_letters(port.pin, port.x, port.side, height)
        yield Disc(axis, height / 2, RADIUS)
        yield from _inside(part.kind, axis, height / 2)
        yield from stacked(lines, right, height / 2)

    body = (axis - RADIUS, LEAD, 2 * RADIUS, 2 * RADIUS)
    return Block(part.id, right + width_of(lines), height, tuple(ports), paint, body)


def _sides(part: Part, site: Site) -> tuple[list[str], list[str]]:
    """Pins above and below; both of a motor that is fed either way round are above."""
    if part.kind == "reversible motor":
        return list(part.pins), []
    ranked = sorted(part.pins, key=lambda p: site.height(part, p))
    middle = (site.height(part, ranked[0]) + site.height(part, ranked[-1])) / 2
    top = [p for p in part.pins if site.height(part, p) <= middle]
    return top, [p for p in part.pins if p not in top]


def _inside(kind: str, x: float, y: float) -> Iterator[Shape]:
    if kind != "two-filament lamp":
        yield Text(x, y + 5, "M", 14, "middle")
        return
    for middle in (x - 6.5, x + 6.5):
        for slope in (-4.5, 4.5):
            yield Line(((middle - 4.5, y - slope), (middle + 4.5, y + slope)))
