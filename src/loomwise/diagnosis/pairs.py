"""Two faults together, taken from the leaders: best first, never by listing all.

A pair is promising if each reading fits at least one of the two: its bound is the product of the
weights times, for each item, the better of the two likelihoods. The most promising are solved.
"""

from dataclasses import replace

import numpy as np

from loomwise.diagnosis.table import Table
from loomwise.edits import canonical
from loomwise.faults import Fault
from loomwise.solver.network import Floats, Ints

LEADERS = 40
SOLVED = 60
HELPS = 3.0
"""A second fault must explain this much more, in nats, than the better of the two alone: with less
it is a fault beside the point, which changes no decision about the first."""


def double_faults(table: Table, log_post: Floats, alone: Floats) -> tuple[Fault, ...]:
    """The most promising pairs as faults of two places.

    ``log_post`` (h,) ranks the singles, ``alone`` (h, items) is each item's log-likelihood.
    """
    best = _representatives(table, log_post)
    if len(best) < 2:
        return ()
    weights = np.log(np.array([table.fault(h).weight for h in best]))
    first = best[np.argsort(-log_post[best], kind="stable")[:LEADERS]]
    of = {h: k for k, h in enumerate(best)}
    lead = np.array([of[h] for h in first])
    fit = alone[best]
    bound = np.maximum(fit[lead][:, None, :], fit[None, :, :]).sum(axis=2)
    each = fit.sum(axis=1)
    bound[bound - np.maximum(each[lead][:, None], each[None, :]) < HELPS] = -np.inf
    bound += weights[lead][:, None] + weights[None, :]
    chosen: dict[tuple[int, int], float] = {}
    for flat in np.argsort(-bound, axis=None, kind="stable"):
        if len(chosen) >= SOLVED or not np.isfinite(bound.flat[flat]):
            break
        i, j = divmod(int(flat), len(best))
        a, b = sorted((int(best[lead[i]]), int(best[j])))
        if table.fault(a).group != table.fault(b).group and _apart(table, a, b):
            chosen.setdefault((a, b), float(bound[i, j]))
    return tuple(_both(table.fault(a), table.fault(b)) for a, b in chosen)


def _apart(table: Table, a: int, b: int) -> bool:
    return table.fault(a).where != table.fault(b).where


def _representatives(table: Table, log_post: Floats) -> Ints:
    """The best cell of every fault, the healthy row left out."""
    best: dict[str, int] = {}
    for h in range(1, len(table)):
        group = table.fault(h).group
        if group not in best or log_post[h] > log_post[best[group]]:
            best[group] = h
    return np.array(sorted(best.values()), dtype=np.int64)


def _both(a: Fault, b: Fault) -> Fault:
    units = sorted({a.unit, b.unit})
    return replace(
        a,
        id=f"{a.id} + {b.id}",
        group=f"{a.group} + {b.group}",
        mode="two faults",
        where=f"{a.where} + {b.where}",
        unit=" + ".join(units),
        title=f"{a.title}; and {b.title}",
        edits=canonical([*a.edits, *b.edits]),
        weight=2.0 * a.weight * b.weight,
        looks=f"{a.looks} {b.looks}",
    )
