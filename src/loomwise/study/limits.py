"""Limits of a share that was counted (Clopper and Pearson, Biometrika 26, 1934, 404)."""

import math


def upper_limit(hits: int, trials: int, level: float = 0.95) -> float:
    """Upper one-sided limit of a share, by bisection; 1 where nothing was tried."""
    if trials == 0 or hits >= trials:
        return 1.0
    low, high = hits / trials, 1.0
    for _ in range(60):
        middle = (low + high) / 2.0
        if _at_most(hits, trials, middle) > 1.0 - level:
            low = middle
        else:
            high = middle
    return high


def lower_limit(hits: int, trials: int, level: float = 0.95) -> float:
    """Lower one-sided limit of a share; 0 where nothing was tried."""
    return 1.0 - upper_limit(trials - hits, trials, level) if trials else 0.0


def _at_most(hits: int, trials: int, p: float) -> float:
    """Chance of at most so many hits."""
    if p >= 1.0:
        return 0.0
    logs = [
        math.lgamma(trials + 1) - math.lgamma(k + 1) - math.lgamma(trials - k + 1)
        + (k * math.log(p) if k else 0.0) + (trials - k) * math.log1p(-p)
        for k in range(hits + 1)
    ]  # fmt: skip
    return sum(math.exp(x) for x in logs)
