"""A relay: coil left, contact right, in one outline; each half stands as current runs in it."""

from collections.abc import Iterator

from loomwise.circuit.model import Part
from loomwise.drawing.block import Block, Look, Port, Side, Site, Xs
from loomwise.drawing.shapes import FILL, PAPER, SOFT, Box, Disc, Line, Shape
from loomwise.drawing.symbols.mirror import upside_down
from loomwise.drawing.symbols.words import lines_of, pin_letters, stacked, width_of

HEIGHT, LEAD = 66.0, 13.0
COIL_X, CONTACT_X, SPREAD = 32.0, 92.0, 18.0
HINGE, TIP = 22.0, 44.0


def relay_block(part: Part, site: Site) -> Block:
    """The block of a relay with any of its contacts."""
    coil: tuple[str, str] = ("86", "85")
    if site.height(part, "86") > site.height(part, "85"):
        coil = "85", "86"
    throws = [p for p in part.pins if p in ("87", "87a")]
    mean = sum(site.height(part, p) for p in throws) / len(throws)
    upright = site.height(part, "30") <= mean
    stand = _stand(throws)
    lines, width = lines_of(part, site), CONTACT_X + SPREAD + 12
    near: Side = "top" if upright else "bottom"
    far: Side = "bottom" if upright else "top"

    def paint(_: Xs, look: Look) -> Iterator[Shape]:
        dash = "3 2.5" if look.out else ""
        yield Box(0, LEAD, width, HEIGHT - 2 * LEAD, 3, fill=PAPER if look.out else FILL, dash=dash)
        inside = _leads(stand) if look.out else _contact(stand, look)
        yield from inside if upright else upside_down(inside, HEIGHT)
        if not look.out:
            yield from _coil(part.options.get("suppression", "none"), coil[0] == "86")
        yield pin_letters(coil[0], COIL_X, "top", HEIGHT)
        yield pin_letters(coil[1], COIL_X, "bottom", HEIGHT)
        yield pin_letters("30", CONTACT_X, near, HEIGHT)
        for pin, x in stand.items():
            yield pin_letters(pin, x, far, HEIGHT)
        yield from stacked(lines, width + 5, HEIGHT / 2)

    ports: list[Port] = [*site.ports(part, coil[0], "top", COIL_X)]
    ports += site.ports(part, coil[1], "bottom", COIL_X)
    ports += site.ports(part, "30", near, CONTACT_X)
    for pin, x in stand.items():
        ports += site.ports(part, pin, far, x)
    body = (0.0, LEAD, width, HEIGHT - 2 * LEAD)
    return Block(part.id, width + 5 + width_of(lines), HEIGHT, tuple(ports), paint, body)


def _stand(throws: list[str]) -> dict[str, float]:
    """A single contact stands under its hinge; of two, the one at rest is left."""
    if len(throws) == 1:
        return {throws[0]: CONTACT_X}
    return {"87a": CONTACT_X - SPREAD, "87": CONTACT_X + SPREAD}


def _leads(stand: dict[str, float]) -> Iterator[Shape]:
    """What is left in the socket of a relay that is taken out."""
    yield Line(((CONTACT_X, 0), (CONTACT_X, LEAD)))
    for x in stand.values():
        yield Line(((x, HEIGHT - LEAD), (x, HEIGHT)))
    for y in (0.0, HEIGHT - LEAD):
        yield Line(((COIL_X, y), (COIL_X, y + LEAD)))


def _coil(suppression: str, plus_on_top: bool) -> Iterator[Shape]:
    middle = HEIGHT / 2
    yield Line(((COIL_X, 0), (COIL_X, middle - 8)))
    yield Line(((COIL_X, middle + 8), (COIL_X, HEIGHT)))
    if suppression != "none":
        x, top, bottom = COIL_X - 22, middle - 14, middle + 14
        yield Line(((COIL_X, top), (x, top), (x, bottom), (COIL_X, bottom)), 1.1)
        if suppression == "resistor":
            yield Box(x - 3, middle - 8, 6, 16, line=1.1)
        else:
            yield from _diode(x, middle, plus_on_top)
    yield Box(COIL_X - 14, middle - 8, 28, 16, fill=PAPER)


def _diode(x: float, y: float, plus_on_top: bool) -> Iterator[Shape]:
    """Its cathode is at the coil's plus, so that it conducts only when the coil is cut off."""
    tip = -4.0 if plus_on_top else 4.0
    points = ((x - 4, y - tip), (x + 4, y - tip), (x, y + tip), (x - 4, y - tip))
    yield Line(points, 1.1, fill=PAPER)
    yield Line(((x - 4, y + tip), (x + 4, y + tip)), 1.4)


def _contact(stand: dict[str, float], look: Look) -> Iterator[Shape]:
    """Hinge 30 on top; the arm and the dashed link that the coil moves it by."""
    closed = next((p for p in stand if look.joins("30", p)), "")
    yield Line(((CONTACT_X, 0), (CONTACT_X, HINGE)))
    for x in stand.values():
        yield Line(((x, TIP), (x, HEIGHT)))
    rest = CONTACT_X - 11 if stand.get("87") == CONTACT_X else CONTACT_X + 11
    tip = stand[closed] if closed else rest
    yield Line(((COIL_X + 14, HEIGHT / 2), ((CONTACT_X + tip) / 2, HEIGHT / 2)), 1.1, SOFT, "3 2.5")
    yield Line(((CONTACT_X, HINGE), (tip, TIP - 3)), 2.2)
    for x in stand.values():
        yield Disc(x, TIP, 2.4, fill=PAPER)
    yield Disc(CONTACT_X, HINGE, 2.4, fill=PAPER)
