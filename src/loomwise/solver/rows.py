"""Many variants of one network side by side: a row is the network with some edits made.

Shapes: f rows, b branches, e edited branches of a row, d devices, l limits of a device. A row's
state vector holds each device's state by number.
"""

import functools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from loomwise.edits import (
    AddOhm,
    Bridge,
    BridgeLamp,
    Ease,
    Edit,
    Hold,
    Limit,
    Open,
    Scale,
    SetEmf,
    SetOhm,
)  # fmt: skip
from loomwise.errors import SetupError
from loomwise.solver.network import PARTED_S, Floats, Ints, Network, bridge_id, with_bridges

States = NDArray[np.int8]
BranchEdit = AddOhm | Open | Scale | SetEmf | SetOhm | Bridge | BridgeLamp
G_ON, G_OFF, EMF, SCALE = range(4)


@dataclass(frozen=True)
class Rows:
    """Branch values and starting states of f variants, each kept as what differs from ``drawn``.

    ``held`` is -1 where a device is free. ``limits`` a variant's devices switch at are one of a
    few sets, see ``Device``; 0 where a device has fewer.
    """

    drawn: Floats  # (4, b) conductance on and off, EMF, scale of the network itself
    at: Ints  # (f, e) edited branches, -1 where there are fewer
    edited: Floats  # (f, e, 4)
    start: States  # (f, d)
    held: States  # (f, d)
    limit_sets: Floats  # (m, d, l)
    limit_set: Ints  # (f,)
    common: tuple[Edit, ...] = ()  # the edits that every row has: what the setup undoes

    def __len__(self) -> int:
        return len(self.start)

    def take(self, index: Ints) -> "Rows":
        """The rows at ``index``."""
        names = ("at", "edited", "start", "held", "limit_set")
        return replace(self, **{name: getattr(self, name)[index] for name in names})

    def starting(self, state: States) -> "Rows":
        """The same rows, beginning from another state; held devices stay held."""
        return replace(self, start=np.where(self.held >= 0, self.held, state).astype(np.int8))

    def values(self, branches: Ints) -> Floats:
        """Values (f, c, 4) of some branches: (c,) the same in every row, or (f, c)."""
        wide = np.broadcast_to(branches, (len(self), branches.shape[-1]))
        found = self.drawn.T[wide]
        for e in range(self.at.shape[1]):
            f, c = np.nonzero(wide == self.at[:, e, None])
            found[f, c] = self.edited[f, e]
        return found

    def all_values(self) -> Floats:
        """Values (4, f, b) of every branch."""
        found = np.repeat(self.drawn[:, None, :], len(self), axis=1)
        f, e = np.nonzero(self.at >= 0)
        found[:, f, self.at[f, e]] = self.edited[f, e].T
        return found

    @property
    def limits(self) -> Floats:
        """What each device switches at (f, d, l)."""
        return np.asarray(self.limit_sets[self.limit_set])

    def limits_of(self, devices: Ints) -> Floats:
        """What some devices switch at (f, r, l)."""
        return np.asarray(self.limit_sets[:, devices][self.limit_set])

    def edit_all(self, net: Network, edits: Sequence[Edit]) -> "Rows":
        """The same rows with further edits, the same in every row."""
        rows = self
        for edit in edits:
            rows = rows._hold_all(net, edit) if isinstance(edit, Hold) else rows._edit(net, edit)
        return rows

    def also(self, net: Network, held: Sequence[Sequence[Edit]]) -> "Rows":
        """The same rows with devices held as each row says."""
        start, fixed = self.start.copy(), self.held.copy()
        for f, edits in enumerate(held):
            for edit in edits:
                assert isinstance(edit, Hold)
                d, number = _held(net, edit)
                start[f, d] = fixed[f, d] = number
        return replace(self, start=start, held=fixed)

    def _hold_all(self, net: Network, edit: Hold) -> "Rows":
        start, held = self.start.copy(), self.held.copy()
        d, number = _held(net, edit)
        start[:, d] = held[:, d] = number
        return replace(self, start=start, held=held)

    def _edit(self, net: Network, edit: Edit) -> "Rows":
        if isinstance(edit, Ease | Limit):
            sets = np.array([_limited(net, one, edit) for one in self.limit_sets])
            return replace(self, limit_sets=sets)
        assert not isinstance(edit, Hold)
        b = branch_of(net, edit)
        value = np.ascontiguousarray(self.values(np.array([b]))[:, 0].T)
        _change(value, edit)
        kept = np.where(self.at == b, -1, self.at)
        at = np.hstack([kept, np.full((len(self), 1), b)])
        return replace(self, at=at, edited=np.concatenate([self.edited, value.T[:, None]], axis=1))

    @property
    def g_on(self) -> Floats:
        """Conductances (f, b) while a branch conducts."""
        return np.asarray(self.all_values()[G_ON])

    @property
    def g_off(self) -> Floats:
        """Conductances (f, b) while it does not."""
        return np.asarray(self.all_values()[G_OFF])

    @property
    def emf(self) -> Floats:
        """EMF of every branch (f, b)."""
        return np.asarray(self.all_values()[EMF])

    @property
    def scale(self) -> Floats:
        """Share of a law's current that flows (f, b)."""
        return np.asarray(self.all_values()[SCALE])


def bridges_in(
    edits: Iterable[Edit],
) -> tuple[tuple[str, str, tuple[float, float] | None], ...]:
    """The branches that ``with_bridges`` must add before these edits can be made."""
    pairs: list[tuple[str, str, tuple[float, float] | None]] = []
    for edit in edits:
        if isinstance(edit, Bridge):
            pairs.append((edit.a, edit.b, None))
        elif isinstance(edit, BridgeLamp):
            pairs.append((edit.a, edit.b, (edit.power_w, edit.rated_v)))
    return tuple(pairs)


def make_rows(net: Network, start: States, variants: Sequence[Iterable[Edit]]) -> Rows:
    """One row per variant, all from the starting state ``start`` (d,).

    Raises
    ------
    SetupError : an edit names a branch or device the circuit does not have.
    """
    drawn = np.stack([net.g_on, net.g_off, net.emf, np.where(_idle(net), 0.0, 1.0)])
    made = [_variant(net, drawn, edits) for edits in variants]
    count, width = len(made), max((len(m.branches) for m in made), default=0)
    at, edited = np.full((count, width), -1, dtype=np.int64), np.zeros((count, width, 4))
    starts = np.repeat(start[None, :], count, axis=0)
    held = np.full(starts.shape, -1, dtype=np.int8)
    sets: dict[bytes, int] = {}
    limits, limit_set = list[Floats](), np.zeros(count, dtype=np.int64)
    plain = _limits(net)
    for f, m in enumerate(made):
        at[f, : len(m.branches)] = list(m.branches)
        for e, value in enumerate(m.branches.values()):
            edited[f, e] = value[:, 0]
        for d, number in m.held:
            held[f, d] = starts[f, d] = number
        own = plain if not m.limits else functools.reduce(
            lambda to, edit: _limited(net, to, edit), m.limits, plain)  # fmt: skip
        limit_set[f] = sets.setdefault(own.tobytes(), len(sets))
        if len(limits) < len(sets):
            limits.append(own)
    wide = np.array(limits) if limits else plain[None]
    return Rows(drawn, at, edited, starts, held, wide, limit_set)


@dataclass
class _Variant:
    branches: dict[int, Floats]  # values (4, 1)
    held: list[tuple[int, int]]
    limits: list[Ease | Limit]


def _variant(net: Network, drawn: Floats, edits: Iterable[Edit]) -> _Variant:
    made = _Variant({}, [], [])
    for edit in edits:
        if isinstance(edit, Ease | Limit):
            _limited(net, np.ones((len(net.devices), 9)), edit)
            made.limits.append(edit)
        elif isinstance(edit, Hold):
            made.held.append(_held(net, edit))
        else:
            b = branch_of(net, edit)
            value = made.branches.setdefault(b, drawn[:, b : b + 1].copy())
            _change(value, edit)
    return made


def _idle(net: Network) -> NDArray[np.bool_]:
    """Lamps hung in place of a bridge, which are not there until an edit says so."""
    return (net.law > 0) & net.bridges


def _limits(net: Network) -> Floats:
    """Every device's limits (d, l) as drawn; two at least, where nothing has any."""
    wide = np.zeros((len(net.devices), max(2, *(len(d.limits) for d in net.devices), 0)))
    for d, device in enumerate(net.devices):
        wide[d, : len(device.limits)] = device.limits
    return wide


def _limited(net: Network, limits: Floats, edit: Ease | Limit) -> Floats:
    """Limits (d, l) with an edit made."""
    limits = limits.copy()
    if isinstance(edit, Ease):
        limits[[d for d, device in enumerate(net.devices) if device.kind == "relay"]] *= edit.factor
        return limits
    d = _find(net.device_index, edit.device, "device")
    count = len(net.devices[d].limits)
    if not 0 <= edit.index < count:
        what = f"{edit.device} has no limit number {edit.index}"
        raise SetupError(what, hint=f"it has {count}, counted from 0")
    limits[d, edit.index] *= edit.factor
    return limits


def _held(net: Network, edit: Hold) -> tuple[int, int]:
    """The device and the number of the state it is held in."""
    d = _find(net.device_index, edit.device, "device")
    states = net.devices[d].states
    if edit.state not in states:
        have = ", ".join(states)
        raise SetupError(f"{edit.device} has no state {edit.state}", hint=f"it has {have}")
    return d, states.index(edit.state)


def _change(value: Floats, edit: BranchEdit) -> None:
    """Make an edit in the values (4, f) of its branch."""
    if isinstance(edit, Open):
        value[G_ON] = value[G_OFF] = PARTED_S
        value[SCALE] = 0.0
    elif isinstance(edit, AddOhm):
        value[G_ON] = 1.0 / (1.0 / value[G_ON] + edit.ohm)
    elif isinstance(edit, SetOhm):
        value[G_ON] = 1.0 / edit.ohm
    elif isinstance(edit, Scale):
        value[G_ON] *= edit.factor
        value[SCALE] *= edit.factor
    elif isinstance(edit, SetEmf):
        value[EMF] = edit.emf_v
    elif isinstance(edit, Bridge):
        value[G_ON] += 1.0 / edit.ohm
        value[EMF] = edit.emf_v
    else:
        value[SCALE] = 1.0


def branch_of(net: Network, edit: BranchEdit) -> int:
    """The branch an edit changes."""
    if isinstance(edit, Bridge):
        return net.branch_index[bridge_id(edit.a, edit.b)]
    if isinstance(edit, BridgeLamp):
        return net.branch_index[bridge_id(edit.a, edit.b, (edit.power_w, edit.rated_v))]
    return _find(net.branch_index, edit.branch, "conductor")


def _find(index: Mapping[str, int], name: str, what: str) -> int:
    if name not in index:
        raise SetupError(f"there is no {what} {name} in this circuit")
    return index[name]


def prepared(
    net: Network, start: States, variants: Sequence[Sequence[Edit]]
) -> tuple[Network, Rows]:
    """The network with every bridge the variants need, and the rows; places are checked."""
    pairs = tuple(p for edits in variants for p in bridges_in(edits))
    for a, b, _ in pairs:
        for place in (a, b):
            _find(net.node_index, place, "place")
    net = with_bridges(net, pairs)
    return net, make_rows(net, start, variants)
