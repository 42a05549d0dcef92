"""For each unit, the signs and readings that speak for and against it, with their weight.

The weight of an item is in bits: the logarithm of how much likelier the item is under the unit's
best hypotheses than under all others, each weighted by its share of belief without that item.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from loomwise.advice.expert import Expert
from loomwise.diagnosis.ranking import Ranking
from loomwise.evidence import Evidence, Reading, Sign
from loomwise.units import format_quantity


@dataclass(frozen=True)
class EvidenceLine:
    """One item: its words, and the bits by which it speaks for (above 0) or against the unit."""

    item_id: str
    text: str
    bits: float


def evidence_for(
    expert: Expert, evidence: Sequence[Evidence], ranking: Ranking, unit: str
) -> tuple[EvidenceLine, ...]:
    """The items that move the unit by a tenth of a bit or more, strongest first."""
    lines = []
    with_all = _odds(ranking.units.get(unit, 0.0))
    for item in evidence:
        rest = [e for e in evidence if e.id != item.id]
        without = _odds(expert.judge.rank(rest, search_pairs=False).units.get(unit, 0.0))
        lines.append(EvidenceLine(item.id, describe(item), with_all - without))
    kept = [line for line in lines if abs(line.bits) >= 0.1]
    return tuple(sorted(kept, key=lambda line: -abs(line.bits)))


def _odds(share: float) -> float:
    p = min(max(share, 1e-9), 1.0 - 1e-9)
    return float(np.log2(p / (1.0 - p)))


UNITS = {"voltmeter": "V", "clamp": "A", "ohmmeter": "ohm"}


def describe(item: Evidence) -> str:
    """A sign or reading in words."""
    if isinstance(item, Sign):
        return f"{item.what} {item.seen} ({item.setup})"
    return f"{_what(item)} ({item.setup})"


def _what(item: Reading) -> str:
    if item.instrument == "look":
        return f"{item.red} looks {item.word}"
    if item.instrument == "clamp":
        return f"{format_quantity(item.value or 0.0, 'A')} in {item.red}"
    shown = item.word if item.value is None else format_quantity(item.value, UNITS[item.instrument])
    tips = f"{item.red} to {item.black}" if item.black else item.red
    lead = "test lamp " if item.instrument == "test lamp" else ""
    return f"{lead}{shown} at {tips}"
