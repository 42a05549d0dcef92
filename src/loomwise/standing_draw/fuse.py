"""The current in a blade fuse from the millivolts across it.

.. [1] 1 mV is 130 mA on a regular (ATO) 10 A fuse:
   https://www.mvwautotechniek.nl/en/voltage-drop-over-fuses
.. [2] 0.1 mV is 22 mA and 1.0 mV is 218 mA on a mini 15 A fuse; cheap unbranded fuses follow no
   such table: MACS Service Reports, June 2017,
   https://www.nxtbook.com/nxtbooks/macs/servicereports_2017/index.php?startid=JUN6
"""

from dataclasses import dataclass

from loomwise.circuit.fuse_curve import (
    OPENS_FROM_MULTIPLE,
    cold_resistance_ohm,
    hot_resistance_ohm,
)
from loomwise.errors import QuantityError
from loomwise.sizing.fuse import RATINGS_A
from loomwise.units import format_quantity

STEP_V = 1e-4
"""The last digit of a meter on its millivolt range: 0.1 mV. Common practice."""
BLOWN_V = 1.0
"""More than this no whole fuse has: it is open. Engineering judgement."""


@dataclass(frozen=True)
class FuseType:
    """A body: the ratings it is made in [A], its resistance over that of a regular one of the same
    rating, and how far single fuses lie from that (relative)."""

    name: str
    least_a: float
    most_a: float
    factor: float
    spread: float


TYPES = {
    "mini": FuseType("mini", 2.0, 30.0, 4.57 / 4.80, 0.15),
    "regular": FuseType("regular", 1.0, 40.0, 1.0, 0.15),
    "maxi": FuseType("maxi", 20.0, 80.0, 1.0, 0.3),
}
"""Ratings as published at https://thelingofpower.blogspot.com/2007/10/automotive-fuses.html . The
factor of mini fuses is that of 15 A [2]_; spreads and the maxi row are engineering judgement."""


@dataclass(frozen=True)
class Amps:
    """A current, and the range it lies in by the fuse's spread and the meter's last digit. [A]"""

    current_a: float
    low_a: float
    high_a: float


def current_of_drop(kind: str, rating_a: float, drop_v: float) -> Amps:
    """The current in a fuse from the drop across it, either way round.

    The resistance goes from cold to hot with the square of the current over the rating (engineering
    judgement; a standing draw leaves a fuse cold). Published points: [1]_ [2]_.

    Raises
    ------
    QuantityError : no such fuse, or a drop that no whole fuse could show.
    """
    fuse = _known(kind, rating_a)
    drop = abs(drop_v)
    if drop >= BLOWN_V:
        what = f"{format_quantity(drop, 'V')} across a fuse: it is blown, or these were millivolts"
        raise QuantityError(what, hint="look at the fuse; write 2.1 mV for 2.1 millivolts")
    current_a = _solved(fuse, rating_a, drop)
    if current_a > OPENS_FROM_MULTIPLE * rating_a:
        shown = f"{format_quantity(drop, 'V')} would be {format_quantity(current_a, 'A')}"
        what = f"{shown}, and a {rating_a:g} A fuse would have blown"
        hint = "read it again on the millivolt range, both tips on the fuse's own ears"
        raise QuantityError(what, hint=hint)
    least = max(0.0, drop - STEP_V / 2)
    return Amps(
        current_a,
        _solved(fuse, rating_a, least) / (1 + fuse.spread),
        _solved(fuse, rating_a, drop + STEP_V / 2) * (1 + fuse.spread),
    )


def _known(kind: str, rating_a: float) -> FuseType:
    if kind not in TYPES:
        raise QuantityError(f"no fuse type '{kind[:20]}'", hint=f"there is {', '.join(TYPES)}")
    fuse = TYPES[kind]
    made = [r for r in RATINGS_A if fuse.least_a <= r <= fuse.most_a]
    if rating_a not in made:
        listed = ", ".join(f"{r:g}" for r in made)
        raise QuantityError(f"no {kind} fuse of {rating_a:g} A is known", hint=f"there is {listed}")
    return fuse


def _solved(fuse: FuseType, rating_a: float, drop_v: float) -> float:
    """The current whose drop is this, by halving: the drop only rises with it."""
    low, high = 0.0, drop_v / _ohm(fuse, rating_a, 0.0)
    for _ in range(60):
        middle = (low + high) / 2
        below = middle * _ohm(fuse, rating_a, middle) < drop_v
        low, high = (middle, high) if below else (low, middle)
    return (low + high) / 2


def _ohm(fuse: FuseType, rating_a: float, current_a: float) -> float:
    cold, hot = cold_resistance_ohm(rating_a), hot_resistance_ohm(rating_a)
    return fuse.factor * (cold + (hot - cold) * (current_a / rating_a) ** 2)
