"""Two ways to look at the same wires."""

import pytest

from loomwise.circuit.wireline import COLOURS
from loomwise.drawing import colours
from loomwise.drawing.shapes import PAPER
from loomwise.drawing.views import Solved, View, current_width
from tests.drawing.sheets import lamp, voltage_view

STEPS = [n / 40 for n in range(41)]


def contrast(a: str, b: str) -> float:
    """Contrast ratio of two colours (WCAG 2.2)."""
    light, dark = sorted((colours.luminance(a), colours.luminance(b)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def as_seen_without_green_cones(colour: str) -> tuple[float, ...]:
    """Linear RGB as a deuteranope sees it.

    Machado, Oliveira, Fernandes 2009, IEEE TVCG 15(6), table of matrices, severity 1.0.
    """
    rgb = [((int(colour[i : i + 2], 16) / 255 + 0.055) / 1.055) ** 2.4 for i in (1, 3, 5)]
    rows = ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413),
            (-0.011820, 0.042940, 0.968881))  # fmt: skip
    return tuple(sum(k * c for k, c in zip(row, rgb, strict=True)) for row in rows)


def test_every_code_has_a_colour_and_a_name() -> None:
    """Whatever colour a wire line may name can be drawn and is in the legend."""
    assert set(COLOURS) == set(colours.INSULATION) == set(colours.NAMES)


@pytest.mark.parametrize("code", COLOURS)
def test_every_insulation_stands_out(code: str) -> None:
    """White, yellow and silver wires can be seen on paper, by an outline if not by themselves."""
    colour = colours.INSULATION[code]
    edge = colours.outline(colour)
    assert max(contrast(colour, PAPER), contrast(edge, PAPER)) >= 3
    assert contrast(edge, colour) >= 2


def test_volts_grow_lighter_all_the_way() -> None:
    """The scale can be read in grey, and by eyes that do not tell red from green."""
    scale = [colours.scale_colour(share) for share in STEPS]
    light = [colours.luminance(c) for c in scale]
    assert light == sorted(light) and len(set(light)) == len(light)
    seen = [sum(as_seen_without_green_cones(c)[:2]) for c in scale]
    assert seen == sorted(seen)
    assert colours.scale_colour(-1) == scale[0] and colours.scale_colour(2) == scale[-1]


def test_grey_has_no_colour() -> None:
    """A drawing for a black-and-white printer keeps the lightness and drops the rest."""
    for colour in (*colours.INSULATION.values(), *colours.SCALE):
        grey = colours.grey(colour)
        assert grey[1:3] == grey[3:5] == grey[5:7]
        assert colours.luminance(grey) == pytest.approx(colours.luminance(colour), abs=0.01)


def test_more_current_is_broader() -> None:
    """No current is the thinnest, a starter's the broadest, and wires stay apart."""
    widths = [current_width(amps) for amps in (0, 0.05, 0.5, 5, 50, 500)]
    assert widths == sorted(widths) and widths[-1] <= 7
    assert current_width(-5) == current_width(5)


def test_a_fed_wire_says_its_volts() -> None:
    """With the light on, the wire to the lamp shows its volts; dashed is only what floats."""
    segment = lamp().segments["S1.2-E1.1"]
    on = voltage_view(lamp(), light="on").stroke(segment)
    assert on.words[0] == "GN 1.5" and on.words[1].startswith("12.")
    assert on.dash == ""
    loose = Solved({"S1.2": 0.0, "E1.1": 0.0}, {}, frozenset({"S1.2", "E1.1"}))
    off = View("voltage", loose).stroke(segment)
    assert off.words[1] == "floating" and off.dash and off.colour == colours.PALE


def test_a_two_coloured_wire_has_its_stripe() -> None:
    """RDWH is red with a white stripe."""
    stroke = View().stroke(lamp().segments["C1.1.b-S1.1"])
    assert stroke.colour == colours.INSULATION["RD"]
    assert stroke.stripe == colours.INSULATION["WH"]
