"""The ceiling: how often any technician could name the right unit with answers free of noise.

Two faults are alike if every test that the advice may propose answers the same: volts within
0.05 V (a meter of 1 %, read more than once), amperes within 0.1 A, ohms within 10 %, and the same
words from loads, relays, modules, the test lamp and the eye, to which a bad contact looks bad.
Among faults alike the heaviest unit is named. Values are nominal, and sizes are those of the grid.
"""

from collections.abc import Sequence

import numpy as np

from loomwise.advice.candidates import Candidate, candidates
from loomwise.advice.expert import Expert
from loomwise.diagnosis.meters import AT_TIPS
from loomwise.diagnosis.predict import (
    LEADS_OHM,
    LIVE_V,
    amps,
    at_probes,
    lamp_light,
    ohms,
    probe_nodes,
    volts,
)
from loomwise.diagnosis.words import LAMP_STEPS, look_chances, sign_chances
from loomwise.faults import Fault
from loomwise.setups import Setup
from loomwise.solver.network import Floats, Ints
from loomwise.solver.result import LAMP_EXPONENT

ALIKE_V, ALIKE_A, ALIKE_OHM = 0.05, 0.1, 0.1
"""Steps that can be told apart: engineering judgement. [V, A, share]"""
WANDERS = -1e6
"""What stands for a meter that shows nothing steady."""
AT_ONCE = 200


def ceiling(expert: Expert, cases: Sequence[tuple[Fault, Setup]]) -> float:
    """Share of the fault weight whose unit answers free of noise can single out."""
    rows, weights, units = _rows(expert, cases)
    seen = shown(expert, candidates(expert, (), expert.states[0]), rows)
    right = 0.0
    for k in range(len(rows)):
        alike = _alike(seen, k)
        sums = np.bincount(units[alike], weights=weights[alike])
        right += float(weights[k]) if units[k] == sums.argmax() else 0.0
    return min(1.0, right / float(weights.sum()))


def _alike(seen: Floats, k: int) -> Ints:
    """The rows (m,) that answer all tests as row ``k`` does."""
    left: Ints = np.arange(len(seen))
    for first in range(0, seen.shape[1], AT_ONCE):
        some = seen[:, first : first + AT_ONCE]
        left = left[(np.abs(some[left] - some[k]) < 1.0).all(axis=1)]
    return left


def _rows(expert: Expert, cases: Sequence[tuple[Fault, Setup]]) -> tuple[Ints, Floats, Ints]:
    number = {expert.table.fault(h).id: h for h in range(len(expert.table))}
    names = list(dict.fromkeys(f.unit for f, _ in cases))
    return (
        np.array([number[f.id] for f, _ in cases], dtype=np.int64),
        np.array([f.weight for f, _ in cases]),
        np.array([names.index(f.unit) for f, _ in cases], dtype=np.int64),
    )


def shown(expert: Expert, tests: Sequence[Candidate], rows: Ints) -> Floats:
    """What tests (t) show under some rows, free of noise, (rows, t); in steps, so that what is
    less than 1 apart is alike."""
    by_setup: dict[tuple[Setup, str], list[int]] = {}
    for t, test in enumerate(tests):
        by_setup.setdefault((test.setup, test.instrument), []).append(t)
    seen = np.zeros((len(rows), len(tests)))
    for (setup, instrument), which in by_setup.items():
        tips = [(tests[t].red, tests[t].black) for t in which]
        seen[:, which] = _columns(expert, rows, setup, instrument, tips)
    return seen


def _columns(
    expert: Expert, rows: Ints, setup: Setup, instrument: str, tips: list[tuple[str, str]]
) -> Floats:
    table = expert.table
    if instrument in ("sign", "scan tool", "look"):
        chances = look_chances if instrument == "look" else sign_chances
        words = [chances(table, rows, setup, what).argmax(axis=1) for what, _ in tips]
        return np.stack(words, axis=1).astype(float)
    if instrument == "clamp":
        branches = [table.net.branch_index[red] for red, _ in tips]
        return amps(table, setup, rows, branches).mean / ALIKE_A
    probes = probe_nodes(table, tips)
    if instrument == "voltmeter":
        numbers = volts(table, setup, rows, probes)
        return np.where(numbers.floating > 0, WANDERS, numbers.mean / ALIKE_V)
    if instrument == "ohmmeter":
        live = np.abs(at_probes(table, setup, rows, probes).open_v) > LIVE_V
        shown_ohm = np.maximum(np.exp(ohms(table, setup, rows, probes).mean), LEADS_OHM)
        return np.where(live, WANDERS, np.log(shown_ohm) / np.log1p(ALIKE_OHM))
    if instrument in AT_TIPS:
        numbers = AT_TIPS[instrument](table, setup, rows, probes)
        return np.asarray(numbers.mean / (2.0 * np.sqrt(numbers.variance)))
    light = lamp_light(table, setup, rows, probes, expert.circuit.supply_v) ** LAMP_EXPONENT
    steps = [below for below, _ in LAMP_STEPS[:-1]]
    return np.searchsorted(steps, light).astype(float)
