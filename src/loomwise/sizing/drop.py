"""Voltage drop of a wire.

.. [1] IEC 60228 maxima of flexible copper lie 1.11 to 1.16 times above (1/58 Ω mm²/m) / area,
   https://mycableengineering.com/knowledge-base/iec-60228-dc-resistance
.. [2] 3 % for what safety hangs on, 10 % for the rest: ABYC E-11 tables,
   https://hollandmarine.com/hmp-flipbook-2021/flipbook/inc/html/52.html
"""

from loomwise.circuit.wire import HOTTEST_C, wire_resistance_ohm
from loomwise.errors import QuantityError
from loomwise.units import parse_quantity

FLEXIBLE = 1.16
"""Resistance of the worst good flexible cable over solid copper of the same area [1]_. [-]"""
USUAL_DROP = 0.03
"""Share of the supply that may be lost unless told otherwise [2]_. [-]"""


def resistance_ohm(area_mm2: float, length_m: float, temperature_c: float = 20.0) -> float:
    """The most that a good flexible cable has. [Ω]

    Raises
    ------
    QuantityError : area, length or temperature outside what ``wire_resistance_ohm`` holds for.
    """
    return FLEXIBLE * wire_resistance_ohm(length_m, area_mm2, min(temperature_c, HOTTEST_C))


def drop_v(
    area_mm2: float, length_m: float, current_a: float, temperature_c: float = 20.0
) -> float:  # fmt: skip
    """Voltage lost in the whole length the current goes through. [V]"""
    return resistance_ohm(area_mm2, length_m, temperature_c) * current_a


def allowed_drop_v(text: str, supply_v: float) -> float:
    """The volts of "3 %" of the supply, or of volts as they are. [V]

    Raises
    ------
    QuantityError : no such quantity, or not between 0 and the supply.
    """
    words = text.strip()
    if words.endswith(("%", "percent")):
        volts = supply_v * parse_quantity(words, "percent") / 100.0
    else:
        volts = parse_quantity(words, "V")
    if not 0.0 < volts < supply_v:
        hint = "write a share such as 3 %, or volts such as 0.3 V"
        raise QuantityError(f"a drop of {words} of {supply_v:g} V makes no sense", "drop", hint)
    return volts
