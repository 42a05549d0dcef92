"""Tungsten filaments: resistance by temperature, and temperature by resistance."""

from loomwise.circuit.ntc import ZERO_K

ALPHA_PER_C = 0.0045
"""Of tungsten at 20 °C: University Physics vol. 2, 9.3; College Physics 20.3 (m42346)."""
HOT_EXPONENT = 1.2
"""Resistance goes with the 1.2th power of the absolute temperature: from memory; within 5 % of the
remembered table of tungsten from 300 to 3000 K."""
ROOM_C = 20.0


def cold_share(temperature_c: float) -> float:
    """Resistance of an unlit filament over that at 20 °C: 1 + α (T - 20 °C). [-]

    Linear, valid -40 to 150 °C, as the surroundings of a lamp may be.

    References
    ----------
    .. [1] University Physics vol. 2 (OpenStax), 9.3, and its headlamp of 0.350 ohm cold.
    """
    return 1.0 + ALPHA_PER_C * (temperature_c - ROOM_C)


def temperature_c(ratio: float) -> float:
    """Temperature of a filament whose resistance is ``ratio`` times that at 20 °C. [°C]

    T = 293 K x ratio^(1/1.2), valid for ratios of 0.7 to 17, that is up to 3000 K.
    """
    room_k = ROOM_C + ZERO_K
    return float(room_k * ratio ** (1.0 / HOT_EXPONENT) - ZERO_K)
