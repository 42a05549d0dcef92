"""A part with two pins: its body on one axis, letters to the right, the feed's pin on top."""

from collections.abc import Iterator

from loomwise.circuit.model import Part
from loomwise.drawing.block import Block, Look, Site, Xs
from loomwise.drawing.shapes import INK, PAPER, SOFT, Box, Line, Shape, moved_all
from loomwise.drawing.symbols.bodies import BODIES, BODY, HALF_WIDTH
from loomwise.drawing.symbols.mirror import upside_down
from loomwise.drawing.symbols.words import height_of, lines_of, pin_letters, pin_room, stacked
from loomwise.drawing.symbols.words import width_of as lines_width

LEAD = 11.0
POLAR = frozenset({"diode", "LED", "zener"})
"""Bodies that are drawn the other way round where their second pin is on top."""


def inline_block(part: Part, site: Site) -> Block:
    """The block of a part with two pins."""
    top, bottom = part.pins
    if site.height(part, top) > site.height(part, bottom):
        top, bottom = bottom, top
    lines = lines_of(part, site)
    axis = max(pin_room(part.pins), HALF_WIDTH + 2)
    height = max(2 * LEAD + BODY, height_of(lines) + 4)
    lead = (height - BODY) / 2
    flipped = part.kind in POLAR and top != part.pins[0]

    def paint(_: Xs, look: Look) -> Iterator[Shape]:
        body = _body(part, look)
        yield Line(((axis, 0), (axis, lead)))
        yield Line(((axis, lead + BODY), (axis, height)))
        yield from moved_all(upside_down(body, BODY) if flipped else body, axis, lead)
        yield pin_letters(top, axis, "top", height)
        yield pin_letters(bottom, axis, "bottom", height)
        yield from stacked(lines, axis + HALF_WIDTH + 4, height / 2)

    return Block(
        id=part.id,
        width=axis + HALF_WIDTH + 4 + lines_width(lines),
        height=height,
        ports=(
            *site.ports(part, top, "top", axis),
            *site.ports(part, bottom, "bottom", axis),
        ),
        paint=paint,
        body=(axis - HALF_WIDTH, lead, 2 * HALF_WIDTH, BODY),
    )


def _body(part: Part, look: Look) -> Iterator[Shape]:
    """The body as it stands: a part that is taken out leaves its outline."""
    if look.out:
        return iter([Box(-8, 0, 16, BODY, stroke=SOFT, fill=PAPER, dash="3 2.5")])
    blown = look.blown and part.kind == "fuse"
    return BODIES["blown fuse" if blown else part.kind]()


WIPER = 28.0
"""From the track to the wiper's lead."""


def potentiometer_block(part: Part, site: Site) -> Block:
    """A track with the wiper's arrow to its right, which leaves below."""
    top, bottom = ("+", "-") if site.height(part, "+") <= site.height(part, "-") else ("-", "+")
    lines = lines_of(part, site)
    axis = pin_room(part.pins) + HALF_WIDTH
    height = max(2 * LEAD + BODY, height_of(lines) + 4)
    lead, right = (height - BODY) / 2, axis + WIPER

    def paint(_: Xs, __: Look) -> Iterator[Shape]:
        yield Line(((axis, 0), (axis, height)))
        yield Box(axis - 6, lead, 12, BODY)
        middle = height / 2
        yield Line(((right, height), (right, middle), (axis + 7, middle)))
        tip = ((axis + 6, middle), (axis + 12, middle - 3.5), (axis + 12, middle + 3.5))
        yield Line((*tip, tip[0]), 1, fill=INK)
        yield pin_letters(top, axis, "top", height)
        yield pin_letters(bottom, axis, "bottom", height)
        yield pin_letters("S", right, "bottom", height)
        yield from stacked(lines, right + 6, height / 2)

    ports = (
        *site.ports(part, top, "top", axis),
        *site.ports(part, bottom, "bottom", axis),
        *site.ports(part, "S", "bottom", right),
    )
    body = (axis - HALF_WIDTH, lead, 2 * HALF_WIDTH, BODY)
    return Block(part.id, right + 6 + lines_width(lines), height, ports, paint, body)
