"""Every row by its own matrix: Newton on the laws, down to rounding."""

import numpy as np

from loomwise.solver.lines import Lines, imbalance, lines, slopes
from loomwise.solver.network import LEAK_S, PARTED_S, Floats, Network
from loomwise.solver.rows import Rows, States

TOLERANCE_V, FINE_V = 1e-10, 1e-6
POLISH = 2
"""Steps more once a row has settled, to be right to rounding. [-]"""
CHUNK = 1_000_000
"""Numbers worked on at once, which bounds the memory. [-]"""


class Direct:
    """Every row by its own matrix. Residuals to rounding."""

    def solve(self, net: Network, rows: Rows, state: States) -> Floats:
        """Node values (f, n + 1) for device states (f, d); the last column is the body at 0."""
        return from_start(net, rows, state, np.zeros((len(rows), net.n + 1)))


def from_start(net: Network, rows: Rows, state: States, v: Floats, polish: int = POLISH) -> Floats:
    """The same, beginning from node values (f, n + 1), which are overwritten; without polish a row
    is done when a step is below 1 µV."""
    size = max(1, CHUNK // (len(net.branches) + 1))
    for first in range(0, len(rows), size):
        index = np.arange(first, min(first + size, len(rows)))
        v[index] = newton(net, lines(net, rows.take(index), state[index]), v[index], polish)
    return v


def bridged(net: Network, g: Floats) -> bool:
    """Whether any bridge conducts in rows of small-signal conductances (f, b)."""
    return bool((g[:, net.bridges] > PARTED_S).any())


def newton(net: Network, at: Lines, v: Floats, polish: int = POLISH) -> Floats:
    """Node values (f, n + 1) from a start; rows that have settled are left alone."""
    moving = np.arange(len(v))
    order = net.elimination(bridged(net, slopes(net, at, v)))
    before, enough = v.copy(), TOLERANCE_V if polish else FINE_V
    after = np.zeros(len(v), dtype=np.int64)  # steps since a row settled
    for _ in range(80):
        part = at.take(moving) if len(moving) < len(v) else at
        missing = imbalance(net, part, v[moving])
        g = slopes(net, part, v[moving], before[moving])
        before[moving] = v[moving]
        step = order.factor(g.T, LEAK_S).solve(missing.T).T
        v[moving, :-1] += step
        settled = np.abs(step).max(axis=1, initial=0.0) < enough
        after[moving] += settled | (after[moving] > 0)
        moving = moving[after[moving] <= polish]
        if not len(moving):
            break
    return v
