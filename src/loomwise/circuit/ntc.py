"""NTC temperature sensors: resistance by temperature."""

import math

ZERO_K, T25_K = 273.15, 298.15


def ntc_resistance_ohm(temperature_c: float, r25_ohm: float, beta_k: float) -> float:
    """R = R25 exp(B (1/T - 1/298.15 K)); two-point model, good to a few kelvin from -40 to 125 °C.

    Parameters
    ----------
    temperature_c : of the sensor. [°C]
    r25_ohm, beta_k : resistance at 25 °C [Ω] and B [K] of its data sheet.

    References
    ----------
    .. [1] Beta equation and a table of it for 10 kohm and 3950 K:
       https://fm-workbench.kohbwoo.workers.dev/tools/ntc-thermistor-calculator
    """
    return r25_ohm * math.exp(beta_k * (1.0 / (temperature_c + ZERO_K) - 1.0 / T25_K))
