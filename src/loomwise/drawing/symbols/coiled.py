"""Relays whose coil and contact share pins: the starter's solenoid, the split-charge relay."""

from collections.abc import Iterator

from loomwise.circuit.model import Part
from loomwise.drawing.block import Block, Look, Site, Xs
from loomwise.drawing.shapes import FILL, PAPER, Box, Disc, Line, Shape
from loomwise.drawing.symbols.relay import COIL_X, CONTACT_X, HEIGHT, HINGE, LEAD, TIP
from loomwise.drawing.symbols.words import lines_of, pin_letters, stacked, width_of

COILED = frozenset({"starter solenoid", "split-charge relay"})
PULL_IN_X = 64.0
MIDDLE = HEIGHT / 2
WIDTH = CONTACT_X + 20


def coiled_block(part: Part, site: Site) -> Block:
    """Contact from 30 down to 45 or 87; its coil from 50, or from 30 itself, down to 31."""
    starter = part.kind == "starter solenoid"
    far = "45" if starter else "87"
    stand = {"30": (CONTACT_X, "top"), far: (CONTACT_X, "bottom"), "31": (COIL_X, "bottom")}
    if starter:
        stand["50"] = (COIL_X, "top")
    lines = lines_of(part, site)

    def paint(_: Xs, look: Look) -> Iterator[Shape]:
        dash = "3 2.5" if look.out else ""
        fill = PAPER if look.out else FILL
        yield Box(0, LEAD, WIDTH, HEIGHT - 2 * LEAD, 3, fill=fill, dash=dash)
        yield from _starter() if starter else _split_charge()
        yield from _contact(look.joins("30", far))
        for pin, (x, side) in stand.items():
            yield pin_letters(pin, x, "top" if side == "top" else "bottom", HEIGHT)
        yield from stacked(lines, WIDTH + 5, MIDDLE)

    ports = tuple(
        port
        for pin, (x, side) in stand.items()
        for port in site.ports(part, pin, "top" if side == "top" else "bottom", x)
    )
    body = (0.0, LEAD, WIDTH, HEIGHT - 2 * LEAD)
    return Block(part.id, WIDTH + 5 + width_of(lines), HEIGHT, ports, paint, body)


def _starter() -> Iterator[Shape]:
    """Hold-in winding to 31, pull-in winding beside it to the motor's stud."""
    yield Line(((COIL_X, 0), (COIL_X, HEIGHT)))
    yield Line(((COIL_X, 19), (PULL_IN_X, 19), (PULL_IN_X, HEIGHT - 18), (CONTACT_X, HEIGHT - 18)))
    for x in (COIL_X, PULL_IN_X):
        yield Box(x - 11, MIDDLE - 8, 22, 16, fill=PAPER)


def _split_charge() -> Iterator[Shape]:
    """The coil is fed from 30, which it watches."""
    yield Line(((CONTACT_X, 17), (COIL_X, 17), (COIL_X, HEIGHT)))
    yield Box(COIL_X - 14, MIDDLE - 8, 28, 16, fill=PAPER)


def _contact(closed: bool) -> Iterator[Shape]:
    yield Line(((CONTACT_X, 0), (CONTACT_X, HINGE)))
    yield Line(((CONTACT_X, TIP), (CONTACT_X, HEIGHT)))
    yield Line(((CONTACT_X, HINGE), (CONTACT_X - (0 if closed else 11), TIP - 3)), 2.2)
    for y in (HINGE, TIP):
        yield Disc(CONTACT_X, y, 2.4, fill=PAPER)
