"""What is written beside a symbol: its id, its main value, the unit it sits in."""

from collections.abc import Iterator, Sequence

from loomwise.circuit.model import FILAMENTS, Part
from loomwise.drawing.block import Side, Site
from loomwise.drawing.shapes import BOLD, LINE_HEIGHT, PLAIN, SMALL, SOFT, Text, text_width, wrapped
from loomwise.units import format_quantity

SHOWN = (
    *(("rating_a", "A"), ("power_w", "W"), ("current_a", "A"), ("emf_v", "V")),
    *(("resistance_ohm", "ohm"), ("capacitance_f", "F"), ("coil_ohm", "ohm")),
)
"""The values worth a line, the first that a part has."""
MOST = 14
"""Characters in a line."""

Lines = Sequence[Text]


def lines_of(part: Part, site: Site) -> tuple[Text, ...]:
    """The lines beside a symbol, from its left upper corner, not yet put in place."""
    words = [Text(0, 0, part.id, BOLD, bold=True)]
    words += [Text(0, 0, value, PLAIN) for value in _value(part)]
    home = site.home(part)
    words += [Text(0, 0, line, SMALL, fill=SOFT) for line in wrapped(home, MOST)]
    return tuple(words)


def _value(part: Part) -> Iterator[str]:
    if part.control:
        yield from wrapped(part.control, MOST)
        return
    if part.kind == "two-filament lamp":
        yield "/".join(f"{part.values[power]:g}" for power in FILAMENTS.values()) + " W"
        return
    if "metal" in part.options:  # a ground point elsewhere than on the body
        yield part.options["metal"]
        return
    for name, unit in SHOWN:
        if name in part.values:
            yield format_quantity(part.values[name], unit)
            return


def width_of(lines: Lines) -> float:
    """Width of the widest line."""
    return max((text_width(line.text, line.size) for line in lines), default=0.0)


def height_of(lines: Lines) -> float:
    """Height of all lines."""
    return LINE_HEIGHT * len(lines)


def stacked(lines: Lines, x: float, middle: float) -> Iterator[Text]:
    """The lines from ``x``, about the height ``middle``."""
    top = middle - height_of(lines) / 2
    for number, line in enumerate(lines):
        y = top + LINE_HEIGHT * number + 9.5
        yield Text(x, y, line.text, line.size, line.anchor, line.bold, line.fill)


def pin_letters(pin: str, x: float, side: Side, height: float) -> Text:
    """A pin's name to the left of its lead, at the edge of the block."""
    y = 8.0 if side == "top" else height - 2.0
    return Text(x - 3.5, y, pin, SMALL, "end", fill=SOFT)


def pin_room(pins: Sequence[str]) -> float:
    """What the letters of pins take up to the left of a lead."""
    return max((text_width(pin, SMALL) for pin in pins), default=0.0) + 4.5
