"""Evidence against a table: numeric columns and word chances, for chosen hypotheses."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from loomwise.diagnosis.doubts import SLIP_ELSEWHERE, neighbour_places
from loomwise.diagnosis.joint import LOG_2PI, Columns
from loomwise.diagnosis.predict import Numbers, probe_nodes, reading_numbers, shown
from loomwise.diagnosis.table import Table
from loomwise.diagnosis.words import MISTAKE, word_chances
from loomwise.evidence import Evidence, Reading, Sign
from loomwise.evidence.items import WANDERING
from loomwise.solver.network import Floats, Ints

Relabel = Callable[[str], str]
ABSENT_CLEARS_NOTHING = "no"


def as_drawn(place: str) -> str:
    """The relabelling of a drawing nobody doubts."""
    return place


def counts(item: Evidence) -> bool:
    """A reading taken while the complaint was absent clears nothing."""
    return item.complaint != ABSENT_CLEARS_NOTHING


def is_number(item: Evidence) -> bool:
    """Whether the item is a reading with a value."""
    return isinstance(item, Reading) and item.value is not None


def relabelled(item: Evidence, relabel: Relabel) -> Evidence:
    """The item at the places on the vehicle that its labels lead to; a sign has no place."""
    if isinstance(item, Sign):
        return item
    return Reading(
        item.id, item.setup, item.instrument, relabel(item.red), relabel(item.black),
        item.value, item.word, item.method, item.complaint,
    )  # fmt: skip


@dataclass
class Predictor:
    """Columns of evidence items for all rows of a table, which keeps what it has solved."""

    table: Table
    words: dict[tuple[object, ...], Floats]

    @staticmethod
    def of(table: Table) -> "Predictor":
        """A predictor with nothing kept yet."""
        return Predictor(table, {})

    def everyone(self) -> Ints:
        """All rows of the table."""
        return np.arange(len(self.table))

    def number(self, item: Reading, rows: Ints) -> tuple[Numbers, Floats]:
        """Prediction of a numeric reading by some rows, and the density of a bad one (f,)."""
        return reading_numbers(self.table, rows, item), self._bad(item, rows)

    def word(self, item: Evidence) -> Floats:
        """Log-chance (h,) of an item answered by a word, slips allowed for."""
        key = (item.setup, _question(item))
        if key not in self.words:
            self.words[key] = self._word(item)
        return self.words[key]

    def _word(self, item: Evidence) -> Floats:
        if isinstance(item, Reading) and item.word == WANDERING:
            floating = reading_numbers(self.table, self.everyone(), item).floating[:, 0]
            return np.asarray(np.log(np.where(floating > 0, 0.8, 0.03)))
        chances, words = word_chances(self.table, self.everyone(), item)
        said = item.seen if isinstance(item, Sign) else item.word
        good = chances[:, words.index(said)]
        if isinstance(item, Reading) and item.instrument == "test lamp":
            slip, blind = item.missed + SLIP_ELSEWHERE, 1.0 if said == "dark" else 0.05
            good = (1.0 - slip) * good + slip * blind
        return np.asarray(np.log(np.maximum(good, MISTAKE / 10.0)))

    def _bad(self, item: Reading, rows: Ints) -> Floats:
        """Density (f,) of the value if the reading is bad: missed, next door, or anything."""
        x, supply = shown(item), self.table.circuit.supply_v
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

    def columns(
        self, items: Sequence[Evidence], relabel: Relabel = as_drawn, rows: Ints | None = None
    ) -> Columns:
        """Columns of all numeric readings among the items, for some rows (all if None)."""
        rows = self.everyone() if rows is None else rows
        readings = [
            relabelled(i, relabel) for i in items if is_number(i) and isinstance(i, Reading)
        ]
        got = [self.number(r, rows) for r in readings if isinstance(r, Reading)]
        h, k = len(rows), len(self.table.named) + 1
        if not got:
            none = np.zeros((h, 0))
            return Columns(none, np.zeros((h, 0, k)), none, np.zeros(0), np.zeros(0), none)
        slip = [r.missed + SLIP_ELSEWHERE for r in readings if isinstance(r, Reading)]
        value = [shown(r) for r in readings if isinstance(r, Reading)]
        return Columns(
            np.concatenate([n.mean for n, _ in got], axis=1),
            np.concatenate([n.sensitivity for n, _ in got], axis=1),
            np.concatenate([n.variance for n, _ in got], axis=1),
            np.array(value),
            np.array(slip),
            np.stack([bad for _, bad in got], axis=1),
        )

    def word_logs(self, items: Sequence[Evidence], relabel: Relabel = as_drawn) -> Floats:
        """Log-chances (h, w) of all items answered by words."""
        logs = [self.word(relabelled(i, relabel)) for i in items if not is_number(i)]
        return np.stack(logs, axis=1) if logs else np.zeros((len(self.table), 0))


def _question(item: Evidence) -> tuple[object, ...]:
    if isinstance(item, Sign):
        return ("sign", item.what, item.seen)
    return (item.instrument, item.red, item.black, item.method, item.word)


def bell(x: Floats | float, mean: Floats | float, sd: float) -> Floats:
    """Normal density."""
    z = (np.asarray(x) - mean) / sd
    return np.asarray(np.exp(-0.5 * (z * z + LOG_2PI)) / sd)
