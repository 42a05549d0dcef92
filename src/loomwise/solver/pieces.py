"""Pieces of a circuit that hang loose, and how far off their solved voltages may be."""

import numpy as np
from numpy.typing import NDArray

from loomwise.solver.lines import Lines, groups, slopes
from loomwise.solver.network import LEAK_S, Floats, Ints, Network

CUT_S = 1e-5
"""A branch below this is as good as parted. [S]"""


def piece_error_v(net: Network, at: Lines, v: Floats, missing: Floats) -> Floats:
    """How far off, at most, the worst loose piece of each row is as a whole (f,).

    A small step of the refinement proves nothing of a piece that hangs on its leaks alone, nor
    does the missing current (f, n) of each node: it is small beside the conductors in the piece.
    What the piece misses in all, over the sum of its leaks, is a bound: any weak branch from it
    to elsewhere only holds it better.
    """
    strong = slopes(net, at, v) >= CUT_S
    alike = groups(np.packbits(strong, axis=1))
    error_v = np.zeros(len(v))
    for index, piece in zip(alike, pieces(net, strong[[g[0] for g in alike]]), strict=True):
        loose = np.unique(piece[piece < net.n])
        if len(loose):
            members = (piece[:-1, None] == loose).astype(float)
            off_v = np.abs(missing[index] @ members) / (LEAK_S * members.sum(axis=0))
            error_v[index] = off_v.max(axis=1)
    return error_v


def pieces(net: Network, joined: NDArray[np.bool_]) -> Ints:
    """The piece each node belongs to (f, n + 1) where branches ``joined`` (f, b) hold together.

    A piece goes by its highest node, so that what holds to the body is piece n. A branch joins
    its first two ends; a winding does not join the speed, which is no voltage.
    """
    ends = net.ends[:, :2].T.ravel()
    order = np.argsort(ends, kind="stable")
    nodes, first = np.unique(ends[order], return_index=True)
    branch = order % len(net.branches)
    piece = np.tile(np.arange(net.n + 1), (len(joined), 1))
    while True:
        before = piece.copy()
        high = np.where(joined, piece[:, net.ends[:, :2]].max(axis=2), -1)
        reached = np.maximum.reduceat(high[:, branch], first, axis=1)
        piece[:, nodes] = np.maximum(piece[:, nodes], reached)
        piece = np.take_along_axis(piece, piece, axis=1)
        if (piece == before).all():
            return piece
