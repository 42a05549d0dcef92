"""Resistance of a copper conductor, and wire gauge as area."""

import math

from loomwise.errors import QuantityError
from loomwise.units import awg_to_mm2

__all__ = ["awg_to_mm2", "wire_resistance_ohm"]

IACS_RESISTIVITY_OHM_MM2_PER_M = 1 / 58
"""Standard annealed copper at 20 °C, 58 MS/m exactly (IEC 60028)."""
IACS_ALPHA_PER_C = 3.93e-3
"""Its temperature coefficient at 20 °C."""
COLDEST_C, HOTTEST_C = -40.0, 150.0


def wire_resistance_ohm(
    length_m: float,
    area_mm2: float,
    temperature_c: float = 20.0,
    *,
    resistivity_ohm_mm2_per_m: float = IACS_RESISTIVITY_OHM_MM2_PER_M,
    alpha_per_c: float = IACS_ALPHA_PER_C,
) -> float:
    """DC resistance of a conductor, one way: R = ρ l / A × (1 + α (T - 20 °C)). [Ω]

    Linear model, valid -40 to 150 °C. Solid annealed copper unless told otherwise; the strands of
    a real cable lie up to 20 % above it (IEC 60228 maxima [3]_). Textbook coppers (1.68e-8 Ω m)
    lie 2.6 % below the standard value: do not mix them.

    Parameters
    ----------
    length_m, area_mm2 : conductor length [m] and nominal cross-section [mm²]; both positive.
    temperature_c : conductor temperature. [°C]
    resistivity_ohm_mm2_per_m, alpha_per_c : at 20 °C. [Ω mm²/m], [1/K]

    Raises
    ------
    QuantityError : length or area not positive, or temperature outside the range.

    References
    ----------
    .. [1] Resistivity: IEC 60028 (1925), summary at
       https://tnlab.org/iec-60028-the-international-standard-of-resistance-for-copper-1925/
    .. [2] Temperature coefficient: Industrial Power Engineering and Applications Handbook, p. 970.
    .. [3] https://mycableengineering.com/knowledge-base/iec-60228-dc-resistance
    """
    _check_positive("wire length", length_m, "m")
    _check_positive("wire cross-section", area_mm2, "mm²")
    if not COLDEST_C <= temperature_c <= HOTTEST_C:
        raise QuantityError(
            f"conductor temperature {temperature_c:g} °C is outside what the model holds for",
            hint=f"write {COLDEST_C:g} to {HOTTEST_C:g} °C",
        )
    warming = 1 + alpha_per_c * (temperature_c - 20.0)
    return resistivity_ohm_mm2_per_m * length_m / area_mm2 * warming


def _check_positive(what: str, value: float, unit: str) -> None:
    if not (math.isfinite(value) and value > 0):
        raise QuantityError(f"{what} is {value:g} {unit}", hint="write a number above 0")
