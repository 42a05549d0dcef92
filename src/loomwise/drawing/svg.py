"""Shapes as SVG text: attributes only, no style sheet and no script; the same bytes every time."""

from collections.abc import Iterable, Iterator, Mapping
from xml.sax.saxutils import escape, quoteattr

from loomwise.drawing.shapes import FONT, Arc, Box, Disc, Line, Point, Shape, Text


def number(value: float) -> str:
    """A coordinate with at most one decimal."""
    text = f"{value:.1f}"
    return "0" if text == "-0.0" else text.removesuffix(".0")


def tag(name: str, attributes: Mapping[str, str], inside: str | None = None) -> str:
    """One element."""
    words = "".join(f" {key}={quoteattr(value)}" for key, value in attributes.items() if value)
    if inside is None:
        return f"<{name}{words}/>"
    return f"<{name}{words}>{inside}</{name}>"


def group(attributes: Mapping[str, str], inside: Iterable[str], title: str = "") -> str:
    """A group, with a title for those who point at it or hear it."""
    head = [f"<title>{escape(title)}</title>"] if title else []
    return tag("g", attributes, "".join([*head, *inside]))


def path(points: Iterable[Point]) -> str:
    """A polyline's path."""
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points)


def written(shapes: Iterable[Shape]) -> Iterator[str]:
    """Each shape as an element."""
    return (_shape(shape) for shape in shapes)


def _shape(shape: Shape) -> str:
    match shape:
        case Line():
            return _line(shape)
        case Box():
            return _box(shape)
        case Disc():
            return _disc(shape)
        case Arc():
            return _arc(shape)
        case Text():
            return _text(shape)


def _line(line: Line) -> str:
    return tag(
        "path",
        {
            "d": path(line.points),
            "fill": line.fill,
            "stroke": line.stroke,
            "stroke-width": number(line.width),
            "stroke-dasharray": line.dash,
            "stroke-linejoin": "round",
        },
    )


def _box(box: Box) -> str:
    size = {"x": box.x, "y": box.y, "width": box.width, "height": box.height, "rx": box.radius}
    looks = {"fill": box.fill, "stroke": box.stroke if box.line else "none"}
    width = {"stroke-width": number(box.line) if box.line else "", "stroke-dasharray": box.dash}
    return tag("rect", {k: number(v) for k, v in size.items()} | looks | width)


def _disc(disc: Disc) -> str:
    size = {"cx": number(disc.x), "cy": number(disc.y), "r": number(disc.radius)}
    return tag(
        "circle", {**size, "fill": disc.fill, "stroke": disc.stroke, "stroke-width": f"{disc.line}"}
    )


def _arc(arc: Arc) -> str:
    (ax, ay), (bx, by) = arc.start, arc.end
    radius = number(max(abs(bx - ax), abs(by - ay)) / 2)
    words = f"M{number(ax)} {number(ay)}A{radius} {radius} 0 0 {arc.bulge} "
    words += f"{number(bx)} {number(by)}"
    looks = {"fill": "none", "stroke": "#1d2733", "stroke-width": number(arc.width)}
    return tag("path", {"d": words, **looks})


def _text(text: Text) -> str:
    anchor = "" if text.anchor == "start" else text.anchor
    place = {"x": number(text.x), "y": number(text.y), "font-size": number(text.size)}
    looks = {"text-anchor": anchor, "font-weight": "bold" if text.bold else "", "fill": text.fill}
    return tag("text", place | looks, escape(text.text))


def document(width: float, height: float, title: str, about: str, inside: Iterable[str]) -> str:
    """The whole drawing. It scales to where it is put; its own size is in pixels."""
    head = [f"<title>{escape(title)}</title>", f"<desc>{escape(about)}</desc>"]
    attributes = {
        "xmlns": "http://www.w3.org/2000/svg",
        "viewBox": f"0 0 {number(width)} {number(height)}",
        "width": number(width),
        "height": number(height),
        "role": "group",
        "aria-label": title,
        "font-family": FONT,
    }
    return tag("svg", attributes, "\n" + "\n".join([*head, *inside]) + "\n") + "\n"
