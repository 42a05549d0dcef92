"""Chances of each outcome of candidate tests under each leader: the planner's arrays.

Numbers fall into bins, given the vehicle as learned; words are taken as they are. A probe
may slip: then the meter shows 0 V, mostly. Shapes: l leaders, t tests, o outcomes.
"""

from collections.abc import Sequence

import numpy as np

from loomwise.advice.candidates import Candidate
from loomwise.advice.leaders import Block, Leaders
from loomwise.circuit.kinds.tables import access_methods
from loomwise.diagnosis.doubts import SLIP_ELSEWHERE
from loomwise.diagnosis.meters import AT_TIPS
from loomwise.diagnosis.predict import LEADS_OHM, Numbers, amps, probe_nodes
from loomwise.diagnosis.words import (
    lamp_chances,
    look_chances,
    normal_cdf,
    sign_chances,
    stir_chances,
)
from loomwise.evidence.items import STIRS, UNITS
from loomwise.setups import Setup
from loomwise.solver.network import Floats, Ints

EDGES_12V = np.array([0.15, 0.6, 1.5, 3.0, 4.5, 6.0, 7.5, 9.0, 10.5, 11.3, 11.9, 12.3, 13.0])
"""Edges of the bins at 12 V nominal; other systems scale. [V]"""
EDGES_A = np.array([0.05, 0.2, 0.5, 1.0, 2.0, 4.0, 7.0, 10.0, 15.0, 20.0, 30.0, 60.0, 150.0])
EDGES_OHM = np.array([0.5, 1.0, 2.0, 5.0, 15.0, 50.0, 150.0, 500.0, 1.5e3, 5e3, 2e4, 1e5, 1e6])
EDGES_WAVES = {
    "ripple meter": np.geomspace(0.01, 1.28, len(EDGES_12V)),
    "duty meter": np.array([3.0, *np.linspace(10.0, 90.0, len(EDGES_12V) - 2), 97.0]),
}
"""Of ripple [V] and of duty [%]."""
WAYS = len(EDGES_12V) + 1


def edges_of(instrument: str, supply_v: float) -> Floats:
    """Edges of the bins an instrument's number falls into. [V, A or ohm]"""
    volts = EDGES_12V * supply_v / 12.0
    return {"clamp": EDGES_A, "ohmmeter": EDGES_OHM, **EDGES_WAVES}.get(instrument, volts)


def outcome_chances(
    leaders: Leaders, tests: Sequence[Candidate], supply_v: float
) -> tuple[Floats, Floats]:
    """Chances (l, t, o), and the mean volts expected (l, t), NaN where the answer is a word."""
    chances = np.zeros((len(leaders), len(tests), WAYS))
    means = np.full((len(leaders), len(tests)), np.nan)
    by_setup: dict[tuple[Setup, str], list[int]] = {}
    for t, test in enumerate(tests):
        by_setup.setdefault((test.setup, test.instrument), []).append(t)
    for (setup, instrument), which in by_setup.items():
        some, columns = [tests[t] for t in which], np.array(which)
        for block in leaders.blocks:
            got, mean = _block_chances(block, setup, instrument, some, supply_v)
            chances[np.ix_(block.at, columns, np.arange(got.shape[2]))] = got
            means[np.ix_(block.at, columns)] = mean
    _broad(chances, leaders.unexplained, tests)
    return chances, means


def _broad(chances: Floats, rows: Ints, tests: Sequence[Candidate]) -> None:
    """What nothing explains allows anything that some leader allows, evenly."""
    others = np.setdiff1d(np.arange(len(chances)), rows)
    seen = chances[others].max(axis=0, initial=0.0) > 1e-4
    even = np.where(seen, 1.0, 0.0) + 1e-6
    chances[rows] = even / even.sum(axis=1, keepdims=True)


def _block_chances(
    block: Block, setup: Setup, instrument: str, tests: Sequence[Candidate], supply_v: float
) -> tuple[Floats, Floats]:
    """Chances (l, t, o) over the ways the vehicle may stand, and the likeliest way's mean."""
    ways, shares = block.stands(setup)
    got = [_in_way(block, w.of(setup), instrument, tests, supply_v) for w in ways]
    if len(got) == 1:
        return got[0]
    best = shares.argmax(axis=0)
    mean = np.stack([m for _, m in got])[best, np.arange(len(best))]
    return sum(s[:, None, None] * c for s, (c, _) in zip(shares, got, strict=True)), mean


def _in_way(
    block: Block, setup: Setup, instrument: str, tests: Sequence[Candidate], supply_v: float
) -> tuple[Floats, Floats]:
    table, rows = block.source.table, block.rows
    nothing = np.full((len(rows), len(tests)), np.nan)
    if instrument in UNITS:
        return _number_chances(block, setup, instrument, tests, supply_v)
    if instrument == "test lamp":
        light = lamp_chances(table, rows, setup, _probes(block, tests))
        slip = _slips(tests)[None, :, None]
        return light * (1.0 - slip) + slip * np.array([0.9, 0.05, 0.05]), nothing
    if instrument in STIRS:
        return np.stack([stir_chances(table, rows, t.red) for t in tests], axis=1), nothing
    chance = look_chances if instrument == "look" else sign_chances
    places = [block.real(t.red) if instrument == "look" else t.red for t in tests]
    words = [chance(table, rows, setup, place) for place in places]
    wide = np.zeros((len(rows), len(tests), max(w.shape[1] for w in words)))
    for t, w in enumerate(words):
        wide[:, t, : w.shape[1]] = w / w.sum(axis=1, keepdims=True)
    return wide, nothing


def _probes(block: Block, tests: Sequence[Candidate]) -> Ints:
    return probe_nodes(
        block.source.table, [(block.real(t.red), block.real(t.black)) for t in tests]
    )


def _slips(tests: Sequence[Candidate]) -> Floats:
    return np.array([access_methods()[t.method].missed + SLIP_ELSEWHERE for t in tests])


def _number_chances(
    block: Block, setup: Setup, instrument: str, tests: Sequence[Candidate], supply_v: float
) -> tuple[Floats, Floats]:
    """Chances of the bins of a meter's number, and the number expected."""
    n = _numbers(block, setup, instrument, tests)
    mean = n.mean + np.einsum("ltk,lk->lt", n.sensitivity, block.shift)
    spread = ((n.sensitivity @ block.cover) * n.sensitivity).sum(axis=2)
    sd = np.sqrt(spread + n.variance)
    edges = edges_of(instrument, supply_v)
    edges = np.log(edges + LEADS_OHM) if instrument == "ohmmeter" else edges
    below = normal_cdf((edges - mean[:, :, None]) / sd[:, :, None])
    full = np.concatenate([np.zeros((*mean.shape, 1)), below, np.ones((*mean.shape, 1))], axis=2)
    slip = _slips(tests)[None, :, None]
    blind = np.full(WAYS, 0.2 / WAYS)
    blind[-1 if instrument == "ohmmeter" else 0] += 0.8
    shown = np.exp(mean) - LEADS_OHM if instrument == "ohmmeter" else mean
    return np.diff(full, axis=2) * (1.0 - slip) + slip * blind, shown


def _numbers(block: Block, setup: Setup, instrument: str, tests: Sequence[Candidate]) -> Numbers:
    table = block.source.table
    if instrument == "clamp":
        return amps(table, setup, block.rows, [table.net.branch_index[t.red] for t in tests])
    return AT_TIPS[instrument](table, setup, block.rows, _probes(block, tests))
