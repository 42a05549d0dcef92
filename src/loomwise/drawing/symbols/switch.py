"""A switch of one pole: an arm between its common pin and one or more others."""

from collections import Counter
from collections.abc import Iterator

from loomwise.circuit.model import Part
from loomwise.drawing.block import Block, Look, Port, Side, Site, Xs
from loomwise.drawing.shapes import PAPER, Disc, Line, Shape
from loomwise.drawing.symbols.mirror import upside_down
from loomwise.drawing.symbols.words import (
    height_of,
    lines_of,
    pin_letters,
    pin_room,
    stacked,
    width_of,
)

GAP, LEAD = 26.0, 14.0
"""From the arm's hinge to its contacts; a lead."""


def is_single_pole(part: Part) -> bool:
    """Whether one pin takes part in everything the switch joins, and every pin is used."""
    if part.kind == "park switch":
        return True
    pairs = {pair for pairs in part.positions.values() for pair in pairs}
    return bool(pairs) and any(
        all(pin in pair for pair in pairs) and len(pairs) == len(part.pins) - 1 for pin in part.pins
    )


def _common(part: Part) -> str:
    counts = Counter(p for pairs in part.positions.values() for pair in set(pairs) for p in pair)
    hubs = [p for p in part.pins if counts[p] == max(counts.values())]
    pairs = {pair for pairs in part.positions.values() for pair in pairs}
    return next(p for p in hubs if all(p in pair for pair in pairs))


def switch_block(part: Part, site: Site) -> Block:
    """The block of a one-pole switch, the feed's end on top."""
    common = "53e" if part.kind == "park switch" else _common(part)
    if len(part.pins) == 2:
        common = max(part.pins, key=lambda p: site.height(part, p))
    throws = [p for p in part.pins if p != common]
    below = sum(site.height(part, p) for p in throws) / len(throws)
    upright = site.height(part, common) <= below
    lines = lines_of(part, site)
    height = max(2 * LEAD + GAP, height_of(lines) + 4)
    pitch = pin_room(part.pins) + 12
    axis = max(pin_room(part.pins), 16.0) + pitch * (len(throws) - 1) / 2
    stand = {p: axis + pitch * (n - (len(throws) - 1) / 2) for n, p in enumerate(throws)}
    right = max(axis, *stand.values()) + 8
    sides: tuple[Side, Side] = ("top", "bottom") if upright else ("bottom", "top")

    def paint(_: Xs, look: Look) -> Iterator[Shape]:
        shapes = _arm(axis, stand, common, look, height)
        yield from shapes if upright else upside_down(shapes, height)
        yield pin_letters(common, axis, sides[0], height)
        for pin, x in stand.items():
            yield pin_letters(pin, x, sides[1], height)
        yield from stacked(lines, right, height / 2)

    ports: list[Port] = [*site.ports(part, common, sides[0], axis)]
    for pin, x in stand.items():
        ports += site.ports(part, pin, sides[1], x)
    body = (min(stand.values()) - 12, LEAD - 3, right - min(stand.values()) + 6, GAP + 6)
    return Block(part.id, right + width_of(lines), height, tuple(ports), paint, body)


def _arm(
    axis: float, stand: dict[str, float], common: str, look: Look, height: float
) -> Iterator[Shape]:
    """The hinge on top, the contacts below, the arm where it stands: beside them if open."""
    hinge, contact = (height - GAP) / 2, (height + GAP) / 2
    closed = next((p for p in stand if look.joins(common, p)), "")
    yield Line(((axis, 0), (axis, hinge)))
    for x in stand.values():
        yield Line(((x, contact), (x, height)))
        yield Disc(x, contact, 2.4, fill=PAPER)
    tip = stand[closed] if closed else min(stand.values()) - 11
    yield Line(((axis, hinge), (tip, contact - 3 if closed else contact - 5)), 2.2)
    yield Disc(axis, hinge, 2.4, fill=PAPER)
