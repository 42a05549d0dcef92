"""Two ways to solve the same rows for given device states.

``Direct`` eliminates every row's own matrix. ``LowRank`` solves rows as changes of a few branches
of one base per device state: fast, and within 1 mV of the direct way. Rows in which several
conductors of the base are parted, which may together cut a piece off, are solved directly.
"""

from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from loomwise.edits import Edit
from loomwise.solver import direct
from loomwise.solver.base import Base, make_base
from loomwise.solver.change import Change, Which, columns_of, followed, joined, packed
from loomwise.solver.lines import groups
from loomwise.solver.loose import balanced, loosens, rejoined
from loomwise.solver.network import Floats, Ints, Network
from loomwise.solver.rows import Rows, States, make_rows
from loomwise.solver.solution import Pack, Solution, Volts

OWN_BASE_SHARE = 1.0
"""A device state has a base of its own from as many rows as this share of the nodes: a base costs
about as many solves."""
FAR = 12
"""Devices that may stand otherwise than in a base that is departed from."""
KEPT_BYTES = 64_000_000
"""What the bases kept for further use may hold."""
NUMBERS = 2_000_000
"""Numbers worked on at once, which bounds the memory. [-]"""
FEW_NUMBERS = 60_000
WIDTHS = (2, 8, 32, 100_000)
"""Rows that change as many branches are solved together. [-]"""
ROUNDS = 12
WILD_V = 1e3
FEW = 4
"""Branches changed in every row alike for which no base of their own is made. [-]"""


class Engine(Protocol):
    """Solves rows for fixed device states."""

    def solve(self, net: Network, rows: Rows, state: States) -> Floats:
        """Node values (f, n + 1); the last column is the body at 0."""
        ...

    def solution(self, net: Network, rows: Rows, state: States) -> Solution:
        """The same, kept small."""
        ...


class Direct(direct.Direct):
    """Every row by its own matrix."""

    def solution(self, net: Network, rows: Rows, state: States) -> Solution:
        """See ``Engine``."""
        volts = Volts(state, self.solve(net, rows, state))
        return Solution.of([(np.arange(len(rows)), volts)], len(rows))


@dataclass
class LowRank:
    """Rows as changes of bases, of which it keeps some."""

    bases: dict[tuple[int, bytes, tuple[Edit, ...]], Base] = field(default_factory=dict)

    def solve(self, net: Network, rows: Rows, state: States) -> Floats:
        """See ``Engine``."""
        found = self.solution(net, rows, state)
        return found.at(np.arange(len(rows)), np.arange(net.n + 1))

    def solution(self, net: Network, rows: Rows, state: States) -> Solution:
        """See ``Engine``."""
        parts, hard = list[tuple[Ints, Pack | Volts]](), list[tuple[Ints, Floats]]()
        for index, base in self._bundles(net, rows, state):
            for where, pack, sound in depart(base, rows.take(index), state[index]):
                parts.append((index[where[sound]], pack.take(sound)))
                if not sound.all():
                    left = np.flatnonzero(~sound)
                    hard.append((index[where[left]], _near(base, pack, left)))
        if hard:
            index = np.concatenate([some for some, _ in hard])
            v = np.concatenate([start for _, start in hard])
            v = direct.from_start(net, rows.take(index), state[index], v, polish=0)
            parts.append((index, Volts(state[index], v)))
        return Solution.of(parts, len(rows))

    def _bundles(self, net: Network, rows: Rows, state: States) -> list[tuple[Ints, Base]]:
        """Rows solved together and the base they depart from."""
        common = rows.common
        if common and self._plainly(net, rows, state):
            common = ()
        by_size = sorted(groups(state), key=len, reverse=True)
        large = [g for g in by_size if len(g) >= max(24, OWN_BASE_SHARE * net.n)]
        bundles = [(g, self.base(net, state[g[0]], common)) for g in large]
        for g in by_size[len(large) :]:
            bundles.append((g, self._nearest(net, state[g[0]], common)))
        return _merged(bundles)

    def _plainly(self, net: Network, rows: Rows, state: States) -> bool:
        """Whether what all rows have changed may be a few columns more of each."""
        one = make_rows(net, state[0], [rows.common])
        if one.at.shape[1] > FEW:
            return False
        base = self._nearest(net, state[0], ())
        change = Change.of(base, one, state[:1], columns_of(base, one, state[:1]))
        x, _ = change.settle()
        return not (change.entangled(x).any() or loosens(change).any())

    def _nearest(self, net: Network, state: States, common: tuple[Edit, ...]) -> Base:
        """The kept base that stands most alike, or a new one."""
        near = [b for k, b in self.bases.items() if (k[0], k[2]) == (id(net), common)]
        if near:
            away = (np.array([b.state for b in near]) != state).sum(axis=1)
            if away.min() <= FAR:
                return near[int(away.argmin())]
        return self.base(net, state, common)

    def base(self, net: Network, state: States, common: tuple[Edit, ...]) -> Base:
        """The base for one device state (d,) and the edits all rows share."""
        key = id(net), state.tobytes(), common
        base = self.bases.pop(key, None)
        if base is None:
            base = make_base(net, state, common, self._start(net, state))
        self.bases[key] = base  # the last used is the last to go
        while len(self.bases) > 1 and sum(b.size for b in self.bases.values()) > KEPT_BYTES:
            del self.bases[next(iter(self.bases))]
        return base

    def _start(self, net: Network, state: States) -> Floats | None:
        near = [b for b in self.bases.values() if b.net is net]
        return min(near, key=lambda b: int((b.state != state).sum())).v if near else None


def _merged(bundles: list[tuple[Ints, Base]]) -> list[tuple[Ints, Base]]:
    """One bundle for each base."""
    found: dict[int, tuple[list[Ints], Base]] = {}
    for index, base in bundles:
        found.setdefault(id(base), ([], base))[0].append(index)
    return [(np.concatenate(some), base) for some, base in found.values()]


def _near(base: Base, pack: Pack, some: Ints) -> Floats:
    """Where to begin with rows that lost digits: what they gave, if that is anything at all."""
    v = pack.at(some, np.arange(base.net.n + 1))
    wild = ~(np.abs(v).max(axis=1) < WILD_V)
    v[wild] = base.v
    return v


def depart(base: Base, rows: Rows, state: States) -> list[tuple[Ints, Pack, Which]]:
    """Rows solved as changes of a base, those of about as many columns together, and which of
    them are sound."""
    columns = columns_of(base, rows, state)
    parts: list[tuple[Ints, Pack, Which]] = []
    for index in _alike(np.asarray((columns >= 0).sum(axis=1))):
        found = _followed(base, rows.take(index), state[index], packed(columns[index]))
        parts += [(index[where], pack, sound) for where, pack, sound in found]
    return parts


def _alike(width: Ints) -> list[Ints]:
    """Rows by width, each list short enough to bound the memory; few rows stay together."""
    widest = int(width.max(initial=1))
    if len(width) * widest**2 < FEW_NUMBERS:
        return [np.arange(len(width))]
    found = []
    for least, most in zip((-1, *WIDTHS), WIDTHS, strict=False):
        index = np.flatnonzero((width > least) & (width <= most))
        size = max(1, NUMBERS // (8 * min(most, widest) ** 2 + 200))
        found += [index[k : k + size] for k in range(0, len(index), size)]
    return found


def _followed(
    base: Base, rows: Rows, state: States, columns: Ints
) -> list[tuple[Ints, Pack, Which]]:
    """Solve rows; where laws moved far, again with these as further columns."""
    parts, left = list[tuple[Ints, Pack, Which]](), np.arange(len(rows))
    for left_over in range(ROUNDS - 1, -1, -1):
        change = Change.of(base, rows.take(left), state[left], columns)
        x, settled = change.settle()
        w = change.extra(x)[0]
        sound = settled & ~change.entangled(x) & ~rejoined(change) & np.isfinite(w).all(axis=1)
        parted = np.asarray(change.parted.any(axis=1))
        more = followed(base, change.place, w, change.columns, parted)
        again = (more >= 0).any(axis=1)
        sound &= ~again if left_over == 0 else True
        done = np.flatnonzero(~again | (left_over == 0))
        if len(done):
            some, part = left[done], change.take(done)
            w = balanced(part, w[done])
            parts.append(
                (some, Pack.of(base, state[some], part.columns, part.place, w), sound[done])
            )
        if len(done) == len(left):
            break
        left, columns = left[again], joined(columns[again], more[again])
    return parts
