"""The drawing as SVG: wires below, symbols above them, and on top what a finger can hit."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from loomwise.circuit.model import Segment
from loomwise.drawing.block import Look, Port
from loomwise.drawing.chains import CONTACT_HEIGHT, CUP
from loomwise.drawing.legend import legend
from loomwise.drawing.marks import Marks, badges, bands
from loomwise.drawing.outlines import Outline, outlines
from loomwise.drawing.shapes import (
    BOLD,
    INK,
    LINE_HEIGHT,
    PAPER,
    PLAIN,
    SMALL,
    SOFT,
    Box,
    Line,
    Point,
    Shape,
    Text,
    moved_all,
    text_width,
    wrapped,
)
from loomwise.drawing.sheet import Contact, Run, Sheet, Standing
from loomwise.drawing.svg import document, group, number, tag, written
from loomwise.drawing.symbols.joints import contact_shapes
from loomwise.drawing.views import Stroke, View

MARGIN, LEAST_WIDTH = 18.0, 380.0
HIT = 14.0
"""Width of what a finger hits along a wire."""
HALO = 3.0
"""Paper on both sides of a wire, so that a crossing does not look like a joint."""


@dataclass(frozen=True)
class Caption:
    """What stands above the drawing, and how parts stand in it."""

    title: str
    lines: tuple[str, ...] = ()
    looks: Mapping[str, Look] = field(default_factory=dict)


def draw(sheet: Sheet, view: View, caption: Caption, marks: Marks | None = None) -> str:
    """The drawing as the text of an SVG file."""
    width = max(sheet.width, LEAST_WIDTH)
    head = list(_heading(caption, width))
    top = LINE_HEIGHT * 1.25 * len(head) + 16
    left = (width - sheet.width) / 2
    room, shapes = legend(view, [r.segment for r in sheet.runs], width)
    below = top + sheet.height + 22
    strokes = {run.segment.id: view.stroke(run.segment) for run in sheet.runs}
    inside = [
        group({"class": "heading"}, written(head)),
        tag("g", {"class": "sheet", "transform": f"translate({number(left)} {number(top)})"},
            "\n" + "\n".join(_sheet(sheet, strokes, caption, marks or Marks())) + "\n"),
        group({"class": "legend"}, written(moved_all(shapes, 0, below))),
    ]  # fmt: skip
    shift = tag("g", {"transform": f"translate({number(MARGIN)} {number(MARGIN)})"},
                "\n" + "\n".join(inside) + "\n")  # fmt: skip
    full = width + 2 * MARGIN, below + room + 2 * MARGIN
    paper = tag("rect", {"width": number(full[0]), "height": number(full[1]), "fill": PAPER})
    about = "; ".join(caption.lines) or "wiring diagram"
    return document(*full, caption.title, about, [paper, shift])


def _heading(caption: Caption, width: float) -> Iterator[Shape]:
    rows = [(line, BOLD + 2, INK) for line in _fit(caption.title, BOLD + 2, width)]
    for text in caption.lines:
        rows += [(line, PLAIN, SOFT) for line in _fit(text, PLAIN, width)]
    for n, (text, size, fill) in enumerate(rows):
        yield Text(0, LINE_HEIGHT * 1.25 * n + 12, text, size, bold=size > PLAIN, fill=fill)


def _fit(text: str, size: float, width: float) -> list[str]:
    return wrapped(text, int(width / text_width("0", size)))


def _sheet(
    sheet: Sheet, strokes: Mapping[str, Stroke], caption: Caption, marks: Marks
) -> Iterator[str]:
    yield group({"class": "units"}, (_outline(outline) for outline in outlines(sheet)))
    yield group({"class": "bands"}, written(bands(sheet, marks)))
    yield group({"class": "wires"}, (_wire(run, strokes[run.segment.id]) for run in sheet.runs))
    looks = caption.looks
    yield group({"class": "parts"}, (_block(b, looks) for b in sheet.blocks))
    yield group({"class": "contacts"}, (_contact(c, looks) for c in sheet.contacts))
    if sheet.letters:
        names = (Text(x, y, name, PLAIN, bold=True) for (x, y), name in sheet.letters)
        yield group({"class": "goes-on"}, written(names))
    marked = (group({"class": "badge"}, written(badge)) for badge in badges(sheet, marks))
    yield group({"class": "marks"}, marked)
    yield group(
        {"class": "hits", "fill": "none", "pointer-events": "all"},
        (
            *_wire_hits(sheet.runs),
            *_block_hits(sheet.blocks),
            *(hit for contact in sheet.contacts for hit in _contact_hits(contact)),
        ),
    )


def _outline(outline: Outline) -> str:
    box = Box(*outline.box, 8, "#a9a294", "none", 1, dash="3 4")
    return group({"class": "unit", "data-unit": outline.unit}, written([box]), outline.unit)


def _wire(run: Run, stroke: Stroke) -> str:
    pieces = run.pieces(_sleeve_height(stroke))
    lines: list[Shape] = [Line(p, stroke.width + 2 * HALO, PAPER) for p in pieces]
    if stroke.outline:
        lines += [Line(p, stroke.width + 2, stroke.outline) for p in pieces]
    lines += [Line(p, stroke.width, stroke.colour, stroke.dash) for p in pieces]
    if stroke.stripe:
        lines += [Line(p, stroke.width * 0.45, stroke.stripe, "9 6") for p in pieces]
    return group(
        {"class": "wire", "data-wire": run.segment.id},
        written([*lines, *_sleeve(run, stroke)]),
        title=_wire_words(run.segment, stroke),
    )


def _sleeve(run: Run, stroke: Stroke) -> Iterator[Shape]:
    if run.sleeve is None:
        return
    x, y, width, height = run.sleeve
    middle, tall = y + height / 2, _sleeve_height(stroke)
    yield Box(x, middle - tall / 2, width, tall, 4, SOFT, PAPER, 0.8)
    for n, words in enumerate(stroke.words):
        base = middle - tall / 2 + 13 * n + 10.5
        size, fill = (PLAIN, INK) if n == len(stroke.words) - 1 else (SMALL, SOFT)
        yield Text(x + width / 2, base, words, size, "middle", fill=fill)


def _sleeve_height(stroke: Stroke) -> float:
    return 13.0 * len(stroke.words) + 1


def _wire_words(segment: Segment, stroke: Stroke) -> str:
    ends = f"{segment.a} to {segment.b}"
    if segment.kind == "inner":
        return f"{ends}, inside {segment.unit}" + (f"; {stroke.value}" if stroke.value else "")
    looks = f"{segment.colour} {segment.area_mm2:.3g} mm²".strip()
    words = [f"{looks}, {segment.length_m:.2g} m", segment.loom, stroke.value]
    return f"{ends}: " + "; ".join(word for word in words if word)


def _block(standing: Standing, looks: Mapping[str, Look]) -> str:
    block = standing.block
    shapes = block.paint(standing.ports, looks.get(block.id, Look()))
    moved = moved_all(shapes, standing.x, standing.y)
    at = f"{number(standing.x)} {number(standing.y)}"
    return group({"class": "part", "data-part": block.id, "data-at": at}, written(moved))


def _contact(contact: Contact, looks: Mapping[str, Look]) -> str:
    apart = looks.get(contact.segment.id, Look()).out
    shapes = contact_shapes(contact.segment.id, contact.x, contact.y, apart)
    return group({"class": "contact", "data-contact": contact.segment.id}, written(shapes))


def _hit(box: tuple[float, float, float, float], data: Mapping[str, str]) -> str:
    names = ("x", "y", "width", "height")
    return tag("rect", {k: number(v) for k, v in zip(names, box, strict=True)} | dict(data))


def _wire_hits(runs: Iterable[Run]) -> Iterator[str]:
    for run in runs:
        for (ax, ay), (bx, by) in pairwise(run.points):
            left, top = min(ax, bx) - HIT / 2, min(ay, by) - HIT / 2
            size = abs(ax - bx) + HIT, abs(ay - by) + HIT
            yield _hit((left, top, *size), {"data-wire": run.segment.id})


def _block_hits(blocks: Iterable[Standing]) -> Iterator[str]:
    for standing in blocks:
        x, y, width, height = standing.block.body
        box = (standing.x + x, standing.y + y, width, height)
        yield _hit(box, {"data-part": standing.block.id})
        for port in standing.block.ports:
            yield _hit(_around(standing.point(port), port), {"data-place": port.place})


def _around(at: Point, port: Port) -> tuple[float, float, float, float]:
    """The pin's lead and letters, and a little of the wire before it."""
    x, y = at
    return x - HIT / 2, y - (5 if port.side == "top" else HIT - 5), HIT, HIT


def _contact_hits(contact: Contact) -> Iterator[str]:
    """Each side of a contact is a place of its own: the upper half, and the lower one."""
    half = CONTACT_HEIGHT / 2
    left = contact.x - HIT / 2
    width = HIT / 2 + CUP + 4 + text_width(contact.segment.id, PLAIN)
    middle = contact.y + half
    yield _hit((left, middle - HIT, width, HIT), {"data-place": contact.upper})
    yield _hit((left, middle, width, HIT), {"data-place": contact.lower})
