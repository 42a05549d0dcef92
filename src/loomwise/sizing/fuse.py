"""The fuse that carries the current and protects the wire.

.. [1] At 1.35 times its rating a blade fuse may take 1800 s: see ``circuit/fuse_curve.py``.
"""

from loomwise.circuit.fuse_curve import OPENS_FROM_MULTIPLE

RATINGS_A = (
    *(1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0),
    *(50.0, 60.0, 70.0, 80.0, 100.0, 125.0, 150.0, 175.0, 200.0, 250.0),
)
"""Usual ratings: blade fuses to 40 A and large ones to 80 A as published on
https://thelingofpower.blogspot.com/2007/10/automotive-fuses.html ; above, bolted ones, from
memory."""
CONTINUOUS_SHARE = 0.75
"""What a fuse carries for good, 70 to 80 % of its rating. Common practice, no source."""


def smallest_fuse_a(current_a: float) -> float | None:
    """The smallest rating that carries the current for good, if there is one. [A]"""
    return next((r for r in RATINGS_A if r * CONTINUOUS_SHARE >= current_a), None)


def largest_fuse_a(wire_stands_a: float) -> float | None:
    """The largest rating that the wire stands, if there is one. [A]

    What such a fuse lets through for half an hour [1]_ must not exceed what the wire stands.
    """
    fitting = [r for r in RATINGS_A if r * OPENS_FROM_MULTIPLE <= wire_stands_a]
    return fitting[-1] if fitting else None
