"""A blade fuse: its longest opening time, and its resistance cold and at rated current."""

import math
from itertools import pairwise

from loomwise.errors import QuantityError

Points = tuple[tuple[float, float], ...]

_OPENING_S: Points = ((1.35, 1800.0), (2.0, 5.0), (3.5, 0.5), (6.0, 0.1))
"""Multiple of the rated current, longest time [s]: the overload limits of ISO 8820-3 as quoted in
relay data sheet V23134-F4, http://www.datasheetandpdf.com/EN/TEC/1/V23134-F4.htm"""

OPENS_FROM_MULTIPLE = _OPENING_S[0][0]
"""The smallest multiple of its rated current at which a fuse must open at all."""

_COLD_MOHM: Points = (
    (1, 123),
    (2, 53.5),
    (3, 31.1),
    (4, 22.8),
    (5, 17.85),
    (7.5, 10.91),
    (10, 7.70),
    (15, 4.80),
    (20, 3.38),
    (25, 2.52),
    (30, 1.97),
)
"""Rating [A], cold resistance [mΩ] of one 32 V ATO series. From memory; the 10 A row agrees with
the published 1 mV at 130 mA of https://www.mvwautotechniek.nl/en/voltage-drop-over-fuses"""

_DROP_MV: Points = (
    (1, 176),
    (2, 141),
    (3, 137),
    (4, 136),
    (5, 128),
    (7.5, 116),
    (10, 109),
    (15, 102),
    (20, 98),
    (25, 92),
    (30, 84),
)
"""Rating [A], voltage drop [mV] at rated current, same series. From memory."""

_HOT_MOHM: Points = tuple((rating_a, drop_mv / rating_a) for rating_a, drop_mv in _DROP_MV)

_RATING_EXPONENT = -1.2
"""How resistance goes on beyond the table: about its slope from 1 to 2 A. Engineering judgement."""


def opening_time_limit_s(multiple: float) -> float | None:
    """The longest time a blade fuse may take to open at ``multiple`` times its rated current. [s]

    Log-log between the four published points; None below 1.35, where it need not open at all;
    0.1 s, the last published limit, above 6. A limit, not a forecast: fuses are often faster.

    Raises
    ------
    QuantityError : ``multiple`` is negative or not a number.

    References
    ----------
    .. [1] ISO 8820-3 overload limits as quoted in relay data sheet V23134-F4 (see ``_OPENING_S``).
    """
    if not multiple >= 0:
        raise QuantityError(f"current is {multiple:g} times the rating", hint="write 0 or more")
    if multiple < OPENS_FROM_MULTIPLE:
        return None
    if multiple >= _OPENING_S[-1][0]:
        return _OPENING_S[-1][1]
    return _log_log(multiple, _OPENING_S)


def cold_resistance_ohm(rating_a: float) -> float:
    """Resistance of an ATO blade fuse at room temperature and small current. [Ω]

    Log-log between table rows for 1 to 30 A, going on as rating^-1.2 beyond (engineering
    judgement). The table is from memory except for its 10 A row; cheap unbranded fuses do not
    follow it (trade bulletin, MACS Service Reports, June 2017).

    Raises
    ------
    QuantityError : rating not positive.
    """
    return _by_rating(rating_a, _COLD_MOHM) / 1000


def hot_resistance_ohm(rating_a: float) -> float:
    """Resistance of an ATO blade fuse carrying its rated current, 1.3 to 1.5 times cold. [Ω]

    Source, range and errors as for ``cold_resistance_ohm``; the table is from memory.
    """
    return _by_rating(rating_a, _HOT_MOHM) / 1000


def _by_rating(rating_a: float, points: Points) -> float:
    if not (math.isfinite(rating_a) and rating_a > 0):
        raise QuantityError(f"fuse rating is {rating_a:g} A", hint="write a number above 0")
    if points[0][0] <= rating_a <= points[-1][0]:
        return _log_log(rating_a, points)
    end_a, end = points[0] if rating_a < points[0][0] else points[-1]
    return end * math.pow(rating_a / end_a, _RATING_EXPONENT)


def _log_log(x: float, points: Points) -> float:
    """Straight lines between the points on logarithmic axes; ``x`` within their range."""
    for (x0, y0), (x1, y1) in pairwise(points):
        if x0 <= x <= x1:
            share = math.log(x / x0) / math.log(x1 / x0)
            return y0 * math.pow(y1 / y0, share)
    raise ValueError(f"{x} lies outside the points")
