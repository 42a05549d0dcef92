"""What a proof after a repair must be able to catch: the repaired fault, and what survived."""

from collections.abc import Sequence
from dataclasses import dataclass

from loomwise.advice.expert import Expert
from loomwise.advice.telling import Relabel
from loomwise.diagnosis.columns import Predictor, as_drawn
from loomwise.diagnosis.composite import components
from loomwise.diagnosis.ranking import Ranking, Suspect

SURVIVES = 1e-3
"""Suspects count from this share on, the sizes of one fault taken together. [-]"""
SIZE_COUNTS = 0.02
"""Sizes of a fault count from this share of the fault's on. [-]"""
MOST_REPAIRED = 5
"""Faults of a repaired unit that count even if they were no suspects."""


@dataclass(frozen=True)
class Target:
    """One fault in one size: ``row`` of ``source``, with the drawing read by ``real``."""

    title: str
    unit: str
    share: float
    row: int
    source: Predictor
    exchange: str
    real: Relabel


def relabel_of(expert: Expert, ranking: Ranking) -> Relabel:
    """How the drawing's labels are read: exchanged where that is likelier than not."""
    leading = next((name for name, share in ranking.doubted.items() if share > 0.5), "")
    return next((e.real for e in expert.judge.drawing if e.id == leading), as_drawn)


def targets(expert: Expert, ranking: Ranking, repaired: Sequence[str]) -> tuple[Target, ...]:
    """The faults that may still be there, each in its sizes; the likeliest first."""
    groups: dict[str, list[Suspect]] = {}
    for s in ranking.suspects:
        if s.fault is not None and s.fault.unit and s.source is not None:
            groups.setdefault(f"{s.fault.group} {s.doubt}", []).append(s)
    shares = {name: sum(s.share for s in some) for name, some in groups.items()}
    mine = [n for n, some in groups.items() if set(some[0].unit.split(" + ")) <= set(repaired)]
    wanted = {n for n, share in shares.items() if share >= SURVIVES}
    wanted |= set(sorted(mine, key=lambda n: -shares[n])[:MOST_REPAIRED])
    found = [
        target
        for name in sorted(wanted, key=lambda n: (-shares[n], n))
        for s in groups[name]
        if s.share >= SIZE_COUNTS * shares[name]
        for target in _as_targets(expert, s, repaired)
    ]
    unique = {(id(t.source), t.row, t.exchange): t for t in reversed(found)}
    return tuple(sorted(unique.values(), key=lambda t: (-t.share, t.title, t.row)))


def _as_targets(expert: Expert, s: Suspect, repaired: Sequence[str]) -> list[Target]:
    """The suspect as it stood, and what is left of several faults once some are repaired."""
    assert s.fault is not None and s.source is not None
    exchange = s.exchange.id if s.exchange else ""
    real = s.exchange.real if s.exchange else as_drawn
    found = [Target(s.fault.title, s.unit, s.share, s.row, s.source, exchange, real)]
    parts = components(s.fault)
    left = [p for p in parts if p.unit and p.unit not in repaired]
    singles = expert.judge.singles
    if len(left) == 1 < len(parts) and left[0].id in singles.numbers:
        row = singles.numbers[left[0].id]
        found.append(Target(left[0].title, left[0].unit, s.share, row, singles, exchange, real))
    return found
