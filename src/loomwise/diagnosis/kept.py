"""What a table keeps of rows it has solved, and the bound on its memory.

Shapes: h rows of the table, f rows asked for, n nodes, d devices, p nodes asked for.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from loomwise.setups import Setup
from loomwise.solver.network import Floats, Ints
from loomwise.solver.operate import Cycle, Rest
from loomwise.solver.solution import Pack, Volts, laid_together

KEPT_BYTES = 64_000_000
"""What the setups that a table keeps may hold, their bases counted; the oldest go first."""

MOST_PACKS = 24
"""More packs than this in a setup are laid together. [-]"""


@dataclass(frozen=True)
class NodeView:
    """Volts (f, n + 1) of some rows, worked out for the rows and nodes it is indexed with."""

    kept: "Kept"
    rows: Ints

    def __getitem__(self, key: Any) -> Any:
        """``[rows]`` is still to be indexed; ``[row]`` and ``[:, nodes]`` are arrays."""
        if not isinstance(key, tuple):
            rows = self.rows[key]
            return NodeView(self.kept, rows) if np.ndim(rows) else self.kept.volts_at(rows[None])[0]
        nodes = np.asarray(key[1])
        found = self.kept.volts_at(self.rows[key[0]], nodes.ravel())
        return found.reshape(len(found), *nodes.shape)

    def __array__(self, dtype: Any = None, copy: Any = None) -> Floats:
        """All nodes of the rows."""
        return self.kept.volts_at(self.rows)


@dataclass(frozen=True)
class StateView:
    """Device states (h, d), read out for the rows it is indexed with."""

    kept: "Kept"

    def __getitem__(self, key: Any) -> Any:
        """``[rows]`` or ``[rows, device]``."""
        rows, device = key if isinstance(key, tuple) else (key, slice(None))
        found = self.kept.states_of(np.atleast_1d(rows))[:, device]
        return found if np.ndim(rows) else found[0]


@dataclass
class Answers:
    """Arrays (h, ...) of which only the rows that were asked for are there."""

    place: NDArray[np.int32]  # (h,) one more than a row's place below; 0: unknown
    values: tuple[NDArray[Any], ...] = ()  # (f, ...) each

    @staticmethod
    def blank(h: int) -> "Answers":
        """Nothing known yet."""
        return Answers(np.zeros(h, dtype=np.int32))

    @property
    def size(self) -> int:
        """Bytes held."""
        return sum(v.nbytes for v in self.values)

    def grown(self, h: int) -> "Answers":
        """The same for a table of more rows, of which nothing is known yet."""
        return Answers(np.pad(self.place, (0, h - len(self.place))), self.values)

    def missing(self, rows: Ints) -> Ints:
        """Those of the rows that are not known, each once."""
        return np.unique(rows[self.place[rows] == 0])

    def add(self, rows: Ints, values: Sequence[NDArray[Any]]) -> None:
        """Keep the values (f, ...) of further rows."""
        first = len(self.values[0]) if self.values else 0
        self.place[rows] = np.arange(first + 1, first + 1 + len(rows))
        olds = self.values or tuple(v[:0] for v in values)
        self.values = tuple(np.concatenate([a, b]) for a, b in zip(olds, values, strict=True))

    def at(self, rows: Ints) -> tuple[NDArray[Any], ...]:
        """The values (f, ...) of rows that are known."""
        return tuple(v[self.place[rows] - 1] for v in self.values)


@dataclass
class Kept:
    """Where the rows that were asked for came to rest in one setup."""

    count: int  # h
    nodes: int  # n + 1
    devices: int  # d
    packs: list[Pack | Volts] = field(default_factory=list)
    cycles: dict[int, Cycle] = field(default_factory=dict)  # of rows that chatter

    def __post_init__(self) -> None:
        self._pack = np.zeros(self.count, dtype=np.int16)  # one more than its number; 0: unknown
        self._place = np.zeros(self.count, dtype=np.int32)
        self.chatter = np.zeros(self.count, dtype=bool)

    @property
    def done(self) -> NDArray[np.bool_]:
        """Rows (h,) that are known."""
        return self._pack > 0

    @property
    def size(self) -> int:
        """Bytes held, bases left aside."""
        known = int((self._pack > 0).sum())
        return 8 * known + sum(p.size for p in self.packs)

    def add(self, rows: Ints, rest: Rest) -> None:
        """Keep where rows came to rest."""
        for where, pack, place in rest.solution.runs(np.arange(len(rows))):
            self.packs.append(pack)
            self._pack[rows[where]], self._place[rows[where]] = len(self.packs), place
        self.chatter[rows] = rest.chatter
        for row in rows.tolist() if self.cycles else ():
            self.cycles.pop(row, None)
        self.cycles |= {int(rows[k]): cycle for k, cycle in rest.cycles.items()}
        if len(self.packs) > MOST_PACKS:
            self._tidy()

    def _tidy(self) -> None:
        """Lay small packs together: rows asked for a few at a time make many."""
        known = np.flatnonzero(self._pack)
        parts = [(known[where], pack.take(place)) for where, pack, place in self.runs(known)]
        self.packs = []
        for rows, pack in laid_together(parts):
            self.packs.append(pack)
            self._pack[rows], self._place[rows] = len(self.packs), np.arange(len(rows))

    def forget(self, rows: Ints) -> None:
        """Know these rows no more."""
        self._pack[rows], self.chatter[rows] = 0, False

    def take_over(self, other: "Kept", rows: Ints) -> None:
        """Keep what another knows of its rows, which are ``rows`` here."""
        self.packs = list(other.packs)
        self._pack[rows], self._place[rows] = other._pack, other._place
        self.chatter[rows] = other.chatter
        self.cycles = {int(rows[k]): cycle for k, cycle in other.cycles.items()}

    def runs(self, rows: Ints) -> Iterator[tuple[Ints, Pack | Volts, Ints]]:
        """For each pack that some rows are in: where in ``rows``, the pack, places there."""
        of = self._pack[rows]
        for number in np.unique(of).tolist():
            where = np.flatnonzero(of == number)
            place: Ints = self._place[rows[where]].astype(np.int64)
            yield np.asarray(where), self.packs[number - 1], place

    def volts_at(self, rows: Ints, nodes: Ints | None = None) -> Floats:
        """Volts (f, p) of rows at nodes, all if None."""
        nodes = np.arange(self.nodes) if nodes is None else nodes
        v = np.empty((len(rows), len(nodes)))
        for where, pack, place in self.runs(rows):
            v[where] = pack.at(place, nodes)
        return v

    def states_of(self, rows: Ints) -> NDArray[np.int8]:
        """Device states (f, d) of rows."""
        state = np.empty((len(rows), self.devices), dtype=np.int8)
        for where, pack, place in self.runs(rows):
            state[where] = pack.state_of(place)
        return state

    @property
    def v(self) -> NodeView:
        """Volts (h, n + 1)."""
        return NodeView(self, np.arange(self.count))

    @property
    def state(self) -> StateView:
        """Device states (h, d)."""
        return StateView(self)

    def half_swing(self, rows: Ints, probes: Ints) -> Floats:
        """Half of highest minus lowest (f, p) between the two nodes of probes (p, 2), where rows
        chatter."""
        half = np.zeros((len(rows), len(probes)))
        for k in np.flatnonzero(self.chatter[rows]).tolist():
            v = self.cycles[int(rows[k])].v
            half[k] = np.ptp(v[:, probes[:, 0]] - v[:, probes[:, 1]], axis=0) / 2.0
        return half

    def moving(self, rows: Ints, device: int) -> NDArray[np.bool_]:
        """Rows (f,) in which a device keeps switching."""
        some = np.array([bool(self.chatter[h]) for h in rows.tolist()], dtype=bool)
        for k in np.flatnonzero(some).tolist():
            some[k] = self.cycles[int(rows[k])].moving[device]
        return some


def bounded(rests: dict[Setup, Kept], last: Setup) -> None:
    """Drop the setups longest unused while they hold too much; not the last."""
    sizes = {setup: kept.size for setup, kept in rests.items()}
    total = sum(sizes.values())
    users: dict[int, tuple[int, set[Setup]]] = {}
    for setup, kept in rests.items():
        for base in {id(p.base): p.base for p in kept.packs if isinstance(p, Pack)}.values():
            users.setdefault(id(base), (base.size, set()))[1].add(setup)
    total += sum(size for size, _ in users.values())
    for setup in list(rests):
        if total <= KEPT_BYTES or setup == last:
            return
        del rests[setup]
        total -= sizes[setup]
        for size, at in users.values():
            if at == {setup}:
                total -= size
            at.discard(setup)
