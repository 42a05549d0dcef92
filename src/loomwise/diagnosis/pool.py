"""Compositions that have been worked out: kept while a job goes on, so that each is solved once."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from loomwise.diagnosis.columns import Predictor
from loomwise.diagnosis.composite import without
from loomwise.diagnosis.table import Table
from loomwise.faults import Fault
from loomwise.solver.network import Ints

MOST_ROWS = 2000


@dataclass
class Pool:
    """A growing table of compositions on the network of ``table``."""

    table: Table
    repaired: frozenset[tuple[str, ...]] = frozenset()
    source: Predictor | None = None

    def find(
        self, faults: Sequence[Fault], repaired: Iterable[tuple[str, ...]]
    ) -> tuple[Predictor, Ints] | None:
        """The table that holds these compositions, and their rows; None where there are none."""
        if not faults:
            return None
        self._tidy(frozenset(repaired), len(faults))
        known = self.source.numbers if self.source else {}
        new = [f for f in faults if f.id not in known]
        source = self._with(new) if new or self.source is None else self.source
        self.source = source
        return source, np.array([source.numbers[f.id] for f in faults], dtype=np.int64)

    def _tidy(self, repaired: frozenset[tuple[str, ...]], more: int) -> None:
        """Begin anew after a repair, which the table must know of, and when it is too long."""
        rows = len(self.source.table) if self.source else 0
        if repaired != self.repaired or rows + more > MOST_ROWS:
            self.repaired, self.source = repaired, None

    def _with(self, new: Sequence[Fault]) -> Predictor:
        known = self.source.numbers if self.source else {}
        left = {f.id: f for units in sorted(self.repaired) for f in without(new, units)}
        rest = [f for f in left.values() if f.id not in known]
        faults = (*new, *rest)
        if self.source is None:
            return Predictor.of(table_of(self.table, faults))
        return self.source.grown(faults)


def table_of(table: Table, faults: tuple[Fault, ...]) -> Table:
    """A table of other faults that shares the bases and the healthy starts of the first."""
    return Table(
        table.circuit, table.plant, faults, table.use, engine=table.engine, ready=table.ready
    )
