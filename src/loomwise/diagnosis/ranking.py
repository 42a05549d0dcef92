"""Suspects, doubts and what nothing explains, summed up from all hypotheses with their shares."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from loomwise.diagnosis.columns import Predictor
from loomwise.diagnosis.doubts import Exchange
from loomwise.diagnosis.look import Look
from loomwise.faults import Fault
from loomwise.solver.network import Floats, Ints

NOT_EXPLAINED = "not explained"
NOTHING_WRONG = "nothing wrong"


@dataclass(frozen=True)
class Suspect:
    """One hypothesis and its share. ``row`` points into ``source`` (singles or doubles)."""

    fault: Fault | None
    unit: str
    share: float
    exchange: Exchange | None
    row: int
    source: Predictor | None = field(repr=False, compare=False)

    @property
    def doubt(self) -> str:
        """What the drawing has wrong under it; nothing if it is right."""
        return self.exchange.id if self.exchange else self.fault.doubt if self.fault else ""


@dataclass(frozen=True)
class Ranking:
    """The posterior: suspects (likeliest first) and sums over them.

    ``units`` maps a unit to the chance that it needs repair, alone or beside another (so the sum
    may exceed one); ``doubted`` what the drawing may have wrong to its share, ``bad`` a reading's
    id to the chance that it is bad. ``left_at_most`` bounds the share of compositions of several
    faults that were not worked out, ``left_likely`` says how much it is if they fit their bounds as
    badly as those that were.
    """

    suspects: tuple[Suspect, ...]
    units: Mapping[str, float]
    doubted: Mapping[str, float]
    bad: Mapping[str, float]
    not_explained: float
    nothing_wrong: float
    left_at_most: float = 0.0
    left_likely: float = 0.0
    parts: "tuple[Part, ...]" = field(default=(), repr=False, compare=False)
    items: tuple[str, ...] = field(default=(), repr=False, compare=False)

    @property
    def leader(self) -> tuple[str, float]:
        """The unit with the largest share."""
        return next(iter(self.units.items()), ("", 0.0))


@dataclass(frozen=True)
class Part:
    """One block of hypotheses with its log-weights and what the evidence makes of it.

    ``fit`` (h, items) is each item's log-likelihood by itself, numbers first.
    """

    faults: Sequence[Fault | None]
    units: Sequence[str]
    rows: Ints
    log_post: Floats
    bad: Floats
    exchange: Exchange | None
    source: Predictor | None
    look: Look | None = None
    fit: Floats | None = None


def ranking_of(parts: Sequence[Part], ids: Sequence[str], log_left: tuple[float, float]) -> Ranking:
    """The ranking that blocks of hypotheses make together; ``ids`` names the numeric readings."""
    top = max(float(p.log_post.max(initial=-np.inf)) for p in parts)
    weights = [np.exp(p.log_post - top) for p in parts]
    total = sum(float(w.sum()) for w in weights)
    bad = sum((w @ p.bad for p, w in zip(parts, weights, strict=True)), np.zeros(len(ids)))
    suspects = [
        Suspect(p.faults[k], p.units[k], float(w[k]) / total, p.exchange, int(p.rows[k]), p.source)
        for p, w in zip(parts, weights, strict=True)
        for k in np.flatnonzero(w > total * 1e-7).tolist()
    ]
    suspects.sort(key=lambda s: (-s.share, s.unit, s.fault.id if s.fault else ""))
    units, exchanged = _sums(suspects)
    return Ranking(
        tuple(suspects),
        units,
        exchanged,
        {name: float(b) / total for name, b in zip(ids, np.atleast_1d(bad), strict=True)},
        sum(s.share for s in suspects if s.unit == NOT_EXPLAINED),
        sum(s.share for s in suspects if s.unit == NOTHING_WRONG),
        _share(log_left[0] - top, total),
        _share(log_left[1] - top, total),
    )


def _share(log: float, total: float) -> float:
    return min(1.0, float(np.exp(min(log, 50.0))) / total)


def _sums(suspects: Sequence[Suspect]) -> tuple[dict[str, float], dict[str, float]]:
    units: dict[str, float] = {}
    doubted: dict[str, float] = {}
    for s in suspects:
        if s.unit not in (NOT_EXPLAINED, NOTHING_WRONG):
            for unit in s.unit.split(" + "):
                units[unit] = units.get(unit, 0.0) + s.share
        if s.doubt:
            doubted[s.doubt] = doubted.get(s.doubt, 0.0) + s.share

    def ordered(sums: dict[str, float]) -> dict[str, float]:
        return dict(sorted(sums.items(), key=lambda kv: (-kv[1], kv[0])))

    return ordered(units), ordered(doubted)
