"""How long a battery lasts."""

import math

from loomwise.errors import QuantityError

STARTS_FROM = 0.5
"""Charge below which a start is doubtful. Engineering judgement."""


def lasts_days(capacity_ah: float, charge: float, current_a: float) -> float:
    """Days until the charge is down to half, at this current for good; infinite for none.

    Days = capacity x (charge - 0.5) / current / 24 h. Self-discharge, cold and age take more.
    50 mA takes 1.2 Ah a day, 30 Ah in 25 days.

    Raises
    ------
    QuantityError : a capacity or charge that cannot be, a negative current.
    """
    if not 1.0 <= capacity_ah <= 1000.0:
        hint = "write what is on the battery, such as 70 Ah"
        raise QuantityError(f"a battery of {capacity_ah:g} Ah", "battery", hint)
    if not 0.0 <= charge <= 1.0:
        raise QuantityError(f"a charge of {100 * charge:g} %", "charge", "write 0 % to 100 %")
    if not (math.isfinite(current_a) and current_a >= 0):
        raise QuantityError(f"a current of {current_a:g} A", "clamp", "write 0 or more")
    left_ah = max(0.0, capacity_ah * (charge - STARTS_FROM))
    return left_ah / current_a / 24.0 if current_a > 0 else math.inf
