"""The current a wire stands for good, by size, surroundings and bundle.

.. [1] Cable range sheet, thin-wall automotive cable to ISO 6722 / LV112 type B,
   https://cdn.shopify.com/s/files/1/0663/5103/8714/files/Automotive_Cables.pdf
.. [2] Bunched conductors, as read out of BS 7671 table 4C1 from 9 on,
   https://engx.theiet.org/f/wiring-and-regulations/29686/table-4c1/134157 ; fewer: from memory, of
   IEC 60364-5-52, table B.52.17.
.. [3] 6 AWG, insulation for 105 °C: 120 A at 30 °C and 102 A at 50 °C, of ABYC E-11,
   https://explorist.life/max-amps-a-wire-can-handle with the temperatures of
   https://marincofaq.wordpress.com/category/appendix/wire-charts/
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from loomwise.errors import QuantityError

NOMINAL_A = (
    (0.5, 11.0),
    (0.75, 14.0),
    (1.0, 16.5),
    (1.5, 21.0),
    (2.0, 25.0),
    (2.5, 29.0),
    (3.0, 33.0),
    (4.0, 39.0),
    (4.5, 42.0),
    (6.0, 50.0),
    (8.5, 63.0),
    (10.0, 70.0),
)
"""Area [mm²], nominal current [A] of a wire alone [1]_."""
BEYOND_EXPONENT = math.log(70 / 11) / math.log(10 / 0.5)
"""How the current goes on with the area beyond the table: as it does over it. Engineering
judgement; within 6 % of the building-wire values for 6 AWG to 4/0."""
NOMINAL_C = 30.0
"""Air that the nominal currents hold for. The sheet does not say: engineering judgement."""
INSULATION_C = 100.0
"""What thin-wall insulation of class B stands for good. From memory, of ISO 6722."""
BUNDLE = (
    (1, 1.0), (2, 0.8), (3, 0.7), (4, 0.65), (5, 0.6), (6, 0.57), (7, 0.54), (8, 0.52),
    (9, 0.5), (12, 0.45), (16, 0.41), (20, 0.38),
)  # fmt: skip
"""Loaded wires in one bundle from this number on, share of the current [2]_."""
MOST_IN_BUNDLE = 200


@dataclass(frozen=True)
class Surroundings:
    """Where the wire runs: air, the wires of its bundle that carry current at once (itself
    included), and what its insulation stands."""

    temperature_c: float = NOMINAL_C
    bundle: int = 1
    insulation_c: float = INSULATION_C

    def __post_init__(self) -> None:
        if not 60.0 <= self.insulation_c <= 150.0:
            what = f"insulation for {self.insulation_c:g} °C is outside what is known"
            raise QuantityError(what, "insulation", "write what the cable sheet says, 60 to 150 °C")
        if not -40.0 <= self.temperature_c < self.insulation_c:
            what = f"air of {self.temperature_c:g} °C leaves no room for warming"
            hint = f"write -40 °C to less than the {self.insulation_c:g} °C the insulation stands"
            raise QuantityError(what, "temperature", hint)
        if not 1 <= self.bundle <= MOST_IN_BUNDLE:
            hint = f"count the wires that carry current at once, 1 to {MOST_IN_BUNDLE}"
            raise QuantityError(f"a bundle of {self.bundle} wires", "bundle", hint)


def stands_a(area_mm2: float, around: Surroundings) -> float:
    """Current a copper wire stands for good there. [A]

    Log-log between the published sizes 0.5 to 10 mm², going on as area^0.62 beyond (engineering
    judgement); valid 0.2 to 120 mm². It follows √((T_ins - T) / (100 °C - 30 °C)): the heat of I²R
    against the warming that the insulation leaves room for. Between air of 30 and of 50 °C that
    takes off 0.856 where a published table has 102/120 = 0.85 [3]_. It is not raised in air
    colder than 30 °C.

    Raises
    ------
    QuantityError : area outside the range.
    """
    if not 0.2 <= area_mm2 <= 120.0:
        hint = "write 0.2 to 120 mm2, or 24 to 4/0 AWG"
        raise QuantityError(f"a wire of {area_mm2:g} mm² is outside what is known", "size", hint)
    room = around.insulation_c - max(around.temperature_c, NOMINAL_C)
    warming = math.sqrt(room / (INSULATION_C - NOMINAL_C))
    return nominal_a(area_mm2) * warming * bundle_share(around.bundle)


def nominal_a(area_mm2: float) -> float:
    """Current of a wire alone in air of 30 °C. [A]"""
    (first_mm2, first_a), (last_mm2, last_a) = NOMINAL_A[0], NOMINAL_A[-1]
    if area_mm2 <= first_mm2:
        return first_a * math.pow(area_mm2 / first_mm2, BEYOND_EXPONENT)
    if area_mm2 >= last_mm2:
        return last_a * math.pow(area_mm2 / last_mm2, BEYOND_EXPONENT)
    (x0, y0), (x1, y1) = next(p for p in pairwise(NOMINAL_A) if p[0][0] <= area_mm2 <= p[1][0])
    return y0 * math.pow(y1 / y0, math.log(area_mm2 / x0) / math.log(x1 / x0))


def bundle_share(bundle: int) -> float:
    """What is left of a wire's current among as many loaded wires."""
    return next(share for least, share in reversed(BUNDLE) if bundle >= least)


def conductor_c(area_mm2: float, current_a: float, around: Surroundings) -> float:
    """Temperature of the conductor with this current for good. [°C]

    The warming follows I² and reaches what the insulation stands at ``stands_a``.
    """
    full = around.insulation_c - around.temperature_c
    return around.temperature_c + full * (current_a / stands_a(area_mm2, around)) ** 2
