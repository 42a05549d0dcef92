"""Fewer states in the place of many, with the mean of what follows from them kept.

Likely states stay; of the others every so many-th in the running sum of their chances stays, for
all (Fearnhead and Clifford, J. R. Statist. Soc. B 65, 2003, 887; from memory). States of like
doubt stand side by side in that sum, so that those that stay speak for their neighbours: this
halves the error, by trial. There is no chance draw: the same input gives the same answer.
"""

from dataclasses import replace

import numpy as np

from loomwise.planning.arrays import Floats, Ints
from loomwise.planning.problem import TestProblem
from loomwise.planning.states import States, repair_shares


def thinned(states: States, doubt_bits: Floats, n: int, width: int) -> States:
    """At most ``width`` states of each of ``n`` origins; ``doubt_bits`` (n_states,). [bit]"""
    kept, chance = [], states.chance.copy()
    for origin in range(n):
        rows = np.flatnonzero(states.origin == origin)
        if len(rows) > width:
            rows = rows[np.argsort(doubt_bits[rows], kind="stable")]
            few, chances = _fair_few(chance[rows], width)
            rows = rows[few]
            chance[rows] = chances
        kept.append(rows)
    rows = np.concatenate(kept)
    return replace(states.take(rows), chance=chance[rows])


def doubt_bits_in(problem: TestProblem, states: States) -> Floats:
    """Doubt about the repair in each state, (n_states,). [bit]"""
    share = repair_shares(problem, states.weights)
    logs = np.log2(np.maximum(share, np.finfo(np.float64).tiny))
    return np.asarray(-(share * logs).sum(axis=1), dtype=np.float64)


def _fair_few(chance: Floats, width: int) -> tuple[Ints, Floats]:
    """Which of more than ``width`` to keep, and their new chances, both (width,)."""
    order = np.argsort(-chance, kind="stable")
    falling = chance[order]
    left = np.cumsum(falling[::-1])[::-1]
    share = left[:width] / (width - np.arange(width))
    n_sure = int(np.argmax(falling[:width] <= share))
    sure, rest = order[:n_sure], np.sort(order[n_sure:])
    marks = (np.arange(width - n_sure) + 0.5) * share[n_sure]
    drawn = rest[np.searchsorted(np.cumsum(chance[rest]), marks)]
    chances = np.concatenate([chance[sure], np.full(len(drawn), share[n_sure])])
    return np.concatenate([sure, drawn]), chances
