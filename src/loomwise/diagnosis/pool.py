"""Compositions that have been worked out: kept while a job goes on, so that each is solved once."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from loomwise.diagnosis.columns import Predictor
from loomwise.diagnosis.composite import without
from loomwise.diagnosis.table import Table
from loomwise.faults import Fault
from loomwise.solver.network import Ints

MOST_ROWS = 2000


@dataclass
class Pool:
    """Tables of compositions on the network of ``table``, and where each composition is."""

    table: Table
    repaired: frozenset[tuple[str, ...]] = frozenset()
    tables: list[Predictor] = field(default_factory=list)
    at: dict[str, tuple[int, int]] = field(default_factory=dict)

    def find(
        self, faults: Sequence[Fault], repaired: Iterable[tuple[str, ...]]
    ) -> list[tuple[Predictor, list[Fault], Ints]]:
        """Tables that hold these compositions, with the ones each holds and their rows."""
        self._tidy(frozenset(repaired), len(faults))
        new = [f for f in faults if f.id not in self.at]
        if new:
            self._add(new)
        found: dict[int, tuple[list[Fault], list[int]]] = {}
        for f in faults:
            table, row = self.at[f.id]
            some, rows = found.setdefault(table, ([], []))
            some.append(f)
            rows.append(row)
        return [
            (self.tables[k], some, np.array(rows, dtype=np.int64))
            for k, (some, rows) in sorted(found.items())
        ]

    def _tidy(self, repaired: frozenset[tuple[str, ...]], more: int) -> None:
        """Begin anew after a repair, which the tables must know of, and when there are too many."""
        if repaired != self.repaired or len(self.at) + more > MOST_ROWS:
            self.repaired, self.tables, self.at = repaired, [], {}

    def _add(self, new: Sequence[Fault]) -> None:
        left = {f.id: f for units in self.repaired for f in without(new, units)}
        faults = (*new, *left.values())
        source = Predictor.of(table_of(self.table, faults))
        for f in new:
            self.at[f.id] = len(self.tables), source.numbers[f.id]
        self.tables.append(source)


def table_of(table: Table, faults: tuple[Fault, ...]) -> Table:
    """A table of other faults that shares the bases and the healthy starts of the first."""
    return Table(
        table.circuit, table.plant, faults, table.use, engine=table.engine, ready=table.ready
    )
