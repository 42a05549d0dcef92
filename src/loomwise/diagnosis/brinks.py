"""Faults that leave a relay near where it switches: taken on several vehicles.

A relay switches at its own current, within a tenth or so of nominal; where a fault brings its coil
near that, this vehicle's relay may be in or out. Such a fault is taken with all relays nominal, all
early, all late, and, where several are near, with each of them early or late by itself.
"""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from loomwise.diagnosis.table import Table
from loomwise.edits import Ease, Edit, Limit
from loomwise.faults import Fault

BRINK = 1.2
"""A relay within this factor of where it switches may or may not on this vehicle. [-]"""
EARLY, LATE = 0.88, 1.12
"""Relays that switch at less or more coil current than nominal. [-]"""
MOST_ALONE = 3
"""Relays near the brink of one fault that are varied by themselves."""

Variant = tuple[str, tuple[Edit, ...]]


def on_the_brink(table: Table) -> dict[int, tuple[str, ...]]:
    """Rows in which a relay, in an ordinary setup, stands near where it switches, and which do."""
    near: dict[int, dict[str, None]] = {}
    everyone = np.arange(len(table))
    for setup in table.use:
        rest = table.at(setup)
        made, _ = table.rows_in(setup, everyone, table.effects)
        x = table.net.drop(rest.v)
        for d, device in enumerate(table.net.devices):
            if device.kind == "relay":
                b = table.net.branch_index[device.watch[0]]
                amps = np.abs(made.g_on[:, b] * x[:, b])[:, None]
                limits = made.limits[:, d, :2]
                close = ((amps > limits / BRINK) & (amps < limits * BRINK)).any(axis=1)
                for h in np.flatnonzero(close).tolist():
                    near.setdefault(h, {})[device.id] = None
        for h in np.flatnonzero(rest.chatter).tolist():
            near.setdefault(h, {})
    return {h: tuple(relays) for h, relays in near.items()}


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
