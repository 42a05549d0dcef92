"""Solved rows, kept small: what a few branches of a base change, or volts where that will not do.

Shapes: f rows of a pack, q columns, p nodes asked for.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from loomwise.solver.base import Base
from loomwise.solver.lines import groups
from loomwise.solver.network import Floats, Ints, Network
from loomwise.solver.rows import States


@dataclass(frozen=True)
class Pack:
    """Rows that depart from one base."""

    base: Base
    states: States  # (u, d) the device states that occur
    kind: NDArray[np.int32]  # (f,) which of them
    columns: NDArray[np.int32]  # (f, q) branches, -1: unused
    place: NDArray[np.int32]  # (f, q) in the base's arrays
    w: Floats  # (f, q) current beyond the base's straight line

    @staticmethod
    def of(base: Base, state: States, columns: Ints, place: Ints, w: Floats) -> "Pack":
        """From device states (f, d), in as little memory as will do."""
        alike = groups(state)
        kind = np.zeros(len(state), dtype=np.int32)
        for number, index in enumerate(alike):
            kind[index] = number
        states = state[[g[0] for g in alike]]
        return Pack(base, states, kind, columns.astype(np.int32), place.astype(np.int32), w)

    def __len__(self) -> int:
        return len(self.w)

    @property
    def state(self) -> States:
        """Device states (f, d)."""
        return np.asarray(self.states[self.kind])

    def state_of(self, index: Ints) -> States:
        """Device states of some rows."""
        return np.asarray(self.states[self.kind[index]])

    @property
    def size(self) -> int:
        """Bytes held, the base left aside."""
        arrays = (self.states, self.kind, self.columns, self.place, self.w)
        return sum(a.nbytes for a in arrays)

    def take(self, index: Ints | NDArray[np.bool_]) -> "Pack":
        """Some of the rows."""
        names = ("kind", "columns", "place", "w")
        return replace(self, **{name: getattr(self, name)[index] for name in names})

    def at(self, index: Ints, nodes: Ints) -> Floats:
        """Volts (f, p) of some rows at some nodes."""
        place, w = self.place[index], self.w[index]
        az, whole = self.base.az, len(nodes) == len(self.base.v)
        v = np.repeat(self.base.v[None, nodes], len(index), axis=0)
        for c in range(w.shape[1]):
            some = np.flatnonzero(w[:, c])
            at = place[some, c]
            v[some] -= w[some, c, None] * (az[at] if whole else az[at[:, None], nodes])
        return v

    def largest_shift_v(self) -> Floats:
        """A bound of how far each row (f,) is from the base."""
        return np.asarray((np.abs(self.w) * self.base.top[self.place]).sum(axis=1))


@dataclass(frozen=True)
class Volts:
    """Rows with their volts written out."""

    state: States  # (f, d)
    v: Floats  # (f, n + 1)

    def __len__(self) -> int:
        return len(self.v)

    @property
    def size(self) -> int:
        """Bytes held."""
        return self.v.nbytes + self.state.nbytes

    def state_of(self, index: Ints) -> States:
        """Device states of some rows."""
        return np.asarray(self.state[index])

    def take(self, index: Ints) -> "Volts":
        """Some of the rows."""
        return Volts(self.state[index], self.v[index])

    def at(self, index: Ints, nodes: Ints) -> Floats:
        """Volts (f, p) of some rows at some nodes."""
        return np.asarray(self.v[index[:, None], nodes])


Parts = list[tuple[Ints, Pack | Volts]]
"""Packs with the rows that each holds."""
SMALL = 20_000
"""Packs of one base that hold fewer numbers are laid together: many small ones cost time. [-]"""


def laid_together(parts: Parts) -> Parts:
    """The same with small packs of one base as one."""
    alike: dict[int, list[tuple[Ints, Pack]]] = {}
    found: Parts = []
    for index, pack in parts:
        if isinstance(pack, Pack) and pack.w.size < SMALL:
            alike.setdefault(id(pack.base), []).append((index, pack))
        else:
            found.append((index, pack))
    for some in alike.values():
        index = np.concatenate([i for i, _ in some])
        found.append((index, some[0][1] if len(some) == 1 else _joined([p for _, p in some])))
    return found


def _joined(packs: Sequence[Pack]) -> Pack:
    width = max(p.w.shape[1] for p in packs)

    def wide(arrays: Sequence[NDArray[Any]], idle: int) -> NDArray[Any]:
        return np.concatenate([
            np.pad(a, ((0, 0), (0, width - a.shape[1])), constant_values=idle) for a in arrays
        ])  # fmt: skip

    firsts = np.cumsum([0, *(len(p.states) for p in packs)])
    kinds = [p.kind + first for p, first in zip(packs, firsts[:-1], strict=True)]
    return Pack(
        packs[0].base, np.concatenate([p.states for p in packs]),
        np.concatenate(kinds).astype(np.int32), wide([p.columns for p in packs], -1),
        wide([p.place for p in packs], 0), wide([p.w for p in packs], 0),
    )  # fmt: skip


@dataclass(frozen=True)
class Solution:
    """Rows of several packs: the pack of each and its place there."""

    packs: tuple[Pack | Volts, ...]
    pack: Ints  # (f,)
    place: Ints  # (f,)

    def __len__(self) -> int:
        return len(self.pack)

    @staticmethod
    def of(parts: Sequence[tuple[Ints, Pack | Volts]], count: int) -> "Solution":
        """From packs and the rows (out of ``count``) that each holds."""
        pack, place = np.zeros(count, dtype=np.int64), np.zeros(count, dtype=np.int64)
        for number, (index, _) in enumerate(parts):
            pack[index], place[index] = number, np.arange(len(index))
        return Solution(tuple(p for _, p in parts), pack, place)

    def runs(self, index: Ints) -> list[tuple[Ints, Pack | Volts, Ints]]:
        """For each pack that some rows are in: where in ``index``, the pack, places there."""
        found, of = [], self.pack[index]
        for number in np.unique(of).tolist():
            where = np.flatnonzero(of == number)
            found.append((where, self.packs[number], self.place[index[where]]))
        return found

    def parts(self, index: Ints) -> list[tuple[Ints, Pack | Volts]]:
        """The packs of some rows alone, each with where in ``index`` its rows are."""
        return [(where, pack.take(place)) for where, pack, place in self.runs(index)]

    def at(self, index: Ints, nodes: Ints) -> Floats:
        """Volts (f, p) of some rows at some nodes."""
        v = np.empty((len(index), len(nodes)))
        for where, pack, place in self.runs(index):
            v[where] = pack.at(place, nodes)
        return v


class Seen(Protocol):
    """Values of rows: an array (f, ...), or one that is worked out where it is indexed."""

    def __getitem__(self, key: Any, /) -> Any:
        """Values of all rows in some columns."""
        ...


@dataclass(frozen=True)
class Drops:
    """Branch voltages of rows, worked out where they are indexed."""

    net: Network
    v: Seen

    def __getitem__(self, key: Any) -> Floats:
        """``[:, branch]``."""
        ends, coefs = self.net.ends[key[1]], self.net.coefs[key[1]]
        return np.asarray((self.v[:, ends] * coefs).sum(axis=1))
