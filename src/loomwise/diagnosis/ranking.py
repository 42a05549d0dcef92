"""Suspects, doubts and what nothing explains: the posterior over all hypotheses.

p(hypothesis | evidence) is weight times likelihood, over: one fault; two faults together, taken
from the leaders; a fault with a pair of labels exchanged in the drawing; nothing wrong here; and
"not explained by anything I know", a hypothesis with a broad likelihood.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from loomwise.diagnosis.choices import counted
from loomwise.diagnosis.columns import Predictor, bell, is_number
from loomwise.diagnosis.doubts import Exchange, exchanges
from loomwise.diagnosis.joint import Columns, joint
from loomwise.diagnosis.look import Look
from loomwise.diagnosis.pairs import double_faults
from loomwise.diagnosis.table import Table
from loomwise.evidence import Evidence, Sign
from loomwise.evidence.items import sign_words
from loomwise.faults import Fault
from loomwise.solver.network import Floats, Ints

SHARE_DOUBLE = 0.08
SHARE_HEALTHY = 0.02
SHARE_UNEXPLAINED = 0.02
"""About 8 % of jobs are two faults, 2 % not electrical: engineering judgement."""
LIKELY_EXCHANGE, SCREEN_EXCHANGE = 500, 150
"""Under an exchange: rows kept by what it does not touch, and of these by all readings alone."""
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


@dataclass(frozen=True)
class Ranking:
    """The posterior: suspects (likeliest first) and sums over them.

    ``units`` maps a unit to the chance that it needs repair, alone or beside another (so the sum
    may exceed one); ``exchanged`` a drawing doubt to its share, ``bad`` a reading's id to the
    chance that it is bad.
    """

    suspects: tuple[Suspect, ...]
    units: Mapping[str, float]
    exchanged: Mapping[str, float]
    bad: Mapping[str, float]
    not_explained: float
    nothing_wrong: float

    @property
    def leader(self) -> tuple[str, float]:
        """The unit with the largest share."""
        return next(iter(self.units.items()), ("", 0.0))


@dataclass(frozen=True)
class Part:
    """One block of hypotheses with its log-weights and what the evidence makes of it."""

    faults: Sequence[Fault | None]
    units: Sequence[str]
    rows: Ints
    log_post: Floats
    bad: Floats
    exchange: Exchange | None
    source: Predictor | None
    look: Look | None = None


@dataclass
class Judge:
    """Ranks evidence against one circuit's table; keeps predictions between calls."""

    table: Table
    singles: Predictor
    drawing: tuple[Exchange, ...]
    pairs: Predictor | None = None

    @staticmethod
    def of(table: Table) -> "Judge":
        """A judge of a table of single faults."""
        return Judge(table, Predictor.of(table), exchanges(table.circuit))

    def rank(self, evidence: Sequence[Evidence], search_pairs: bool = True) -> Ranking:
        """The posterior for these signs and readings; their order does not matter.

        Without ``search_pairs`` the pairs of faults of the last search are judged again, which is
        quick: for asking what one item fewer would change.
        """
        items = counted(evidence)
        ids = [e.id for e in items if is_number(e)]
        single = self._single(items)
        parts = [single, *self._exchanged(items, single), self._unexplained(items, len(ids))]
        parts.append(self._double(items, single, search_pairs))
        return _ranking(parts, ids)

    def _single(self, items: Sequence[Evidence]) -> Part:
        look = self.singles.look(items)
        seen = joint(look.columns, self.table.variances())
        weights = single_weights(self.table)
        faults = [self.table.fault(h) for h in range(len(self.table))]
        return Part(
            faults, [f.unit or NOTHING_WRONG for f in faults], np.arange(len(faults)),
            np.log(weights) + seen.log_like + look.apart, seen.bad, None, self.singles, look,
        )  # fmt: skip

    def _exchanged(self, items: Sequence[Evidence], single: Part) -> list[Part]:
        touched = {p for e in items for p in _labels(e)}
        return [
            part
            for exchange in self.drawing
            if touched & exchange.swap.keys()
            for part in [self._under(exchange, items, single)]
            if part is not None
        ]

    def _under(self, exchange: Exchange, items: Sequence[Evidence], single: Part) -> Part | None:
        variances = self.table.variances()
        prior = np.log(single_weights(self.table)) + np.log(exchange.weight)
        elsewhere = [e for e in items if not exchange.swap.keys() & set(_labels(e))]
        rough = self.singles.look(elsewhere).each(variances).sum(axis=1) + prior
        likely = np.argsort(-rough, kind="stable")[:LIKELY_EXCHANGE]
        look = self.singles.look(items, exchange.real, likely)
        finer = look.each(variances).sum(axis=1) + prior[likely]
        best = np.argsort(-finer, kind="stable")[:SCREEN_EXCHANGE]
        keep, seen = likely[best], joint(look.columns.rows(best), variances)
        log_post = prior[keep] + seen.log_like + look.apart[best]
        return Part(
            [single.faults[h] for h in keep], [single.units[h] for h in keep], keep,
            log_post, seen.bad, exchange, self.singles,
        )  # fmt: skip

    def _double(self, items: Sequence[Evidence], single: Part, search: bool) -> Part:
        assert single.look is not None
        if search:
            alone = single.look.each(self.table.variances())
            pairs = double_faults(self.table, single.log_post, alone)
            if self.pairs is None or self.pairs.table.faults != pairs:
                self.pairs = Predictor.of(_table_of(self.table, pairs)) if pairs else None
        if self.pairs is None:
            return _no_doubles(single.look.columns)
        source, pairs = self.pairs, self.pairs.table.faults
        look = source.look(items)
        seen = joint(look.columns, source.table.variances())
        rows = np.arange(1, len(pairs) + 1)
        weights = SHARE_DOUBLE * np.array([f.weight for f in pairs])
        log_post = np.log(weights) + seen.log_like[1:] + look.apart[1:]
        return Part(
            pairs, [f.unit for f in pairs], rows, log_post, seen.bad[1:], None, source
        )  # fmt: skip

    def _unexplained(self, items: Sequence[Evidence], numbers: int) -> Part:
        log = np.log(SHARE_UNEXPLAINED) + sum(
            _broad(e, self.table.circuit.supply_v, self.table) for e in items
        )
        return Part(
            [None], [NOT_EXPLAINED], np.array([-1]), np.array([log]),
            np.zeros((1, numbers)), None, None,
        )  # fmt: skip


def _no_doubles(columns: Columns) -> Part:
    nothing = np.zeros((0, len(columns.value)))
    return Part([], [], np.zeros(0, dtype=np.int64), np.zeros(0), nothing, None, None)


def single_weights(table: Table) -> Floats:
    """Prior of row 0 (nothing wrong) and of each single fault."""
    singles = 1.0 - SHARE_DOUBLE - SHARE_HEALTHY - SHARE_UNEXPLAINED
    return np.array([SHARE_HEALTHY, *(singles * f.weight for f in table.faults)])


def _labels(item: Evidence) -> tuple[str, ...]:
    return () if isinstance(item, Sign) else (item.red, item.black)


def _table_of(table: Table, faults: tuple[Fault, ...]) -> Table:
    """A table of more faults that shares the bases and the healthy starts of the first."""
    return Table(
        table.circuit, table.plant, faults, table.use, engine=table.engine, ready=table.ready
    )


def _broad(item: Evidence, supply_v: float, table: Table) -> float:
    """Log-density of an item if nothing I know is at work: near 0, near supply, or anything."""
    if not is_number(item):
        ways = len(sign_words(table.circuit, item.what)) if isinstance(item, Sign) else 3
        return float(-np.log(max(ways, 2)))
    value = item.value if not isinstance(item, Sign) and item.value is not None else 0.0
    if isinstance(item, Sign) or item.instrument != "voltmeter":
        return float(np.log(0.05))
    near = 0.4 * bell(value, 0.0, 0.15) + 0.4 * bell(value, supply_v * 1.03, 0.5)
    return float(np.log(near + 0.2 / (1.25 * supply_v)))


def _ranking(parts: Sequence[Part], ids: Sequence[str]) -> Ranking:
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
    )


def _sums(suspects: Sequence[Suspect]) -> tuple[dict[str, float], dict[str, float]]:
    units: dict[str, float] = {}
    doubted: dict[str, float] = {}
    for s in suspects:
        if s.unit not in (NOT_EXPLAINED, NOTHING_WRONG):
            for unit in s.unit.split(" + "):
                units[unit] = units.get(unit, 0.0) + s.share
        if s.exchange is not None:
            doubted[s.exchange.id] = doubted.get(s.exchange.id, 0.0) + s.share

    def ordered(sums: dict[str, float]) -> dict[str, float]:
        return dict(sorted(sums.items(), key=lambda kv: (-kv[1], kv[0])))

    return ordered(units), ordered(doubted)
