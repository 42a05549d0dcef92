"""What the colours, widths and dashes of a drawing mean, below it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from loomwise.circuit.model import Segment
from loomwise.drawing import colours
from loomwise.drawing.shapes import INK, SMALL, SOFT, Box, Line, Shape, Text, moved_all, text_width
from loomwise.drawing.views import DASH, View, current_width
from loomwise.units import format_quantity

ROW, GAP = 22.0, 18.0
STEPS = 60
BAR_WIDTH = 240.0
AMPS = (0.0, 0.1, 1.0, 10.0)


@dataclass(frozen=True)
class Item:
    """One piece of the legend, drawn from its left upper corner."""

    width: float
    height: float
    shapes: tuple[Shape, ...]


def legend(view: View, segments: Iterable[Segment], room: float) -> tuple[float, list[Shape]]:
    """The height of the legend, and its shapes from (0, 0), in rows as wide as ``room``."""
    items = list(_voltage(view) if view.name == "voltage" else _insulation(view, segments))
    x = y = tall = 0.0
    shapes: list[Shape] = []
    for item in items:
        if x and x + item.width > room:
            x, y, tall = 0.0, y + tall, 0.0
        shapes += moved_all(item.shapes, x, y)
        x, tall = x + item.width + GAP, max(tall, item.height)
    return y + tall, shapes


def _words(text: str, x: float) -> Text:
    return Text(x, 14, text, SMALL, fill=SOFT)


def _insulation(view: View, segments: Iterable[Segment]) -> Iterator[Item]:
    used = dict.fromkeys(code for s in segments for code in colours.codes(s.colour))
    for code in colours.INSULATION:
        if code in used:
            colour = colours.INSULATION[code]
            text = f"{code} {colours.NAMES[code]}"
            line = _sample(view.toned(colour), 3.4, view.toned(colours.outline(colour)))
            yield Item(30 + text_width(text, SMALL), ROW, (*line, _words(text, 29)))
    text = "on a wire: colour, size in mm²"
    yield Item(text_width(text, SMALL), ROW, (_words(text, 0),))
    text = "inside a unit"
    line = _sample(view.toned(colours.BARE), 2.0, "")
    yield Item(30 + text_width(text, SMALL), ROW, (*line, _words(text, 29)))


def _sample(colour: str, width: float, outline: str, dash: str = "") -> tuple[Shape, ...]:
    points = ((1.0, 10.5), (24.0, 10.5))
    under = (Line(points, width + 2.0, outline),) if outline else ()
    return (*under, Line(points, width, colour, dash))


def _voltage(view: View) -> Iterator[Item]:
    yield Item(BAR_WIDTH + 14, 36, tuple(_bar(view)))
    colour = view.volt_colour(view.supply_v)
    for amps in AMPS:
        text = "no current" if not amps else format_quantity(amps, "A")
        line = _sample(colour, current_width(amps), view.toned(colours.outline(colour)))
        yield Item(30 + text_width(text, SMALL), ROW, (*line, _words(text, 29)))
    text = "floating: a meter wanders"
    pale = view.toned(colours.PALE)
    line = _sample(pale, 2.4, view.toned(colours.outline(colours.PALE)), DASH)
    yield Item(30 + text_width(text, SMALL), ROW, (*line, _words(text, 29)))


def _bar(view: View) -> Iterator[Shape]:
    """Volts against the body, from none to most, with a tick at every quarter of the supply."""
    step = BAR_WIDTH / STEPS
    for n in range(STEPS):
        colour = view.volt_colour(view.most_v * (n + 0.5) / STEPS)
        yield Box(n * step, 4, step, 10, fill=colour, line=0)
    yield Box(0, 4, BAR_WIDTH, 10, fill="none", line=1)
    ticks = 5
    for n in range(ticks + 1):
        x = BAR_WIDTH * n / ticks
        yield Line(((x, 14), (x, 18)), 1, INK)
        volts = f"{view.most_v * n / ticks:g}" + (" V" if n == ticks else "")
        yield Text(x, 28, volts, SMALL, "start" if not n else "middle", fill=SOFT)
