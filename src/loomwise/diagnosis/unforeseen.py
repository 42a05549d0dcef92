"""What nothing I know explains: a hypothesis with a broad likelihood, so that it can be said."""

from collections.abc import Sequence

import numpy as np

from loomwise.diagnosis.columns import bell
from loomwise.diagnosis.meters import WAVES
from loomwise.diagnosis.predict import METER_SHARE, METER_V
from loomwise.diagnosis.table import Table
from loomwise.evidence import Evidence, Reading, Sign
from loomwise.evidence.items import LOOK_WORDS, look_kind, sign_words

STEADY = 0.8
"""Chance that something unknown shows the same when asked again: engineering judgement."""


def unforeseen(item: Evidence, items: Sequence[Evidence], table: Table) -> float:
    """Log-density of an item if nothing I know is at work: anything, and when asked several times
    mostly the same, held against the next lower value so that the order never matters."""
    log = _broad(item, table)
    if isinstance(item, Sign) or item.value is None:
        return log
    asked = item.setup, item.instrument, item.red, item.black
    lower = [
        e.value
        for e in items
        if isinstance(e, Reading) and (e.setup, e.instrument, e.red, e.black) == asked
        if e.value is not None and (e.value, e.id) < (item.value, item.id)
    ]
    if not lower:
        return log
    sd = 2.0 * (METER_SHARE * abs(item.value) + METER_V)
    same = STEADY * float(bell(item.value, max(lower), sd))
    return float(np.logaddexp(np.log(same + 1e-300), np.log(1.0 - STEADY) + log))


def _broad(item: Evidence, table: Table) -> float:
    """Log-density of an item if nothing I know is at work: near 0, near supply, or anything."""
    if isinstance(item, Sign):
        return float(-np.log(max(len(sign_words(table.circuit, item.what)), 2)))
    if item.value is None:
        looks = LOOK_WORDS.get(look_kind(table.circuit, item.red), ())
        return float(-np.log(len(looks) if item.instrument == "look" else 3))
    if item.instrument != "voltmeter":
        return float(np.log(WAVES.get(item.instrument, 0.05)))
    supply_v = table.circuit.supply_v
    near = 0.4 * bell(item.value, 0.0, 0.15) + 0.4 * bell(item.value, supply_v * 1.03, 0.5)
    return float(np.log(near + 0.2 / (1.25 * supply_v)))
