"""Bar plots as SVG: one value a month, each bar with its number, several plots below each other.

Black and grey on white, so that they are as legible in print; no number is told by colour alone.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

BAR, GAP, LEFT, TOP, HIGH, FOOT = 56, 18, 16, 34, 110, 40
"""Widths and heights of a plot. [px]"""
NARROWEST = 320
INK, FILL = "#111", "#4a6076"


@dataclass(frozen=True)
class Bars:
    """A plot: its title, a value for each name, their unit, and the top of its scale (0: the
    highest value)."""

    title: str
    values: tuple[float, ...]
    unit: str = ""
    top: float = 0.0


def draw_bars(names: Sequence[str], plots: Sequence[Bars], notes: Sequence[str] = ()) -> str:
    """Plots below each other over the same names; ``notes`` stand under the names."""
    width = max(NARROWEST, LEFT * 2 + len(names) * (BAR + GAP))
    each = TOP + HIGH + FOOT
    body = [_plot(p, names, notes, k * each, width) for k, p in enumerate(plots)]
    about = escape("; ".join(p.title for p in plots))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {each * len(plots)}"'
        f' width="{width}" height="{each * len(plots)}" role="img" aria-label="{about}"'
        f' font-family="sans-serif" font-size="13" fill="{INK}">'
        '<rect width="100%" height="100%" fill="#fff"/>'
        f"{''.join(body)}</svg>\n"
    )


def _plot(plot: Bars, names: Sequence[str], notes: Sequence[str], y: float, width: float) -> str:
    top = plot.top or max([*plot.values, 1e-9])
    floor = y + TOP + HIGH
    parts = [
        f'<text font-weight="600" x="{LEFT}" y="{y + 16}">{escape(plot.title)}</text>',
        f'<line stroke="{INK}" x1="{LEFT}" y1="{floor}" x2="{width - LEFT}" y2="{floor}"/>',
    ]
    for k, (name, value) in enumerate(zip(names, plot.values, strict=True)):
        x, high = LEFT + GAP / 2 + k * (BAR + GAP), (HIGH - 16) * min(value / top, 1.0)
        middle = x + BAR / 2
        size = f'width="{BAR}" height="{high:.1f}"'
        parts.append(
            f'<rect fill="{FILL}" x="{x:g}" y="{floor - high:.1f}" {size}/>'
            + _text(middle, floor - high - 4, f"{value:.0f}{plot.unit}")
            + _text(middle, floor + 16, name)
            + (_text(middle, floor + 31, notes[k], 11) if notes else "")
        )
    return "".join(parts)


def _text(x: float, y: float, words: str, size: int = 13) -> str:
    place = f'x="{x:g}" y="{y:.1f}" text-anchor="middle" font-size="{size}"'
    return f"<text {place}>{escape(words)}</text>"
