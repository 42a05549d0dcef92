"""The few hypotheses that hold nearly all of the share, with this vehicle as learned so far."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from loomwise.diagnosis.choices import Way, counted, stands
from loomwise.diagnosis.columns import Predictor
from loomwise.diagnosis.doubts import Exchange
from loomwise.diagnosis.joint import joint, learned
from loomwise.diagnosis.look import Settled
from loomwise.diagnosis.ranking import NOT_EXPLAINED, Ranking, Suspect
from loomwise.evidence import Evidence
from loomwise.setups import Setup
from loomwise.solver.network import Floats, Ints

MOST = 90
COVER = 0.998
EXCHANGE_FROM = 0.004
"""A pair of exchanged labels is planned for from this share on: each needs a look of its own."""
COMPOSED_FROM = 0.05
"""Several things at once count as a leader from this share on; below it the planner leaves them."""


@dataclass(frozen=True)
class Block:
    """Leaders of one table under one reading of the drawing; ``at`` are their leader numbers."""

    source: Predictor
    exchange: Exchange | None
    rows: Ints
    at: Ints
    shift: Floats  # (l, k + 1)
    cover: Floats  # (l, k + 1, k + 1)
    settled: tuple[Settled, ...] = ()

    def stands(self, setup: Setup) -> tuple[tuple[Way, ...], Floats]:
        """The ways the vehicle may stand in a setup, and their shares (ways, l) as learned."""
        known = next((s for s in self.settled if _same_controls(s.choice.setup, setup)), None)
        found = stands(self.source.table, [setup], self.rows, held=known is not None)
        logs = {a.way: a.log_chance for a in found}
        if known is not None:
            learned = zip(known.choice.alternatives, known.log_share, strict=True)
            logs |= {a.way: log for a, log in learned if a.way in logs}
        shares = np.exp(np.stack(list(logs.values())))
        total = shares.sum(axis=0)
        return tuple(logs), shares / np.where(total > 0.0, total, 1.0)

    def real(self, place: str) -> str:
        """The place on the vehicle that a drawn label leads to."""
        return self.exchange.real(place) if self.exchange else place


def _same_controls(a: Setup | None, b: Setup) -> bool:
    return a is not None and (a.controls, a.settled, a.after) == (b.controls, b.settled, b.after)


@dataclass(frozen=True)
class Leaders:
    """Weights (l,), repair classes (l,) and the blocks the predictions come from."""

    suspects: tuple[Suspect, ...]
    weights: Floats
    repair: Ints
    units: tuple[str, ...]
    blocks: tuple[Block, ...]
    unexplained: Ints = field(default_factory=lambda: np.zeros(0, dtype=np.int64))

    def __len__(self) -> int:
        return len(self.suspects)


def repair_of(suspect: Suspect) -> str:
    """What has to be told apart for the repair: the unit."""
    return suspect.unit


def drawing_of(suspect: Suspect) -> str:
    """What has to be told apart for the drawing: what it has wrong, nothing if it is right."""
    return suspect.doubt


def leaders(
    ranking: Ranking, evidence: Sequence[Evidence], by: Callable[[Suspect], str] = repair_of
) -> Leaders:
    """Leaders of a ranking made from this evidence, classed ``by`` what is to be told apart."""
    chosen: list[Suspect] = []
    covered = 0.0
    for s in ranking.suspects:
        composed = s.fault is not None and s.fault.parts
        if composed and s.share < COMPOSED_FROM and by is repair_of:
            continue
        if s.exchange is not None and ranking.doubted[s.doubt] < EXCHANGE_FROM:
            continue
        chosen.append(s)
        covered += s.share
        if len(chosen) >= MOST or (covered > COVER and len(chosen) > 3):
            break
    units = tuple(dict.fromkeys(by(s) for s in chosen))
    weights = np.array([s.share for s in chosen])
    keys = dict.fromkeys((id(s.source), s.exchange.id if s.exchange else "") for s in chosen)
    blocks = [_block(chosen, key, evidence) for key in keys if chosen]
    return Leaders(
        tuple(chosen), weights / weights.sum(),
        np.array([units.index(by(s)) for s in chosen]), units,
        tuple(b for b in blocks if b is not None),
        np.array([k for k, s in enumerate(chosen) if s.unit == NOT_EXPLAINED], dtype=np.int64),
    )  # fmt: skip


def _block(
    chosen: Sequence[Suspect], key: tuple[int, str], evidence: Sequence[Evidence]
) -> Block | None:
    def belongs(s: Suspect) -> bool:
        return (id(s.source), s.exchange.id if s.exchange else "") == key

    at = np.array([k for k, s in enumerate(chosen) if belongs(s)], dtype=np.int64)
    source, exchange = chosen[at[0]].source, chosen[at[0]].exchange
    if source is None:
        return None
    rows = np.array([chosen[k].row for k in at], dtype=np.int64)
    relabel = exchange.real if exchange else lambda place: place
    look = source.look(counted(evidence), relabel, rows)
    columns, variances = look.columns, source.table.variances()
    bad = joint(columns, variances).bad
    shift, cover = learned(columns, bad, variances)
    return Block(source, exchange, rows, at, shift, cover, look.settled)
