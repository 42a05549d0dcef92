"""How wires look: by their insulation, or by the volts and amps on them."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from loomwise.circuit.model import Segment
from loomwise.drawing import colours
from loomwise.drawing.chains import sleeve_text
from loomwise.units import format_quantity

ViewName = Literal["insulation", "voltage"]

PLAIN_WIDTH, LEAD_WIDTH = 3.4, 2.0
"""A wire, and a lead inside a unit, in the insulation view."""
THINNEST, WIDEST, DECADE = 1.6, 7.0, 1.7
"""Widths by current: a dead wire, the most, and what a decade from 10 mA adds."""
LEAST_A = 0.01
HEADROOM = 1.25
"""The scale of volts ends above the nominal supply: charging, engine running."""
DASH = "7 5"


@dataclass(frozen=True)
class Solved:
    """Volts of places against the body, amps of segments from a to b, places that float."""

    voltages_v: Mapping[str, float]
    currents_a: Mapping[str, float]
    floating: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Stroke:
    """How one wire is drawn. ``words`` stand on its sleeve, ``value`` is said of it in words."""

    colour: str
    width: float
    outline: str = ""
    stripe: str = ""
    dash: str = ""
    words: tuple[str, ...] = ()
    value: str = ""


@dataclass(frozen=True)
class View:
    """Which view, what was solved for it, and whether it goes without colour."""

    name: ViewName = "insulation"
    solved: Solved = field(default_factory=lambda: Solved({}, {}))
    supply_v: float = 12.0
    grey: bool = False

    @property
    def most_v(self) -> float:
        """The upper end of the scale."""
        return self.supply_v * HEADROOM

    def stroke(self, segment: Segment) -> Stroke:
        """How a wire is drawn."""
        return self._volts(segment) if self.name == "voltage" else self._insulation(segment)

    def volt_colour(self, voltage_v: float) -> str:
        """Where a voltage stands on the scale."""
        return self.toned(colours.scale_colour(voltage_v / self.most_v))

    def toned(self, colour: str) -> str:
        """A colour, or its grey."""
        return colours.grey(colour) if self.grey else colour

    def _insulation(self, segment: Segment) -> Stroke:
        words = (sleeve_text(segment),) if sleeve_text(segment) else ()
        found = colours.codes(segment.colour)
        if segment.kind != "wire" or not found:
            width = PLAIN_WIDTH if segment.kind == "wire" else LEAD_WIDTH
            return Stroke(self.toned(colours.BARE), width, words=words)
        main = colours.INSULATION[found[0]]
        stripe = self.toned(colours.INSULATION[found[1]]) if len(found) > 1 else ""
        return Stroke(
            self.toned(main), PLAIN_WIDTH, self.toned(colours.outline(main)), stripe, words=words
        )

    def _volts(self, segment: Segment) -> Stroke:
        solved = self.solved
        volts = [solved.voltages_v[place] for place in (segment.a, segment.b)]
        amps = solved.currents_a.get(segment.id, 0.0)
        mean = sum(volts) / 2
        floats = solved.floating.issuperset((segment.a, segment.b))
        shown = "floating" if floats else volts_words(mean)
        colour = self.volt_colour(mean)
        return Stroke(
            colour=self.toned(colours.PALE) if floats else colour,
            width=current_width(amps),
            outline=self.toned(colours.outline(colours.PALE if floats else colour)),
            dash=DASH if floats else "",
            words=(sleeve_text(segment), shown) if sleeve_text(segment) else (),
            value=f"{shown}, {format_quantity(amps, 'A')}",
        )


def current_width(current_a: float) -> float:
    """Width of a wire by its current: so much more for every decade above 10 mA."""
    decades = math.log10(max(abs(current_a) / LEAST_A, 1.0))
    return min(THINNEST + DECADE * decades, WIDEST)


def volts_words(voltage_v: float) -> str:
    """Volts in at most eight characters."""
    return f"{voltage_v:.2f} V".replace("-0.00", "0.00")
