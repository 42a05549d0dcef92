"""For each unit, the signs and readings that speak for and against it, with their weight.

The weight of an item is in bits: how much likelier it is under the unit's hypotheses (each by its
share within the unit) than under those of all other units (each unit by its weight beforehand).
Where a pair of labels is exchanged more likely than not, the items count at their real places.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomwise.advice.expert import Expert
from loomwise.diagnosis.choices import counted
from loomwise.diagnosis.columns import as_drawn, numbers_first
from loomwise.diagnosis.judge import single_weights
from loomwise.diagnosis.ranking import NOTHING_WRONG, Ranking
from loomwise.evidence import Evidence, Reading, Sign
from loomwise.evidence.items import STIRS, UNITS
from loomwise.solver.network import Floats
from loomwise.units import format_quantity

SPEAKS_BITS = 0.3
"""Less than this is not worth a line. [bit]"""


@dataclass(frozen=True)
class EvidenceLine:
    """One item: its words, and the bits by which it speaks for (above 0) or against the unit."""

    item_id: str
    text: str
    bits: float


def evidence_for(
    expert: Expert, evidence: Sequence[Evidence], ranking: Ranking, unit: str
) -> tuple[EvidenceLine, ...]:
    """The items that speak for or against a unit, strongest first."""
    items = numbers_first(counted(evidence))
    logs = item_logs(expert, items, _relabel(expert, ranking))
    prior = single_weights(expert.table)
    names = np.array([expert.table.fault(h).unit or NOTHING_WRONG for h in range(len(prior))])
    mine, others = names == unit, names != unit
    if not mine.any():
        return ()
    under = _mean(logs, np.log(prior) + logs.sum(axis=1), mine)
    against = _by_unit(logs, prior, names, others)
    bits = (under - against) / np.log(2.0)
    lines = [EvidenceLine(e.id, describe(e), float(b)) for e, b in zip(items, bits, strict=True)]
    kept = [line for line in lines if abs(line.bits) >= SPEAKS_BITS]
    return tuple(sorted(kept, key=lambda line: -abs(line.bits)))


def item_logs(expert: Expert, items: Sequence[Evidence], relabel: Callable[[str], str]) -> Floats:
    """Log-likelihood (h, items) of each item by itself under each single hypothesis."""
    return expert.judge.singles.look(items, relabel).each(expert.table.variances())


def _relabel(expert: Expert, ranking: Ranking) -> Callable[[str], str]:
    leading = [name for name, share in ranking.doubted.items() if share > 0.5]
    found = [e for e in expert.judge.drawing if e.id in leading[:1]]
    return found[0].real if found else as_drawn


def _mean(logs: Floats, weight_logs: Floats, rows: NDArray[np.bool_]) -> Floats:
    """Log of the mean likelihood (items,) over some rows, weighted."""
    weights = np.exp(weight_logs[rows] - weight_logs[rows].max())
    mean = (weights / weights.sum()) @ np.exp(logs[rows])
    return np.asarray(np.log(np.maximum(mean, 1e-30)))


def _by_unit(
    logs: Floats, prior: Floats, names: NDArray[np.str_], others: NDArray[np.bool_]
) -> Floats:
    total = np.zeros(logs.shape[1])
    for unit in dict.fromkeys(names[others].tolist()):
        rows = names == unit
        share = float(prior[rows].sum())
        total += share * np.exp(_mean(logs, np.log(prior) + logs.sum(axis=1), rows))
    return np.asarray(np.log(np.maximum(total / prior[others].sum(), 1e-30)))


def describe(item: Evidence) -> str:
    """A sign or reading in words."""
    if isinstance(item, Sign):
        return f"{item.what} {item.seen} ({item.setup})"
    return f"{_what(item)} ({item.setup})"


def _what(item: Reading) -> str:
    if item.instrument in STIRS:
        return f"{item.instrument} {item.red}: {item.word}"
    if item.instrument == "look":
        return f"{item.red} looks {item.word}"
    if item.instrument == "clamp":
        return f"{format_quantity(item.value or 0.0, 'A')} in {item.red}"
    shown = item.word if item.value is None else _number(item.value, item.instrument)
    tips = f"{item.red} to {item.black}" if item.black else item.red
    lead = "test lamp " if item.instrument == "test lamp" else ""
    return f"{lead}{shown} at {tips}"


def _number(value: float, instrument: str) -> str:
    """Volts as a meter shows them; other units with a prefix."""
    if instrument == "voltmeter":
        return f"{value:.2f} V"
    waves = {"ripple meter": " ripple", "duty meter": " duty"}.get(instrument, "")
    return f"{format_quantity(value, UNITS[instrument])}{waves}"
