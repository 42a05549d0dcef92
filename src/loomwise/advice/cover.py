"""The cheapest tests that catch everything together: weighted set cover, greedy, on plain arrays.

Shapes: t tests, e things to be caught.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from loomwise.solver.network import Floats, Ints


def cheap_cover(
    catches: NDArray[np.bool_], minutes: Floats, shared: Floats, setup: Ints, first: Sequence[int]
) -> list[int]:
    """Numbers of tests that catch all that any test catches, after those in ``first``.

    Parameters
    ----------
    catches : (t, e) whether a test catches a thing.
    minutes, shared : (t,) what a test costs, and the part of it that the first test in its
        ``setup`` (t,) pays for the others. [min]
    """
    chosen = list(dict.fromkeys(first))
    left = catches.any(axis=0) & ~catches[chosen].any(axis=0)
    while left.any():
        ready = np.isin(setup, setup[chosen])
        cost = np.maximum(minutes - np.where(ready, shared, 0.0), 0.05)
        worth = (catches & left).sum(axis=1) / cost
        best = int(np.argmax(worth))
        chosen.append(best)
        left &= ~catches[best]
    return _without_needless(catches, minutes, chosen, set(first))


def _without_needless(
    catches: NDArray[np.bool_], minutes: Floats, chosen: Sequence[int], kept: set[int]
) -> list[int]:
    """The tests, without those whose catch the others make as well; the dearest go first."""
    found = list(chosen)
    for t in sorted(chosen, key=lambda t: -float(minutes[t])):
        rest = [o for o in found if o != t]
        if t not in kept and (catches[rest].any(axis=0) | ~catches[t]).all():
            found = rest
    return found
