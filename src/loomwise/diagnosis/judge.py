"""The posterior over all hypotheses, for signs and readings.

p(hypothesis | evidence) is weight times likelihood, over: one fault; two and three, best first; a
fault and something the drawing has wrong, labels or joints; nothing wrong here; and "not explained
by anything I know", a hypothesis with a broad likelihood.
"""

import functools
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

import numpy as np

from loomwise.diagnosis.choices import counted
from loomwise.diagnosis.columns import Predictor, is_number, numbers_first
from loomwise.diagnosis.composite import Members, Promising, members, promising
from loomwise.diagnosis.doubts import Exchange, exchanges
from loomwise.diagnosis.joint import joint, joint_of_likely
from loomwise.diagnosis.pool import Pool, table_of
from loomwise.diagnosis.ranking import NOT_EXPLAINED, NOTHING_WRONG, Part, Ranking, ranking_of
from loomwise.diagnosis.table import Table
from loomwise.diagnosis.unforeseen import unforeseen
from loomwise.evidence import Evidence, Sign
from loomwise.faults import Fault
from loomwise.solver.network import Floats, Ints

SHARE_DOUBLE, SHARE_TRIPLE = 0.08, 0.01
SHARE_HEALTHY = 0.02
SHARE_UNEXPLAINED = 0.02
SHARE_SINGLE = 1.0 - SHARE_DOUBLE - SHARE_TRIPLE - SHARE_HEALTHY - SHARE_UNEXPLAINED
"""About 8 % of jobs are two faults, 1 % three, 2 % not electrical: engineering judgement."""
LOG_STEP = np.log([
    SHARE_SINGLE / SHARE_HEALTHY, 2.0 * SHARE_DOUBLE / SHARE_SINGLE,
    3.0 * SHARE_TRIPLE / SHARE_DOUBLE, 1e-3,
])  # fmt: skip
"""One fault more, by how many there are: shares, times the orders they can be named in."""
LIKELY_EXCHANGE, SCREEN_EXCHANGE = 500, 150
"""Under an exchange: rows kept by what it does not touch, and of these by all readings alone."""
PAIRS, TRIPLES = 120, 30
TRIPLE_WORTH = 1e-3
"""A third fault is looked for where it could have this share."""


@dataclass
class Judge:
    """Ranks evidence against one circuit's table; keeps predictions between calls.

    ``chosen`` are the compositions of the last search, ``log_left`` the logs of what the others
    could weigh at most, and likely do.
    """

    table: Table
    singles: Predictor
    drawing: tuple[Exchange, ...]
    redrawn: Predictor
    pool: Pool
    chosen: tuple[Fault, ...] = ()
    log_left: tuple[float, float] = (-np.inf, -np.inf)

    @staticmethod
    def of(table: Table, doubts: Sequence[Fault]) -> "Judge":
        """A judge of a table of single faults and of doubts about the drawing."""
        redrawn = Predictor.of(table_of(table, tuple(doubts)))
        pool = Pool(redrawn.table)
        return Judge(table, Predictor.of(table), exchanges(table.circuit), redrawn, pool)

    def fresh(self) -> "Judge":
        """A judge that has seen nothing yet, on the same solved tables."""
        return Judge(self.table, self.singles, self.drawing, self.redrawn, Pool(self.redrawn.table))

    def doubt_title(self, name: str) -> str:
        """What a doubt of the drawing says."""
        titles = {e.id: e.title for e in self.drawing}
        return titles.get(name) or next(
            f.title for f in self.redrawn.table.faults if f.doubt == name
        )

    def rank(self, evidence: Sequence[Evidence], search: bool = True) -> Ranking:
        """The posterior for these signs and readings; their order does not matter.

        Without ``search`` the compositions of the last search are judged again, which is quick:
        for asking what one item fewer would change.
        """
        items = counted(evidence)
        ids = [e.id for e in items if is_number(e)]
        single, doubted = self._single(items), self._doubted(items)
        parts = [single, doubted, *self._exchanged(items, single)]
        parts += [self._unexplained(items, len(ids))]
        parts += self._search(items, single, doubted) if search else self._judged(items)
        names = [e.id for e in numbers_first(items)]
        return replace(
            ranking_of(parts, ids, self.log_left), parts=tuple(parts), items=tuple(names)
        )

    def _single(self, items: Sequence[Evidence]) -> Part:
        faults = [self.table.fault(h) for h in range(len(self.table))]
        log_prior = np.log(single_weights(self.table))
        return self._part(self.singles, items, log_prior, faults, self.singles.everyone())

    def _doubted(self, items: Sequence[Evidence]) -> Part:
        """Nothing wrong on the vehicle but what the drawing says of it."""
        faults = self.redrawn.table.faults
        log_prior = np.log(SHARE_HEALTHY * np.array([f.weight for f in faults]))
        return self._part(self.redrawn, items, log_prior, faults, 1 + np.arange(len(faults)))

    def _part(
        self, source: Predictor, items: Sequence[Evidence], log_prior: Floats,
        faults: Sequence[Fault], rows: Ints,
    ) -> Part:  # fmt: skip
        look = source.look(items, rows=rows)
        variances = source.table.variances()
        fit = look.each(variances)
        alone = fit[:, : len(look.columns.value)].sum(axis=1)
        seen = joint_of_likely(look.columns, variances, alone, log_prior + look.apart)
        done = {unit for item in items for unit in item.repaired}
        units = [_to_repair(f, done) or NOTHING_WRONG for f in faults]
        log_post = log_prior + seen.log_like + look.apart
        return Part(faults, units, rows, log_post, seen.bad, None, source, look, fit)

    def _exchanged(self, items: Sequence[Evidence], single: Part) -> list[Part]:
        touched = {p for e in items for p in _labels(e)}
        return [
            self._under(exchange, items, single)
            for exchange in self.drawing
            if touched & exchange.swap.keys()
        ]

    def _under(self, exchange: Exchange, items: Sequence[Evidence], single: Part) -> Part:
        variances = self.table.variances()
        prior = np.log(single_weights(self.table)) + np.log(exchange.weight)
        assert single.fit is not None
        untouched = [not exchange.swap.keys() & set(_labels(e)) for e in numbers_first(items)]
        rough = single.fit[:, untouched].sum(axis=1) + prior
        likely = np.argsort(-rough, kind="stable")[:LIKELY_EXCHANGE]
        look = self.singles.look(items, exchange.real, likely)
        finer = look.each(variances).sum(axis=1) + prior[likely]
        best = np.argsort(-finer, kind="stable")[:SCREEN_EXCHANGE]
        kept = look.rows(best)
        keep, seen = likely[best], joint(kept.columns, variances)
        log_post = prior[keep] + seen.log_like + look.apart[best]
        return Part(
            [single.faults[h] for h in keep], [single.units[h] for h in keep], keep,
            log_post, seen.bad, exchange, self.singles, kept, kept.each(variances),
        )  # fmt: skip

    def _search(self, items: Sequence[Evidence], single: Part, doubted: Part) -> list[Part]:
        """Compositions of two, then of three where one of them could matter, best first; judged."""
        either = self._members(single, np.log(SHARE_SINGLE)).joined(
            self._members(doubted, np.log(SHARE_HEALTHY))
        )
        assert single.fit is not None
        healthy = single.fit[0]
        pairs = promising(either, either, healthy, PAIRS, LOG_STEP)
        self.chosen = pairs.faults
        parts = self._judged(items)
        self.log_left = pairs.log_left, _likely_left(pairs, parts)
        if not parts:
            return []
        top = max(float(p.log_post.max()) for p in (single, *parts))
        some = functools.reduce(Members.joined, [self._pair_members(p) for p in parts])
        enough = top + float(np.log(TRIPLE_WORTH))
        triples = promising(some, either, healthy, TRIPLES, LOG_STEP, enough)
        if triples.faults:
            self.chosen += triples.faults
            parts = self._judged(items)
        more = triples.log_left, _likely_left(triples, parts)
        at_most, likely = np.logaddexp(self.log_left, more).tolist()
        self.log_left = at_most, likely
        return parts

    def _judged(self, items: Sequence[Evidence]) -> list[Part]:
        """The compositions last chosen."""
        found = self.pool.find(self.chosen, {i.repaired for i in items if i.repaired})
        if found is None:
            return []
        log_prior = np.log(np.array([f.weight for f in self.chosen]))
        return [self._part(found[0], items, log_prior, self.chosen, found[1])]

    def _members(self, part: Part, log_share: float) -> Members:
        assert part.fit is not None
        faults = [f for f in part.faults if f is not None]
        return members(faults, float(log_share), part.fit, part.log_post)

    def _pair_members(self, part: Part) -> Members:
        assert part.fit is not None
        faults = tuple(f for f in part.faults if f is not None)
        log_prior = np.log(np.array([f.weight for f in faults]))
        return Members(faults, log_prior, log_prior, part.fit)

    def _unexplained(self, items: Sequence[Evidence], numbers: int) -> Part:
        some = numbers_first(items)
        fit = np.array([[unforeseen(e, some, self.table) for e in some]])
        log = np.log(SHARE_UNEXPLAINED) + fit.sum(axis=1)
        return Part(
            [None], [NOT_EXPLAINED], np.array([-1]), log, np.zeros((1, numbers)), None, None, None,
            fit.reshape(1, -1),
        )  # fmt: skip


def single_weights(table: Table) -> Floats:
    """Prior of row 0 and of each single fault. Row 0 is nothing wrong, and the faults left out of
    the table because they change nothing that was seen: they are what the weights lack to one."""
    weights = np.array([f.weight for f in table.faults])
    left_out = max(0.0, 1.0 - float(weights.sum()))
    return np.array([SHARE_HEALTHY + SHARE_SINGLE * left_out, *(SHARE_SINGLE * weights)])


def _likely_left(tried: Promising, parts: Sequence[Part]) -> float:
    """Log of what the compositions left may weigh, if their bounds are as far too high as the
    middle one of those worked out."""
    of = {f.id: float(x) for p in parts for f, x in zip(p.faults, p.log_post, strict=True) if f}
    known = [k for k, f in enumerate(tried.faults) if f.id in of]
    if not known:
        return tried.log_left
    gaps = [of[tried.faults[k].id] - float(tried.log_bound[k]) for k in known]
    return tried.log_left + min(float(np.median(gaps)), 0.0)


def _to_repair(fault: Fault, done: Collection[str]) -> str:
    """The units a hypothesis asks to repair: of several not those that have been, of one that one,
    whose new part would be bad."""
    units = fault.unit.split(" + ")
    left = [u for u in units if u not in done]
    return " + ".join(left) if len(units) > 1 and left else fault.unit


def _labels(item: Evidence) -> tuple[str, ...]:
    return () if isinstance(item, Sign) else (item.red, item.black)
