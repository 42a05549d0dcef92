"""Branch laws that are not straight lines: current as a function of branch voltage, and slope.

Filament. Near rated voltage I = In (V/Vn)^0.55 (exponent 0.54 to 0.55, from memory). Towards 0 V
the resistance levels off at Rn/cold_ratio:
R(V) = Rn ((V/Vn)^2 + s^2)^0.225 with s = cold_ratio^(-1/0.45). Steady state only: valid from
0 to about 1.3 Vn, not for the inrush of the first milliseconds. With R as the 1.2th power of the
absolute temperature the power then goes as its 4.1th, near the fourth of radiation.

Motor load. Torque at relative speed w (1 at the rated point), in watts per unit of speed:
T = f + b w + c w|w| for a motor turning forward, with dry friction f, a small viscous part b that
keeps the equation sound, and c for a fan-like load. The back EMF is proportional to speed
(University Physics vol. 2, 13.6), so a winding is a branch with a third end at the speed node.

Knee. An LED, zener or TVS diode with its series resistance: i = g h ln(1 + exp((x - V)/h)), which
is a straight line of slope g well above the knee V and an exponential well below it, with
h = 2 k T/q at 25 °C (emission coefficient 2, as of LEDs: from memory). The same the other way
round at the breakdown voltage.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

LINEAR, FILAMENT, LOAD, KNEE = 0, 1, 2, 3
EXPONENT = 0.55
KNEE_WIDTH_V = 0.0514
"""Two thermal voltages at 25 °C: 2 x 8.617e-5 eV/K x 298 K. [V]"""


def filament(x: Array, params: Array) -> tuple[Array, Array]:
    """Current [A] and slope [S] of filaments at ``x`` [V].

    ``params`` (..., 3 or more): rated voltage [V], rated current [A], cold ratio.
    """
    rated_v, rated_a, cold = params[..., 0], params[..., 1], params[..., 2]
    power = (1.0 - EXPONENT) / 2.0
    floor = cold ** (-1.0 / (1.0 - EXPONENT))
    u = x / rated_v
    q = u * u + floor * floor
    conductance = rated_a / rated_v * q**-power
    return conductance * x, conductance * (1.0 - 2.0 * power * u * u / q)


def load(x: Array, params: Array) -> tuple[Array, Array]:
    """Torque and slope of motor loads at relative speed ``x``.

    ``params`` (..., 3 or more): dry friction (signed by direction), viscous, square-law parts.
    """
    f, b, c = params[..., 0], params[..., 1], params[..., 2]
    return f + b * x + c * x * np.abs(x), b + 2.0 * c * np.abs(x)


def knee(x: Array, params: Array) -> tuple[Array, Array]:
    """Current [A] and slope [S] of LEDs, zener and TVS diodes at ``x`` [V].

    ``params`` (..., 4): forward knee [V] and slope [S], breakdown [V] and slope [S].
    """
    there, slope_there = _bend((x - params[..., 0]) / KNEE_WIDTH_V)
    back, slope_back = _bend((-x - params[..., 2]) / KNEE_WIDTH_V)
    g, g_back = params[..., 1], params[..., 3]
    return KNEE_WIDTH_V * (g * there - g_back * back), g * slope_there + g_back * slope_back


def _bend(u: Array) -> tuple[Array, Array]:
    """ln(1 + exp(u)) and its slope, for any u."""
    return np.logaddexp(0.0, u), 1.0 / (1.0 + np.exp(-np.clip(u, -500.0, 500.0)))


LAWS: dict[int, Callable[[Array, Array], tuple[Array, Array]]] = {
    FILAMENT: filament, LOAD: load, KNEE: knee,
}  # fmt: skip
