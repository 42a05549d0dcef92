"""Faults that leave a relay near where it switches: taken on several vehicles.

A relay switches at its own current, within a tenth or so of nominal; where a fault brings its coil
near that, this vehicle's relay may be in or out. Such a fault is taken with all relays nominal, all
early, all late, and, where several are near, with each of them early or late by itself.
"""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from loomwise.diagnosis.standing import Which, coil_amps, relays_of
from loomwise.diagnosis.table import Table
from loomwise.edits import Ease, Edit, Limit
from loomwise.faults import Fault
from loomwise.solver.network import Ints
from loomwise.solver.operate import Rest
from loomwise.solver.rows import Rows

BRINK = 1.2
"""A relay within this factor of where it switches may or may not on this vehicle. [-]"""
EARLY, LATE = 0.88, 1.12
"""Relays that switch at less or more coil current than nominal. [-]"""
MOST_ALONE = 3
"""Relays near the brink of one fault that are varied by themselves."""

Variant = tuple[str, tuple[Edit, ...]]


def on_the_brink(table: Table) -> dict[int, tuple[str, ...]]:
    """Rows in which a relay, in an ordinary setup, stands near where it switches, and which do."""
    names = [table.net.devices[d].id for d in relays_of(table.net).tolist()]
    near = np.zeros((len(table), len(names) + 1), dtype=bool)
    blown: Ints = np.zeros(0, dtype=np.int64)
    for setup, rows, rest, used in table.walk():
        if used and not len(blown):
            blown, near[rows] = rows, False
        near[rows] |= _near(table, table.rows_at(setup, rows, used), rest)
    return {
        h: tuple(name for name, close in zip(names, near[h], strict=False) if close)
        for h in np.flatnonzero(near.any(axis=1)).tolist()
    }


def _near(table: Table, made: Rows, rest: Rest) -> Which:
    """Which relays (f, r) carry about what they switch at, and last (f, 1) whether rows chatter."""
    relays = relays_of(table.net)
    amps = coil_amps(table.net, made, rest.solution, rest.state)[:, :, None]
    limits = made.limits_of(relays)[:, :, :2]
    close = (amps > limits / BRINK) & (amps < limits * BRINK)
    return np.hstack([close.any(axis=2), rest.chatter[:, None]])


def variants(relays: tuple[str, ...]) -> Iterator[Variant]:
    """The vehicles a fault on the brink is taken on besides the nominal one."""
    yield "relays early", (Ease(EARLY),)
    yield "relays late", (Ease(LATE),)
    if len(relays) > 1:
        for relay in relays[:MOST_ALONE]:
            for word, factor in (("early", EARLY), ("late", LATE)):
                yield f"{relay} {word}", (Limit(relay, 0, factor), Limit(relay, 1, factor))


def with_brinks(table: Table) -> Table:
    """The table with every fault on the brink taken on its vehicles; they share its weight."""
    brink = {h: tuple(variants(r)) for h, r in sorted(on_the_brink(table).items()) if h > 0}
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
    wide.take_over(table)
    return wide


def _shared(fault: Fault, ways: int) -> Fault:
    return fault if ways == 1 else replace(fault, weight=fault.weight / ways)
