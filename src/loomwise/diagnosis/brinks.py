"""Faults that leave a relay, a module or a fuse near where it switches: taken on several vehicles.

A relay switches at its own current, within a tenth or so of nominal; where a fault brings its coil
near that, this vehicle's relay may be in or out. Such a fault is taken with all relays nominal, all
early, all late, and, where several are near, with each of them early or late by itself. A module
whose supply a fault brings near the least it works with may be awake or not: it is taken with that
limit lower and higher. A fuse that a fault just blows, or just does not, may do the other: it is
taken both ways.
"""

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from loomwise.circuit.fuse_curve import OPENS_FROM_MULTIPLE
from loomwise.diagnosis.standing import Which, device_amps, devices_of
from loomwise.diagnosis.table import Table
from loomwise.edits import Ease, Edit, Hold, Limit
from loomwise.faults import Fault
from loomwise.setups import Setup
from loomwise.solver.network import Floats, Ints, Network
from loomwise.solver.operate import Rest
from loomwise.solver.rows import Rows

BRINK = 1.2
"""What is within this factor of where it switches may or may not on this vehicle. [-]"""
EARLY, LATE = 0.88, 1.12
"""What switches at less or more than nominal. [-]"""
MOST_ALONE = 3
"""Relays, and modules, near the brink of one fault that are varied by themselves."""

Variant = tuple[str, tuple[Edit, ...]]


@dataclass(frozen=True)
class Brink:
    """What stands near where it switches in a row, in an ordinary setup: relays, modules near the
    least supply they work with, whether something chatters, and in which setups; and fuses, with
    the factor of their limit at which they do otherwise."""

    relays: tuple[str, ...]
    modules: tuple[str, ...]
    chatters: bool
    setups: tuple[Setup, ...]
    fuses: tuple[tuple[str, float], ...] = ()


def on_the_brink(table: Table) -> dict[int, Brink]:
    """Rows with something on the brink."""
    relays, modules, fuses = (
        [table.net.devices[d].id for d in devices_of(table.net, kind).tolist()]
        for kind in ("relay", "module", "fuse")
    )
    near = np.zeros((len(table), len(relays) + len(modules) + 1), dtype=bool)
    strained = np.zeros((len(table), len(fuses)), dtype=bool)
    where = np.zeros((len(table), len(table.use)), dtype=bool)
    blown: Ints = np.zeros(0, dtype=np.int64)
    for setup, rows, rest, used in table.walk():
        if used and not len(blown):
            blown, near[rows] = rows, False
            where[rows] = True  # on another vehicle its fuse may hold
        made = table.rows_at(setup, rows, used)
        supplied = _supplied(table.net, made, rest)
        here = np.hstack([_pulling(table.net, made, rest), supplied, rest.chatter[:, None]])
        near[rows] |= here
        where[rows, table.use.index(setup)] |= here.any(axis=1)
        if not used:
            strained[rows] |= _strained(table.net, made, rest)
    where[strained.any(axis=1)] = True  # a fuse that blows is blown everywhere
    return {
        h: Brink(
            tuple(itertools.compress(relays, near[h])),
            tuple(itertools.compress(modules, near[h, len(relays) :])),
            bool(near[h, -1]),
            tuple(itertools.compress(table.use, where[h])),
            tuple((fuse, EARLY) for fuse in itertools.compress(fuses, strained[h])),
        )
        for h in np.flatnonzero(near.any(axis=1) | strained.any(axis=1)).tolist()
    }


def _strained(net: Network, made: Rows, rest: Rest) -> Which:
    """Which fuses (f, u) hold, but would not if they blew a little earlier."""
    at = devices_of(net, "fuse")
    blows_a = OPENS_FROM_MULTIPLE * made.limits_of(at)[:, :, 0]
    return np.asarray(device_amps(net, made, rest, at) >= EARLY * blows_a)


def _pulling(net: Network, made: Rows, rest: Rest) -> Which:
    """Which relays (f, r) carry about what they switch at."""
    relays = devices_of(net, "relay")
    limits, amps = made.limits_of(relays)[:, :, :2], device_amps(net, made, rest, relays)
    return np.asarray(_close(amps[:, :, None], limits).any(axis=2))


def _supplied(net: Network, made: Rows, rest: Rest) -> Which:
    """Which modules (f, m) get about the least supply they work with."""
    at = devices_of(net, "module")
    ends = np.array([[net.node_index[w] for w in net.devices[d].watch] for d in at.tolist()])
    ends = ends.reshape(-1, 2).astype(np.int64)
    v = rest.solution.at(np.arange(len(made)), ends.ravel()).reshape(len(made), -1, 2)
    return _close(v[:, :, 0] - v[:, :, 1], made.limits_of(at)[:, :, 0])


def _close(value: Floats, limit: Floats) -> Which:
    return np.asarray((value > limit / BRINK) & (value < limit * BRINK))


def variants(brink: Brink) -> Iterator[Variant]:
    """The vehicles a fault on the brink is taken on besides the nominal one."""
    if brink.relays or brink.chatters:
        yield "relays early", (Ease(EARLY),)
        yield "relays late", (Ease(LATE),)
    if len(brink.relays) > 1:
        for relay in brink.relays[:MOST_ALONE]:
            for word, factor in (("early", EARLY), ("late", LATE)):
                yield f"{relay} {word}", (Limit(relay, 0, factor), Limit(relay, 1, factor))
    for module in brink.modules[:MOST_ALONE]:
        for word, factor in (("early", EARLY), ("late", LATE)):
            yield f"{module} wakes {word}", (Limit(module, 0, factor),)
    for fuse, factor in brink.fuses[:MOST_ALONE]:
        yield f"{fuse} blows {'early' if factor < 1.0 else 'late'}", (Limit(fuse, 0, factor),)


def with_brinks(table: Table) -> Table:
    """The table with every fault on the brink taken on its vehicles; they share its weight."""
    near = {h: r for h, r in sorted(on_the_brink(table).items()) if h > 0}
    for h, fuses in _late_fuses(table).items():
        known = near.get(h) or Brink((), (), False, ())
        near[h] = replace(known, fuses=(*known.fuses, *fuses), setups=table.use)
    near = dict(sorted(near.items()))
    brink = {h: tuple(variants(r)) for h, r in near.items()}
    faults = [_shared(table.fault(h), len(brink.get(h, ())) + 1) for h in range(1, len(table))]
    more = [
        replace(faults[h - 1], id=f"{faults[h - 1].id}, {word}",
                edits=(*faults[h - 1].edits, *edits))
        for h, some in brink.items()
        for word, edits in some
    ]  # fmt: skip
    wide = Table(
        table.circuit, table.plant, (*faults, *more), table.use,
        engine=table.engine, ready=table.ready,
    )  # fmt: skip
    wide.take_over(table, _where(near, brink, len(table)))
    return wide


def _late_fuses(table: Table) -> dict[int, tuple[tuple[str, float], ...]]:
    """Rows that blow other fuses, or none, where those they blow hold a little more."""
    some = [h for h in range(1, len(table)) if table.effects[h]]
    lasting = [
        replace(table.fault(h), edits=(*table.fault(h).edits, *_lasting(table.effects[h])))
        for h in some
    ]
    other = Table(
        table.circuit, table.plant, tuple(lasting), table.use,
        engine=table.engine, ready=table.ready,
    ).effects  # fmt: skip
    return {
        h: tuple((e.device, LATE) for e in table.effects[h] if isinstance(e, Hold))
        for k, h in enumerate(some, 1)
        if other[k] != table.effects[h]
    }


def _lasting(blown: Sequence[Edit]) -> tuple[Edit, ...]:
    return tuple(Limit(e.device, 0, LATE) for e in blown if isinstance(e, Hold))


def _where(
    near: Mapping[int, Brink], brink: Mapping[int, Sequence[Variant]], first: int
) -> dict[Setup, Ints]:
    """The setups in which the further rows, from ``first`` on, may do otherwise than the faults
    they are variants of: where nothing is near its brink, early or late is the same."""
    rows: dict[Setup, list[int]] = {}
    for h, some in brink.items():
        for setup in near[h].setups:
            rows.setdefault(setup, []).extend(range(first, first + len(some)))
        first += len(some)
    return {setup: np.array(some, dtype=np.int64) for setup, some in rows.items()}


def _shared(fault: Fault, ways: int) -> Fault:
    return fault if ways == 1 else replace(fault, weight=fault.weight / ways)
