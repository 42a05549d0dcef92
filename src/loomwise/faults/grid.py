"""Cells of unknown resistance: four to a decade (leaks two), integrated over, weights stated.

A series fault matters from the resistance that drops 0.2 V at the current the conductor carries
to the one that takes nine tenths of the supply; a shunt matters from a dead short to a leak.
"""

import math
from collections.abc import Iterator

from loomwise.faults.fault import Spread

PER_DECADE = 4
SD_SHARE = 0.45
"""Neighbouring cells as overlapping bells: their sum is flat within 4 %, see the tests. [-]"""
LOG_WIDTH = math.log(10.0) / PER_DECADE
LOG_SD = SD_SHARE * LOG_WIDTH
SMALLEST_DROP_V = 0.2
LEAST_CURRENT_A = 0.005


def cells(
    branch: str, low_ohm: float, high_ohm: float, per_decade: int = PER_DECADE
) -> Iterator[Spread]:
    """Cells from ``low_ohm`` to ``high_ohm``, rounded outwards to whole cells of the grid."""
    first = math.floor(per_decade * math.log10(low_ohm) + 1e-9)
    last = math.ceil(per_decade * math.log10(high_ohm) - 1e-9)
    log_sd = SD_SHARE * math.log(10.0) / per_decade
    for k in range(first, max(last, first + 1)):
        low, high = 10 ** (k / per_decade), 10 ** ((k + 1) / per_decade)
        yield Spread(branch, math.sqrt(low * high), low, high, log_sd)


def series_range_ohm(current_a: float, supply_v: float) -> tuple[float, float]:
    """Series resistances that matter in a conductor that carries ``current_a`` at most."""
    amps = max(abs(current_a), LEAST_CURRENT_A)
    return max(SMALLEST_DROP_V / amps, 0.0005), min(9.0 * supply_v / amps, 1e5)
