"""Sparse elimination of symmetric nodal matrices, many of one pattern at once.

Nodes that do not touch each other are eliminated in one stroke, those with the fewest neighbours
first: a circuit is nearly a tree, so that little fills in and a few strokes do. The last nodes,
which touch nearly all of each other, are left to a dense solver (an inverse
would lose the leaks, which are all that holds a loose piece).
Shapes: n nodes, f matrices, b branches; the last axis is the one that runs over matrices.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Sums:
    """Terms sorted by where they go: ``start`` of each target's run of terms."""

    target: Ints
    start: Ints

    @staticmethod
    def of(where: Ints) -> tuple["Sums", Ints]:
        """The sums, and the order in which the terms must come."""
        order = np.argsort(where, kind="stable")
        target, start = np.unique(where[order], return_index=True)
        return Sums(target, start), order

    def take_from(self, array: Floats, terms: Floats) -> None:
        """Subtract the terms from where they go."""
        if len(self.target):
            array[self.target] -= np.add.reduceat(terms, self.start, axis=0)


DENSE = 32
"""Nodes left to the dense solver: about where a stroke costs as much. [-]"""


@dataclass(frozen=True)
class Stroke:
    """Nodes eliminated at once. Entries of the matrix are numbered: diagonals first."""

    pivot: Ints  # (s,) nodes
    entry: Ints  # (e,) entries beside the pivots, sorted by pivot
    of: Ints  # (e,) their pivots
    back: Sums  # sums over ``of``
    far: Ints  # (e,) nodes they reach
    by_far: Ints  # (e,) order by ``far``
    onto: Sums  # sums over ``far``
    left: Ints  # (u,) which of ``entry``, over its pivot, times
    right: Ints  # (u,) which entry of the matrix, is taken from another
    update: Sums


@dataclass(frozen=True)
class Elimination:
    """The order of one pattern."""

    n: int
    size: int
    strokes: tuple[Stroke, ...]
    branch: Ints  # (a,) what adds to the entries, sorted by entry
    share: Floats  # (a,)
    adds: Sums
    spots: Ints  # (size, 2) nodes of each entry
    last: Ints  # (r,) nodes left to the dense solver
    within: Ints  # entries among them, the smaller node first, and where in the block
    block: Ints  # (2, ...)

    @staticmethod
    def of(n: int, ends: Ints, coefs: Floats) -> "Elimination":
        """For branches with ends (b, t), node n being the reference, and coefficients (b, t)."""
        index: dict[tuple[int, int], int] = {(k, k): k for k in range(n)}
        branch, where, share = _terms(n, ends, coefs, index)
        strokes, last = _strokes(n, index)
        adds, order = Sums.of(np.array(where, dtype=np.int64))
        spots = np.array(list(index), dtype=np.int64).reshape(-1, 2)
        at = np.full(n, -1, dtype=np.int64)
        at[last] = np.arange(len(last))
        within = np.flatnonzero((at[spots] >= 0).all(axis=1))
        return Elimination(
            n, len(index), strokes, np.array(branch, dtype=np.int64)[order],
            np.array(share)[order], adds, spots, last, within, at[spots[within]].T,
        )  # fmt: skip

    def entries(self, g: Floats, leak_s: float) -> Floats:
        """Entries (size, f) of the matrices of conductances (b, f), before any elimination."""
        value = np.zeros((self.size, g.shape[1]))
        if len(self.branch):
            terms = g[self.branch] * self.share[:, None]
            value[self.adds.target] = np.add.reduceat(terms, self.adds.start, axis=0)
        value[: self.n] += leak_s
        return value

    def factor(self, g: Floats, leak_s: float) -> "Factor":
        """Factors of the matrices of conductances (b, f) with a leak at every node."""
        value, low = self.entries(g, leak_s), list[Floats]()
        for s in self.strokes:
            low.append(value[s.entry] / value[s.of])
            s.update.take_from(value, low[-1][s.left] * value[s.right])
        dense = np.zeros((g.shape[1], len(self.last), len(self.last)))
        p, q = self.block
        dense[:, p, q] = dense[:, q, p] = value[self.within].T
        diagonal = [value[s.pivot] for s in self.strokes]
        return Factor(self, tuple(low), tuple(diagonal), dense)


@dataclass(frozen=True)
class Factor:
    """Factored matrices: for each stroke the entries over their pivots (e, f) and the pivots'
    diagonals (s, f), and what is left (f, r, r)."""

    by: Elimination
    low: tuple[Floats, ...]
    diagonal: tuple[Floats, ...]
    dense: Floats

    @property
    def size(self) -> int:
        """Bytes held."""
        return sum(a.nbytes for a in (*self.low, *self.diagonal, self.dense))

    def solve(self, right: Floats) -> Floats:
        """Solutions (n, f) of right sides (n, f); with one matrix, of any number of them."""
        x, last = right.copy(), self.by.last
        for s, low in zip(self.by.strokes, self.low, strict=True):
            s.onto.take_from(x, low[s.by_far] * x[s.of[s.by_far]])
        if len(self.dense) == 1:
            x[last] = np.linalg.solve(self.dense[0], x[last])
        else:
            x[last] = np.linalg.solve(self.dense, x[last].T[:, :, None])[:, :, 0].T
        rest = (self.by.strokes, self.low, self.diagonal)
        for s, low, diagonal in reversed(list(zip(*rest, strict=True))):
            x[s.pivot] /= diagonal
            s.back.take_from(x, low * x[s.far])
        return x


def _terms(
    n: int, ends: Ints, coefs: Floats, index: dict[tuple[int, int], int]
) -> tuple[list[int], list[int], list[float]]:
    branch, where, share = list[int](), list[int](), list[float]()
    for b, (nodes, sizes) in enumerate(zip(ends.tolist(), coefs.tolist(), strict=True)):
        some = [(p, c) for p, c in zip(nodes, sizes, strict=True) if c and p < n]
        for k, (p, c) in enumerate(some):
            for q, e in some[k:]:
                pair = (min(p, q), max(p, q))
                branch.append(b)
                where.append(index.setdefault(pair, len(index)))
                share.append(c * e if p != q or some.index((p, c)) == k else 0.0)
    return branch, where, share


def _strokes(n: int, index: dict[tuple[int, int], int]) -> tuple[tuple[Stroke, ...], Ints]:
    near: list[set[int]] = [set() for _ in range(n)]
    for p, q in index:
        if p != q:
            near[p].add(q)
            near[q].add(p)
    left, found = set(range(n)), list[Stroke]()
    while len(left) > DENSE:
        pivots = _independent(left, near)
        found.append(_stroke(pivots, near, index))
        left -= set(pivots)
    return tuple(found), np.array(sorted(left), dtype=np.int64)


def _independent(left: set[int], near: list[set[int]]) -> list[int]:
    """Nodes that do not touch each other, none with many more neighbours than the fewest."""
    order = sorted(left, key=lambda k: (len(near[k]), k))
    most = max(2, len(near[order[0]]))
    blocked, chosen = set[int](), list[int]()
    for k in order:
        if len(near[k]) > most:
            break
        if k not in blocked:
            chosen.append(k)
            blocked |= near[k]
    return sorted(chosen)


def _stroke(pivots: list[int], near: list[set[int]], index: dict[tuple[int, int], int]) -> Stroke:
    entry, of, far = list[int](), list[int](), list[int]()
    left, right, onto = list[int](), list[int](), list[int]()
    for k in pivots:
        around, first = sorted(near[k]), len(entry)
        entry += [index[min(k, j), max(k, j)] for j in around]
        of += [k] * len(around)
        far += around
        for a, j in enumerate(around):
            near[j].discard(k)
            for c, m in enumerate(around[a:], first + a):
                left.append(first + a)
                right.append(entry[c])
                onto.append(index.setdefault((j, m), len(index)))
                if m != j:
                    near[j].add(m)
                    near[m].add(j)
    update, order = Sums.of(np.array(onto, dtype=np.int64))
    reach, by_far = Sums.of(np.array(far, dtype=np.int64))
    ints = [np.array(x, dtype=np.int64) for x in (pivots, entry, of, far)]
    back = Sums.of(ints[2])[0]
    two = [np.array(x, dtype=np.int64)[order] for x in (left, right)]
    return Stroke(ints[0], ints[1], ints[2], back, ints[3], by_far, reach, two[0], two[1], update)
