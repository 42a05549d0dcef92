"""The ceiling: how often any technician could name the right unit with noise-free readings.

Two faults are alike if every basic test shows the same: each reachable place against battery minus
within 0.1 V in every setup worth testing in, nothing undone and at each opened plug or pulled fuse,
and a test lamp at opened plugs equally bright. Among faults alike the heaviest unit is named.
Nominal values; looking at a terminal is left out, so a pair of eyes can do better.
"""

from collections.abc import Sequence

import numpy as np

from loomwise.advice.candidates import candidates
from loomwise.advice.expert import Expert
from loomwise.diagnosis.predict import lamp_light, probe_nodes, volts
from loomwise.diagnosis.words import sign_chances
from loomwise.evidence.items import sign_words
from loomwise.faults import Fault
from loomwise.setups import Setup
from loomwise.solver.network import Floats, Ints
from loomwise.solver.result import LAMP_EXPONENT

ALIKE_V = 0.1
LIGHT_STEPS = (0.02, 0.6)


def ceiling(expert: Expert, cases: Sequence[tuple[Fault, Setup]]) -> float:
    """Share of the fault weight whose unit noise-free basic tests can single out."""
    rows, weights, units = _rows(expert, cases)
    seen = _seen(expert, rows)
    right = 0.0
    for k in range(len(rows)):
        alike = (np.abs(seen - seen[k]) < ALIKE_V).all(axis=1)
        sums = np.bincount(units[alike], weights=weights[alike])
        right += float(weights[k]) if units[k] == sums.argmax() else 0.0
    return right / float(weights.sum())


def _rows(expert: Expert, cases: Sequence[tuple[Fault, Setup]]) -> tuple[Ints, Floats, Ints]:
    number = {expert.table.fault(h).id: h for h in range(len(expert.table))}
    names = list(dict.fromkeys(f.unit for f, _ in cases))
    return (
        np.array([number[f.id] for f, _ in cases], dtype=np.int64),
        np.array([f.weight for f, _ in cases]),
        np.array([names.index(f.unit) for f, _ in cases], dtype=np.int64),
    )


def _seen(expert: Expert, rows: Ints) -> Floats:
    """What all basic tests show (rows, tests), words and light as whole numbers."""
    by_setup: dict[tuple[Setup, str], list[tuple[str, str]]] = {}
    for c in candidates(expert, (), expert.states[0]):
        by_setup.setdefault((c.setup, c.instrument), []).append((c.red, c.black))
    columns = [
        _columns(expert, rows, setup, instrument, tips)
        for (setup, instrument), tips in by_setup.items()
        if instrument != "look"
    ]
    return np.concatenate(columns, axis=1)


def _columns(
    expert: Expert, rows: Ints, setup: Setup, instrument: str, tips: list[tuple[str, str]]
) -> Floats:
    table = expert.table
    if instrument in ("sign", "scan tool"):
        words = [sign_chances(table, rows, setup, what).argmax(axis=1) for what, _ in tips]
        assert all(sign_words(expert.circuit, what) for what, _ in tips)
        return np.stack(words, axis=1).astype(float)
    probes = probe_nodes(table, tips)
    if instrument == "voltmeter":
        numbers = volts(table, setup, rows, probes)
        return np.where(numbers.floating > 0, -50.0, numbers.mean)
    light = lamp_light(table, setup, rows, probes, expert.circuit.supply_v) ** LAMP_EXPONENT
    return np.searchsorted(LIGHT_STEPS, light).astype(float)
