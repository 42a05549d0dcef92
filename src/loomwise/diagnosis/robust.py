"""What a ranking would say without one of its items, for every item: quick, from what it knows.

Only hypotheses that could matter once an item is gone are judged again; how each has settled what
nobody knows stays as it is.
"""

import numpy as np

from loomwise.diagnosis.joint import joint
from loomwise.diagnosis.ranking import Part, Ranking
from loomwise.solver.network import Floats, Ints

REACH = 12.0
"""A hypothesis that stays this far below the leader whatever is taken away is left out. [nat]"""


def weakest(ranking: Ranking, unit: str) -> tuple[float, str]:
    """The unit's share without the one item it hangs on most, and that item."""
    if not ranking.items:
        return 1.0, ""
    shares = without_each(ranking, unit)
    which = int(shares.argmin())
    return float(shares[which]), ranking.items[which]


def without_each(ranking: Ranking, unit: str) -> Floats:
    """The unit's share (items,) with each of the ranking's items left out."""
    mine = np.zeros(len(ranking.items))
    whole = np.zeros(len(ranking.items))
    top = max(float(p.log_post.max(initial=-np.inf)) for p in ranking.parts)
    for part in ranking.parts:
        rows = _could_matter(part, top)
        if len(rows):
            weight = np.exp(_left_out(part, rows) - top)
            has = np.array([unit in part.units[k].split(" + ") for k in rows.tolist()])
            whole += weight.sum(axis=0)
            mine += weight[has].sum(axis=0)
    return mine / whole


def _could_matter(part: Part, top: float) -> Ints:
    assert part.fit is not None
    gain = (-part.fit).max(axis=1, initial=0.0)
    return np.flatnonzero(part.log_post + np.maximum(gain, 0.0) > top - REACH)


def _left_out(part: Part, rows: Ints) -> Floats:
    """Log-posterior (rows, items) without each item."""
    assert part.fit is not None
    after = part.log_post[rows][:, None] - part.fit[rows]
    if part.look is None or part.source is None:
        return np.asarray(after)
    columns, variances = part.look.columns.rows(rows), part.source.table.variances()
    numbers = len(columns.value)
    if numbers:
        now = joint(columns, variances).log_like
        for k in range(numbers):
            less = joint(columns.without(k), variances).log_like
            after[:, k] = part.log_post[rows] - now + less
    return np.asarray(after)
