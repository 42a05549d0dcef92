"""Many variants of one network side by side: a row is the network with some edits made.

Shapes: f rows, b branches, d devices, l limits of a device. A row's state vector holds each
device's state by number.
"""

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
from loomwise.solver.network import PARTED_S, Floats, Network, bridge_id, with_bridges

States = NDArray[np.int8]
BranchEdit = AddOhm | Open | Scale | SetEmf | SetOhm | Bridge | BridgeLamp


@dataclass(frozen=True)
class Rows:
    """Branch values and starting states of f variants; ``held`` is -1 where a device is free."""

    g_on: Floats  # (f, b)
    g_off: Floats  # (f, b)
    emf: Floats  # (f, b)
    scale: Floats  # (f, b)
    start: States  # (f, d)
    held: States  # (f, d)
    limits: Floats  # (f, d, l) what each device switches at, see Device; 0 where it has fewer
    common: tuple[Edit, ...] = ()  # the edits that every row has: what the setup undoes

    def __len__(self) -> int:
        return len(self.start)

    def take(self, index: NDArray[np.int64]) -> "Rows":
        """The rows at ``index``."""
        names = ("g_on", "g_off", "emf", "scale", "start", "held", "limits")
        return replace(self, **{name: getattr(self, name)[index] for name in names})

    def starting(self, state: States) -> "Rows":
        """The same rows, beginning from another state; held devices stay held."""
        return replace(self, start=np.where(self.held >= 0, self.held, state).astype(np.int8))


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
    count = len(variants)

    def wide(values: Floats) -> Floats:
        return np.repeat(values[None, :], count, axis=0)

    idle = np.where(net.law > 0, _idle_scale(net), 1.0)
    rows = Rows(
        wide(net.g_on), wide(net.g_off), wide(net.emf), wide(idle),
        np.repeat(start[None, :], count, axis=0),
        np.full((count, len(net.devices)), -1, dtype=np.int8), wide(_limits(net)),
    )  # fmt: skip
    for f, edits in enumerate(variants):
        for edit in edits:
            _apply(net, rows, f, edit)
    return rows


def _idle_scale(net: Network) -> Floats:
    return np.array([0.0 if b.id.startswith("bridge ") else 1.0 for b in net.branches])


def _limits(net: Network) -> Floats:
    """Every device's limits (d, l) as drawn."""
    wide = np.zeros((len(net.devices), max((len(d.limits) for d in net.devices), default=0)))
    for d, device in enumerate(net.devices):
        wide[d, : len(device.limits)] = device.limits
    return wide


def _apply(net: Network, rows: Rows, f: int, edit: Edit) -> None:
    if isinstance(edit, Ease):
        relays = [d for d, device in enumerate(net.devices) if device.kind == "relay"]
        rows.limits[f, relays] *= edit.factor
    elif isinstance(edit, Limit):
        _set_limit(net, rows, f, edit)
    elif isinstance(edit, Hold):
        _hold(net, rows, f, edit)
    else:
        _change(rows, f, _branch(net, edit), edit)


def _hold(net: Network, rows: Rows, f: int, edit: Hold) -> None:
    d = _find(net.device_index, edit.device, "device")
    device = net.devices[d]
    if edit.state not in device.states:
        have = ", ".join(device.states)
        raise SetupError(f"{edit.device} has no state {edit.state}", hint=f"it has {have}")
    rows.held[f, d] = rows.start[f, d] = device.states.index(edit.state)


def _set_limit(net: Network, rows: Rows, f: int, edit: Limit) -> None:
    d = _find(net.device_index, edit.device, "device")
    count = len(net.devices[d].limits)
    if not 0 <= edit.index < count:
        what = f"{edit.device} has no limit number {edit.index}"
        raise SetupError(what, hint=f"it has {count}, counted from 0")
    rows.limits[f, d, edit.index] *= edit.factor


def _change(rows: Rows, f: int, b: int, edit: BranchEdit) -> None:
    if isinstance(edit, Open):
        rows.g_on[f, b] = rows.g_off[f, b] = PARTED_S
        rows.scale[f, b] = 0.0
    elif isinstance(edit, AddOhm):
        rows.g_on[f, b] = 1.0 / (1.0 / rows.g_on[f, b] + edit.ohm)
    elif isinstance(edit, SetOhm):
        rows.g_on[f, b] = 1.0 / edit.ohm
    elif isinstance(edit, Scale):
        rows.g_on[f, b] *= edit.factor
        rows.scale[f, b] *= edit.factor
    elif isinstance(edit, SetEmf):
        rows.emf[f, b] = edit.emf_v
    elif isinstance(edit, Bridge):
        rows.g_on[f, b] += 1.0 / edit.ohm
        rows.emf[f, b] = edit.emf_v
    else:
        rows.scale[f, b] = 1.0


def _branch(net: Network, edit: BranchEdit) -> int:
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
