"""What nobody knows of an item beside the fault: several ways it may have come about.

A module whose logic is unknown may have switched an output on or off; a relay that can hold itself
in may have been pulled before; a repaired unit is good, or its new part is bad as well; a fault
that comes and goes was there or not; a ground clip had no contact for a run of readings. Each is a
choice among alternatives that some items share, and each hypothesis takes its own.

Shapes: f rows looked at, a alternatives.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, product

import numpy as np

from loomwise.diagnosis.table import Table
from loomwise.evidence import Evidence, Reading
from loomwise.setups import Setup
from loomwise.solver.network import Floats, Ints

HELD_SHARE = 0.2
"""Chance that a relay which can hold itself in does, where nothing is said of what went before:
engineering judgement."""
MOST_FREE = 3
"""Outputs of unknown logic weighed at once; further ones are taken as off."""
NEW_PART_BAD = 0.01
CLIP_OFF = 0.01
"""Chances that a new part is bad, and that a ground clip lost contact for a run of readings:
engineering judgement."""
NOTHING_V = 0.3
PRESENT_SHARE = 0.5
"""Chance that a fault that comes and goes is there; what is learned of it comes on top."""


@dataclass(frozen=True)
class Way:
    """One way the vehicle may have stood in a setup."""

    settled: tuple[tuple[str, str], ...] = ()
    held: bool = False

    def of(self, setup: Setup) -> Setup:
        """The setup with what nobody knew filled in."""
        settled = tuple(sorted({**dict(setup.settled), **dict(self.settled)}.items()))
        return replace(setup, settled=settled, held=self.held)


@dataclass(frozen=True)
class Alternative:
    """How some items came about, with its log-chance (f,): in a setup of ``way``, as the rows
    (f,) of other hypotheses say, or ``blind``, with no contact at all."""

    log_chance: Floats
    way: Way = Way()
    rows: Ints | None = None
    blind: bool = False


@dataclass(frozen=True)
class Choice:
    """Alternatives shared by some items, given by their numbers; the first is as things stand.

    ``comes_and_goes``: one chance a hypothesis, unknown beforehand, is behind all such choices.
    ``setup``: what the ways of a choice are ways of.
    """

    items: tuple[int, ...]
    alternatives: tuple[Alternative, ...]
    comes_and_goes: bool = False
    setup: Setup | None = None


def choices(
    table: Table, items: Sequence[Evidence], rows: Ints, well: dict[tuple[str, ...], Ints]
) -> list[Choice]:
    """All choices that these items leave open; ``well`` gives the rows (f,) that are left of the
    hypotheses once some units are repaired."""
    found = [*_stands(table, items, rows), *_repairs(items, rows, well)]
    return [*found, *_clips(items, rows), *_presence(items, rows)]


def counted(evidence: Iterable[Evidence]) -> list[Evidence]:
    """The items that count, in the order of their names.

    What was seen or read while the complaint was away clears nothing. Unless it comes and goes, an
    item that does not say is taken as one with the complaint there.
    """
    items = sorted(evidence, key=lambda e: _natural(e.id))
    there = [e for e in items if e.complaint != "no"]
    return there if comes_and_goes(items) else [replace(e, complaint="yes") for e in there]


def comes_and_goes(evidence: Iterable[Evidence]) -> bool:
    """Whether the complaint was there and away with the controls alike."""
    said: dict[object, set[str]] = {}
    for item in evidence:
        said.setdefault(item.setup.controls, set()).add(item.complaint)
    return any({"yes", "no"} <= words for words in said.values())


def _natural(name: str) -> tuple[str, int, str]:
    """R2 before R10."""
    letters = name.rstrip("0123456789")
    return letters, int(name[len(letters) :] or 0), name


def ways(table: Table, setup: Setup) -> tuple[Way, ...]:
    """The ways the vehicle may stand in a setup: from rest and with unknown outputs off first."""
    known = dict(setup.settled)
    free = [name for name in table.unruled if name not in known][:MOST_FREE]
    states = product(("off", "on"), repeat=len(free))
    settled = [
        tuple((n, s) for n, s in zip(free, some, strict=True) if s == "on") for some in states
    ]
    return tuple(Way(s, h) for s in settled for h in ((False,) if setup.after else (False, True)))


def stands(
    table: Table, setups: Sequence[Setup], rows: Ints, held: bool = True
) -> tuple[Alternative, ...]:
    """The ways of setups with the same controls, those left out that no row (f,) can be in.

    Not ``held``: relays that may hold themselves in are not asked about, which is quicker.
    """
    found: list[Alternative] = []
    for way in (w for w in ways(table, setups[0]) if not w.held):
        if not held:
            found.append(Alternative(np.zeros(len(rows)), way))
            continue
        two = _two_states(table, [way.of(s) for s in setups], rows)
        found.append(Alternative(np.where(two, np.log(1.0 - HELD_SHARE), 0.0), way))
        if two.any():
            log = np.where(two, np.log(HELD_SHARE), -np.inf)
            found.append(Alternative(log, replace(way, held=True)))
    return tuple(found)


def _two_states(table: Table, setups: Sequence[Setup], rows: Ints) -> np.ndarray:
    found = np.zeros(len(rows), dtype=bool)
    for setup in setups:
        if not setup.after:
            held = table.at(replace(setup, held=True), rows).state[rows]
            found |= (table.at(setup, rows).state[rows] != held).any(axis=1)
    return found


def _stands(table: Table, items: Sequence[Evidence], rows: Ints) -> list[Choice]:
    """One choice for all items taken with the controls alike."""
    alike: dict[object, list[int]] = {}
    for k, item in enumerate(items):
        alike.setdefault((item.setup.controls, item.setup.settled, item.setup.after), []).append(k)
    found = []
    for some in alike.values():
        setups = tuple(dict.fromkeys(items[k].setup for k in some))
        alternatives = stands(table, setups, rows)
        if len(alternatives) > 1:
            found.append(Choice(tuple(some), alternatives, setup=setups[0]))
    return found


def _repairs(
    items: Sequence[Evidence], rows: Ints, well: dict[tuple[str, ...], Ints]
) -> list[Choice]:
    """After a repair the fault is gone with its unit, or the new part is bad."""
    found = []
    for units in dict.fromkeys(i.repaired for i in items if i.repaired):
        some = tuple(k for k, i in enumerate(items) if i.repaired == units)
        touched = well[units] != rows
        still = np.where(touched, np.log(NEW_PART_BAD), 0.0)
        gone = np.where(touched, np.log1p(-NEW_PART_BAD), -np.inf)
        found.append(Choice(some, (Alternative(still), Alternative(gone, rows=well[units]))))
    return found


def _clips(items: Sequence[Evidence], rows: Ints) -> list[Choice]:
    """A run of readings of nothing, all against one black place."""
    numbered = [(k, i) for k, i in enumerate(items) if isinstance(i, Reading)]
    runs = groupby(numbered, lambda ki: ki[1].black if _reads_nothing(ki[1]) else "")
    spread = np.zeros(len(rows))
    found = []
    for black, run in runs:
        some = tuple(k for k, _ in run)
        if black and len(some) > 1:
            good = Alternative(spread + np.log1p(-CLIP_OFF))
            found.append(Choice(some, (good, Alternative(spread + np.log(CLIP_OFF), blind=True))))
    return found


def _reads_nothing(item: Reading) -> bool:
    return item.instrument == "voltmeter" and item.value is not None and abs(item.value) < NOTHING_V


def _presence(items: Sequence[Evidence], rows: Ints) -> list[Choice]:
    """Items taken while nobody said whether the complaint was there."""
    there = Alternative(np.full(len(rows), np.log(PRESENT_SHARE)))
    away = replace(there, rows=np.zeros_like(rows))
    return [
        Choice((k,), (there, away), comes_and_goes=True)
        for k, item in enumerate(items)
        if item.complaint == "unknown"
    ]
