"""Figures of a study: plain counts of how cases ended, with their uncertainty."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from loomwise.study.play import Ended

BINS = (0.0, 0.5, 0.8, 0.9, 0.95, 0.99, 1.0)


@dataclass(frozen=True)
class Bin:
    """One bin of calibration: cases whose leader ended with a share in it."""

    low: float
    high: float
    cases: int
    claimed: float
    right: float


@dataclass(frozen=True)
class Figures:
    """Shares of all cases, but ``wrong_of_proven``, which is of those called proven.

    ``right`` counts the leader at the end, proven or not; ``open`` are those not proven that were
    explained; ``wrong_upper`` is the upper 95 % limit of ``wrong_of_proven``.
    """

    circuit: str
    cases: int
    ceiling: float
    right: float
    proven: float
    wrong_of_proven: float
    wrong_upper: float
    open: float
    not_explained: float
    readings_mean: float
    minutes_mean: float
    minutes_p90: float
    missed: int
    missed_recognised: int
    calibration: tuple[Bin, ...]


def figures(circuit: str, ended: Sequence[Ended], ceiling: float) -> Figures:
    """The figures of one circuit's cases."""
    proven = [e for e in ended if e.kind == "proven"]
    wrong = sum(not e.right for e in proven)
    minutes = np.array([e.minutes for e in ended])
    count = len(ended)
    return Figures(
        circuit,
        count,
        ceiling,
        sum(e.right for e in ended) / count,
        len(proven) / count,
        wrong / max(len(proven), 1),
        upper_limit(wrong, len(proven)),
        sum(e.kind == "open" for e in ended) / count,
        sum(e.kind in ("not explained", "as designed") for e in ended) / count,
        float(np.mean([e.readings for e in ended])),
        float(minutes.mean()),
        float(np.percentile(minutes, 90)),
        sum(e.missed for e in ended),
        sum(e.recognised for e in ended),
        tuple(_bins(ended)),
    )


def _bins(ended: Sequence[Ended]) -> list[Bin]:
    found = []
    for low, high in pairwise(BINS):
        here = [e for e in ended if e.unit and low <= e.share and (e.share < high or high == 1.0)]
        if here:
            claimed = float(np.mean([e.share for e in here]))
            right = float(np.mean([e.right for e in here]))
            found.append(Bin(low, high, len(here), claimed, right))
    return found


def upper_limit(hits: int, trials: int, level: float = 0.95) -> float:
    """Upper one-sided limit of a share (Clopper and Pearson 1934), by bisection."""
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


def _at_most(hits: int, trials: int, p: float) -> float:
    if p >= 1.0:
        return 0.0
    logs = [
        math.lgamma(trials + 1) - math.lgamma(k + 1) - math.lgamma(trials - k + 1)
        + (k * math.log(p) if k else 0.0) + (trials - k) * math.log1p(-p)
        for k in range(hits + 1)
    ]  # fmt: skip
    return sum(math.exp(x) for x in logs)
