"""Figures of a study: plain counts of how cases ended, with their uncertainty."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from loomwise.study.limits import lower_limit, upper_limit
from loomwise.study.play import NOTHING, Ended

BINS = (0.0, 0.5, 0.8, 0.9, 0.95, 0.99, 1.0)
TOTAL = "total"


@dataclass(frozen=True)
class Bin:
    """One bin of calibration: cases whose leader ended with a share in it.

    ``right_low`` to ``right_high`` is the 95 % interval of the share that was right; ``inside``
    whether what was claimed lies in it.
    """

    low: float
    high: float
    cases: int
    claimed: float
    right: float
    right_low: float
    right_high: float
    inside: bool


@dataclass(frozen=True)
class Figures:
    """How the cases of one circuit ended in one scenario; shares of all cases, if not said else.

    ``ceiling``, ``right_unit`` (the leader at the end, proven or not) and ``calibration`` are of
    the cases whose truth is among the hypotheses. ``wrong_unit`` is of those called proven, with
    its upper 95 % limit; ``outside_wrong`` of those with another truth. ``best_bet_regret`` is the
    mean over the cases not proven, in the circuit's price units. ``missed`` readings hid more than
    0.5 V; ``exchanged`` counts cases where exchanged labels changed two readings by over 1 V;
    ``exchanged_claimed`` is the share of the cases with right labels in which the drawing is
    doubted at the end. Ratios are of minutes, None where there was nothing to compare.
    """

    circuit: str
    scenario: str
    cases: int
    ceiling: float
    right_unit: float
    proven: float
    wrong_unit: float
    wrong_unit_upper: float
    best_bet_regret: float | None
    best_bet: float
    not_separable: float
    not_explained: float
    open: float
    minutes_mean: float
    minutes_p90: float
    readings_mean: float
    missed: int
    missed_recognised: int
    exchanged: int
    exchanged_found: int
    exchanged_claimed: float | None
    outside: int
    outside_wrong: int
    ratio_to_optimal: float | None
    ratio_to_optimal_worst: float | None
    ratio_to_half_split: float | None
    ratio_to_in_order: float | None
    calibration: tuple[Bin, ...]


@dataclass(frozen=True)
class Beside:
    """What the cases are held against: the ceiling, ratios on small problems, and rivals' cases."""

    ceiling: float = 1.0
    to_optimal: Sequence[float] = ()
    half_split: Sequence[Ended] = ()
    in_order: Sequence[Ended] = ()


def figures(circuit: str, scenario: str, ended: Sequence[Ended], beside: Beside) -> Figures:
    """The figures of some cases, at least one."""
    known = [e for e in ended if not e.outside]
    outside = [e for e in ended if e.outside]
    proven = [e for e in known if e.named]
    wrong = sum(e.wrong for e in proven)
    swapped = [e for e in ended if e.exchange and e.misled >= 2]
    minutes = np.array([e.minutes for e in ended])
    return Figures(
        circuit=circuit, scenario=scenario, cases=len(ended), ceiling=beside.ceiling,
        right_unit=_share([e.right for e in known]) or 0.0,
        proven=_share([bool(e.named) for e in ended]) or 0.0,
        wrong_unit=wrong / max(len(proven), 1),
        wrong_unit_upper=upper_limit(wrong, len(proven)),
        best_bet_regret=_mean([e.regret for e in known if not e.named]),
        best_bet=_ending(ended, "best bet"),
        not_separable=_ending(ended, "not separable"),
        not_explained=_ending(ended, *NOTHING),
        open=_ending(ended, "open"),
        minutes_mean=float(minutes.mean()), minutes_p90=float(np.percentile(minutes, 90)),
        readings_mean=float(np.mean([e.readings for e in ended])),
        missed=sum(e.missed for e in ended), missed_recognised=sum(e.recognised for e in ended),
        exchanged=len(swapped), exchanged_found=sum(e.doubt == e.exchange for e in swapped),
        exchanged_claimed=_share([bool(e.doubt) for e in known if not e.exchange]),
        outside=len(outside), outside_wrong=sum(e.wrong for e in outside),
        ratio_to_optimal=_mean(beside.to_optimal),
        ratio_to_optimal_worst=max(beside.to_optimal, default=None),
        ratio_to_half_split=_ratio(ended, beside.half_split),
        ratio_to_in_order=_ratio(ended, beside.in_order),
        calibration=tuple(_bins(known)),
    )  # fmt: skip


def _share(hits: Sequence[bool]) -> float | None:
    return sum(hits) / len(hits) if hits else None


def _mean(values: Sequence[float]) -> float | None:
    return float(np.mean(values)) if len(values) else None


def _ending(ended: Sequence[Ended], *kinds: str) -> float:
    return sum(e.kind in kinds for e in ended) / len(ended)


def _ratio(ended: Sequence[Ended], rival: Sequence[Ended]) -> float | None:
    """Our minutes over the rival's on the same cases."""
    theirs = sum(e.minutes for e in rival)
    return sum(e.minutes for e in ended) / theirs if theirs > 0.0 else None


def _bins(ended: Sequence[Ended]) -> list[Bin]:
    found = []
    for low, high in pairwise(BINS):
        here = [e for e in ended if e.leader and low <= e.share and (e.share < high or high == 1.0)]
        if here:
            claimed, right = float(np.mean([e.share for e in here])), sum(e.right for e in here)
            bottom, top = (
                lower_limit(right, len(here), 0.975),
                upper_limit(right, len(here), 0.975),
            )
            found.append(Bin(low, high, len(here), claimed, right / len(here), bottom, top,
                             bottom <= claimed <= top))  # fmt: skip
    return found
