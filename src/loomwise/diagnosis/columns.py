"""Evidence against a table: numeric columns and word chances, for chosen hypotheses."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from loomwise.diagnosis.choices import Alternative, Choice, Way, choices
from loomwise.diagnosis.composite import components
from loomwise.diagnosis.doubts import SLIP_ELSEWHERE, neighbour_places
from loomwise.diagnosis.joint import LOG_2PI, Columns
from loomwise.diagnosis.look import (
    Look,
    Number,
    Piece,
    Settled,
    blind,
    columns,
    settle,
    together,
    unchanged,
)
from loomwise.diagnosis.meters import AT_TIPS, WAVES, reading_numbers
from loomwise.diagnosis.predict import Numbers, probe_nodes, shown
from loomwise.diagnosis.table import Table
from loomwise.diagnosis.words import MISTAKE, word_chances
from loomwise.evidence import Evidence, Reading, Sign
from loomwise.faults import Fault
from loomwise.solver.network import Floats, Ints

Relabel = Callable[[str], str]


def as_drawn(place: str) -> str:
    """The relabelling of a drawing nobody doubts."""
    return place


def is_number(item: Evidence) -> bool:
    """Whether the item is a reading with a value."""
    return isinstance(item, Reading) and item.value is not None


def numbers_first(items: Sequence[Evidence]) -> list[Evidence]:
    """Items in the order in which a look at them gives their likelihoods."""
    return [e for e in items if is_number(e)] + [e for e in items if not is_number(e)]


def relabelled(item: Evidence, relabel: Relabel) -> Evidence:
    """The item at the places on the vehicle that its labels lead to; a sign has no place."""
    if isinstance(item, Sign):
        return item
    return replace(item, red=relabel(item.red), black=relabel(item.black))


@dataclass
class Predictor:
    """Columns of evidence items for all rows of a table, which keeps what it has solved."""

    table: Table
    words: dict[tuple[object, ...], Floats]
    numbers: dict[str, int]

    @staticmethod
    def of(table: Table) -> "Predictor":
        """A predictor with nothing kept yet."""
        numbers = {table.fault(h).id: h for h in range(len(table))}
        return Predictor(table, {}, numbers)

    def grown(self, faults: tuple[Fault, ...]) -> "Predictor":
        """The same with further rows; what is known of those there are stays known."""
        grown = Predictor.of(self.table.grown(faults))
        more = len(grown.table) - len(self.table)
        wider = (0, more)
        grown.words = {k: np.pad(w, wider, constant_values=np.nan) for k, w in self.words.items()}
        return grown

    def everyone(self) -> Ints:
        """All rows of the table."""
        return np.arange(len(self.table))

    def number(self, item: Reading, rows: Ints) -> tuple[Numbers, Floats]:
        """Prediction of a numeric reading by some rows, and the density of a bad one (f,)."""
        return reading_numbers(self.table, rows, item), self._bad(item, rows)

    def word(self, item: Evidence, rows: Ints) -> Floats:
        """Log-chances (f,) of an item answered by a word, slips allowed for."""
        key = (item.setup, _question(item))
        known = self.words.setdefault(key, np.full(len(self.table), np.nan))
        new = np.unique(rows[np.isnan(known[rows])])
        if len(new):
            known[new] = self._word(item, new)
        return np.asarray(known[rows])

    def _word(self, item: Evidence, rows: Ints) -> Floats:
        if isinstance(item, Reading) and item.instrument in AT_TIPS:  # no number
            floating = reading_numbers(self.table, rows, item).floating[:, 0]
            return np.asarray(np.log(np.where(floating > 0, 0.8, 0.03)))
        chances, words = word_chances(self.table, rows, item)
        said = item.seen if isinstance(item, Sign) else item.word
        good = chances[:, words.index(said)]
        if isinstance(item, Reading) and item.instrument == "test lamp":
            slip, blind = item.missed + SLIP_ELSEWHERE, 1.0 if said == "dark" else 0.05
            good = (1.0 - slip) * good + slip * blind
        return np.asarray(np.log(np.maximum(good, MISTAKE / 10.0)))

    def _bad(self, item: Reading, rows: Ints) -> Floats:
        """Density (f,) of the value if the reading is bad: missed, next door, or anything."""
        x, supply = shown(item), self.table.circuit.supply_v
        if item.instrument in WAVES:
            return np.full(len(rows), WAVES[item.instrument])
        if item.instrument != "voltmeter":
            return bell(np.full(len(rows), x), 0.0, 4.0)
        wide = np.full(len(rows), 1.0 / (2.5 * supply))
        missed = 0.7 * bell(x, 0.0, 0.05) + 0.3 * bell(x, 0.0, 0.5)
        share = item.missed / (item.missed + SLIP_ELSEWHERE)
        next_door = self._next_door(item, x, wide, rows)
        return share * missed + (1 - share) * (0.5 * next_door + 0.5 * wide)

    def _next_door(self, item: Reading, x: float, wide: Floats, rows: Ints) -> Floats:
        near = neighbour_places(self.table.circuit, item.red)
        if not near:
            return wide
        v = self.table.at(item.setup, rows).v[rows]
        probes = probe_nodes(self.table, [(n, item.black) for n in near])
        seen = v[:, probes[:, 0]] - v[:, probes[:, 1]]
        return np.asarray(bell(x, seen, 0.25).mean(axis=1))

    def look(
        self, items: Sequence[Evidence], relabel: Relabel = as_drawn, rows: Ints | None = None
    ) -> Look:
        """All items as some rows (all if None) see them, each choice settled."""
        rows = self.everyone() if rows is None else rows
        real = [relabelled(i, relabel) for i in items]
        pieces = [self._piece(i, rows) for i in real]
        settled, extra = list[Settled](), np.zeros(len(rows))
        for choice in choices(self.table, real, rows, self._well(items, rows)):
            options = [
                self._as(a, choice, real, pieces, rows, first=k == 0)
                for k, a in enumerate(choice.alternatives)
            ]
            taken, how, more = settle(choice, options, self.table.variances())
            for item, piece in zip(choice.items, taken, strict=True):
                pieces[item] = piece
            settled.append(how)
            extra += more
        extra += together(settled)
        return Look(self._numbers(pieces, rows), _words(pieces, rows), extra, tuple(settled))

    def _as(
        self, a: Alternative, choice: Choice, items: Sequence[Evidence], pieces: Sequence[Piece],
        rows: Ints, first: bool,
    ) -> list[Piece]:  # fmt: skip
        """The pieces of a choice's items under one of its alternatives."""
        if unchanged(a, first) and a.way == Way():
            return [pieces[k] for k in choice.items]
        if a.blind:
            return [blind(p) if isinstance(p := pieces[k], Number) else p for k in choice.items]
        at = rows if a.rows is None else a.rows
        ask = [replace(items[k], setup=a.way.of(items[k].setup)) for k in choice.items]
        return [self._piece(i, at) for i in ask]

    def _piece(self, item: Evidence, rows: Ints) -> Piece:
        if isinstance(item, Sign) or item.value is None:
            return self.word(item, rows)
        n, bad = self.number(item, rows)
        return Number(
            n.mean[:, 0], n.sensitivity[:, 0], n.variance[:, 0], bad,
            shown(item), item.missed + SLIP_ELSEWHERE,
        )  # fmt: skip

    def _well(self, items: Sequence[Evidence], rows: Ints) -> dict[tuple[str, ...], Ints]:
        """What is left of the rows once units are repaired: nothing, of a fault in one of them."""
        repairs = dict.fromkeys(i.repaired for i in items if i.repaired)
        return {
            units: np.array([self._left(h, units) for h in rows.tolist()], dtype=np.int64)
            for units in repairs
        }

    def _left(self, row: int, units: Sequence[str]) -> int:
        """The row of what is left of a hypothesis; the healthy one if nothing is."""
        parts = components(self.table.fault(row))
        left = [p for p in parts if p.unit not in units or not p.unit]
        if len(left) == len(parts):
            return row
        return self.numbers.get(" + ".join(p.id for p in left), 0)

    def _numbers(self, pieces: Sequence[Piece], rows: Ints) -> Columns:
        numbers = [p for p in pieces if isinstance(p, Number)]
        if numbers:
            return columns(numbers)
        none = np.zeros((len(rows), 0))
        k = len(self.table.named) + 1
        return Columns(
            none, np.zeros((len(rows), 0, k)), none, np.zeros(0), np.zeros(0), none
        )  # fmt: skip


def _words(pieces: Sequence[Piece], rows: Ints) -> Floats:
    logs = [p for p in pieces if not isinstance(p, Number)]
    return np.stack(logs, axis=1) if logs else np.zeros((len(rows), 0))


def _question(item: Evidence) -> tuple[object, ...]:
    if isinstance(item, Sign):
        return ("sign", item.what, item.seen)
    return (item.instrument, item.red, item.black, item.method, item.word)


def bell(x: Floats | float, mean: Floats | float, sd: float) -> Floats:
    """Normal density."""
    z = (np.asarray(x) - mean) / sd
    return np.asarray(np.exp(-0.5 * (z * z + LOG_2PI)) / sd)
