"""Wires: gauge, resistance, what they stand and what they lose."""

import math
from collections.abc import Iterator
from functools import partial

from loomwise.circuit.wire import wire_resistance_ohm
from loomwise.sizing.ampacity import Surroundings, bundle_share, stands_a
from loomwise.sizing.drop import drop_v, resistance_ohm
from loomwise.sizing.fuse import largest_fuse_a
from loomwise.sizing.size import Question, size
from loomwise.units import awg_to_mm2
from tests.kinds.warm import warm_share
from tests.outside import sources as s
from tests.outside.check import COMPUTED, PRACTICE, Check, Figure, about, digits, share

FT_M = 0.3048
MM2_PER_CMIL = math.pi / 4 * 0.0254**2

GAUGES = [  # gauge, diameter [inch] and area [cmil] (Lessons), [ohm/km at 20 C] (1728.org)
    ("22", 0.02535, 642.5, 52.94),
    ("21", 0.02846, 810.1, 41.98),
    ("20", 0.03196, 1022, 33.29),
    ("19", 0.03589, 1288, 26.41),
    ("18", 0.04030, 1624, 20.94),
    ("17", 0.04526, 2048, 16.61),
    ("16", 0.05082, 2583, 13.17),
    ("15", 0.05707, 3257, 10.44),
    ("14", 0.06408, 4107, 8.28),
    ("13", 0.07196, 5178, 6.57),
    ("12", 0.08081, 6530, 5.21),
    ("11", 0.09074, 8234, 4.13),
    ("10", 0.1019, 10380, 3.28),
    ("9", 0.1144, 13090, 2.60),
    ("8", 0.1285, 16510, 2.06),
    ("7", 0.1443, 20820, 1.63),
    ("6", 0.1620, 26250, 1.30),
    ("5", 0.1819, 33100, 1.03),
    ("4", 0.2043, 41740, 0.82),
    ("3", 0.2294, 52630, 0.65),
    ("2", 0.2576, 66370, 0.51),
    ("1", 0.2893, 83690, 0.41),
    ("1/0", 0.3249, 105500, 0.32),
    ("2/0", 0.3648, 133100, 0.26),
    ("3/0", 0.4096, 167800, 0.20),
    ("4/0", 0.4600, 211600, 0.16),
]
MAXIMA = [  # mm2, most ohm/km of classes 1 and 2, of classes 5 and 6
    (0.5, 36.0, 39.0),
    (0.75, 24.5, 26.0),
    (1, 18.1, 19.5),
    (1.5, 12.1, 13.3),
    (2.5, 7.41, 7.98),
    (4, 4.61, 4.95),
    (6, 3.08, 3.30),
    (10, 1.83, 1.91),
    (16, 1.15, 1.21),
    (25, 0.727, 0.780),
    (35, 0.524, 0.554),
    (50, 0.387, 0.386),
    (70, 0.268, 0.272),
    (95, 0.193, 0.206),
    (120, 0.153, 0.161),
]
THIN_WALL = [(0.5, 11), (0.75, 14), (1, 16.5), (1.5, 21), (2.5, 29), (4, 39), (6, 50), (10, 70)]
BUILDING = [("6", 80), ("4", 105), ("2", 140), ("1/0", 195), ("4/0", 300)]
BUNDLES = [(9, 0.5), (11, 0.5), (12, 0.45), (16, 0.41), (20, 0.38)]
USUAL = [(0.75, 10), (1.0, 10), (1.5, 15), (2.5, 20)]


def checks() -> Iterator[Check]:
    """Every check of this topic."""
    yield from _gauges()
    yield from _pure_copper()
    yield from _worked()
    yield from _stands()
    yield from _losses()


def _gauges() -> Iterator[Check]:
    for gauge, inch, cmil, ohm_per_km in GAUGES:
        area = awg_to_mm2(gauge)
        yield Check(
            f"{gauge} AWG, diameter",
            "inch",
            partial(_inch, area),
            share(inch, 2.5e-4, "four printed digits"),
            s.LESSONS,
            "ch. 12",
        )
        yield Check(
            f"{gauge} AWG, area",
            "cmil",
            partial(float.__truediv__, area, MM2_PER_CMIL),
            share(cmil, 5e-4, "four printed digits"),
            s.LESSONS,
            "ch. 12",
        )
        yield Check(
            f"{gauge} AWG at 20 °C",
            "ohm/km",
            partial(wire_resistance_ohm, 1000, area),
            about(ohm_per_km, max(1e-3 * ohm_per_km, 6e-3), "0.1 %, or two printed decimals"),
            s.WIRE_1728,
        )


def _inch(area_mm2: float) -> float:
    return math.sqrt(area_mm2 * 4 / math.pi) / 25.4


def _pure_copper() -> Iterator[Check]:
    why = "pure copper lies 3 to 20 % below what a good cable may have"
    for area, solid, flexible in MAXIMA:
        for name, most in (("solid", solid), ("flexible", flexible)):
            yield Check(
                f"{area:g} mm², pure copper, beside {name} at most",
                "ohm/km",
                partial(wire_resistance_ohm, 1000, area),
                Figure(f"{most:g}", most / 1.2, most / 1.03, why),
                s.IEC_60228,
            )


def _worked() -> Iterator[Check]:
    book = partial(wire_resistance_ohm, resistivity_ohm_mm2_per_m=0.0168)
    bare = partial(wire_resistance_ohm, resistivity_ohm_mm2_per_m=1)
    mils = partial(wire_resistance_ohm, resistivity_ohm_mm2_per_m=10.09 * MM2_PER_CMIL / FT_M)
    yield Check(
        "1 m of 1 mm²", "ohm", partial(wire_resistance_ohm, 1, 1), digits("0.017241"), s.IEC_60028
    )
    yield Check(
        "50 m of 12 AWG, out and back",
        "ohm",
        partial(wire_resistance_ohm, 100, awg_to_mm2(12)),
        digits("0.52"),
        s.AION,
    )
    yield Check(
        "5 m of 3.31 mm², the book's copper",
        "ohm",
        partial(book, 5, 3.31),
        digits("0.025"),
        s.UP,
        "9.3 (m58731)",
    )
    yield Check(
        "20 m of 2.053 mm diameter, the book's copper",
        "ohm",
        partial(book, 20, math.pi / 4 * 2.053**2),
        digits("0.10"),
        s.UP,
        "9.3 (m58731)",
    )
    yield Check(
        "2300 ft of 14 AWG, 10.09 ohm cmil/ft",
        "ohm",
        partial(mils, 2300 * FT_M, 4107 * MM2_PER_CMIL),
        digits("5.651"),
        s.LESSONS,
        "ch. 12",
    )
    yield Check(
        "15 ohm at 20 °C, warmed to 35 °C (0.004041 per K)",
        "ohm",
        partial(bare, 15, 1, 35, alpha_per_c=0.004041),
        digits("15.909"),
        s.LESSONS,
        "ch. 12",
    )
    yield Check(
        "aluminium bar 4 x 3 x 125 cm (2.65e-6 ohm cm)",
        "uohm",
        lambda: 1e6 * wire_resistance_ohm(1.25, 1200, resistivity_ohm_mm2_per_m=0.0265),
        digits("27.604"),
        s.LESSONS,
        "ch. 12",
    )
    yield Check(
        "wire of a circuit at 80 °C over 20 °C",
        "-",
        warm_share,
        about(1.2358, 1e-4, "0.00393 per K over 60 K, four decimals"),
        s.POWER_HANDBOOK,
    )


def _stands() -> Iterator[Check]:
    alone = Surroundings()
    for area, amps in THIN_WALL:
        yield Check(
            f"{area:g} mm² thin-wall, alone, stands",
            "A",
            partial(stands_a, area, alone),
            about(amps, 1e-6, "taken from the sheet"),
            s.THIN_WALL,
        )
    for gauge, amps in BUILDING:
        yield Check(
            f"{gauge} AWG, alone, stands",
            "A",
            partial(stands_a, awg_to_mm2(gauge), alone),
            share(amps, 0.07, "another insulation"),
            s.LESSONS,
            "ch. 12, free air of 30 °C",
        )
    for wires, part in BUNDLES:
        yield Check(
            f"share of {wires} wires in a bundle",
            "-",
            partial(bundle_share, wires),
            about(part, 1e-9, "taken from the table"),
            s.BUNDLES,
        )
    yield Check(
        "6 AWG of 105 °C: 50 °C air over 30 °C air",
        "-",
        _warm_air,
        share(102 / 120, 0.01, "amperes of two and three digits"),
        s.ABYC_AMPS,
    )
    for area, fuse in USUAL:
        yield Check(
            f"largest fuse on {area:g} mm²",
            "A",
            partial(_fuse_a, area),
            about(fuse, 0.0, "a rating that exists"),
            PRACTICE,
        )


def _warm_air() -> float:
    cool, warm = (stands_a(awg_to_mm2("6"), Surroundings(t, 1, 105.0)) for t in (30.0, 50.0))
    return warm / cool


def _fuse_a(area_mm2: float) -> float:
    return largest_fuse_a(stands_a(area_mm2, Surroundings())) or 0.0


def _losses() -> Iterator[Check]:
    for area, _, flexible in MAXIMA[:8]:
        why = "ours is the worst good cable: no less than published, 5 % more at most"
        yield Check(
            f"{area:g} mm² in the calculator",
            "ohm/km",
            partial(resistance_ohm, area, 1000.0),
            Figure(f"{flexible:g}", flexible * 0.999, flexible * 1.05, why),
            s.IEC_60228,
        )
    drop = 10.75 * 10.0 * 20.0 / 4107.0
    why = "the formula is for copper alone, ours for the worst cable: -4 to +16 %"
    yield Check(
        "20 ft of 14 AWG at 10 A lose",
        "V",
        partial(drop_v, awg_to_mm2("14"), 20 * FT_M, 10.0),
        Figure(f"{drop:.4g}", drop * 0.96, drop * 1.16, why),
        s.ABYC_DROP,
        mark=COMPUTED,
    )
    for percent, wire in ((3, "10 AWG"), (10, "16 AWG")):
        q = Question(10.0, 21 * FT_M, 12.0, 12.0 * percent / 100)
        yield Check(
            f"wire for 10 A, 12 V, 21 ft, {percent} %", "", partial(_wire, q), wire, s.HOLLAND
        )


def _wire(q: Question) -> str:
    return str(size(q, awg=True).for_drop)
