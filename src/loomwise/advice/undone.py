"""Tests with something undone that takes longer than a fuse or a plug: a relay swapped, a lamp in
place of a fuse or as a load, a ground off its stud, a module unplugged, a wire cut.

Each changes the setup in one way more, so they are weighed in one setup alone: where the complaint
was last seen. What they cost in minutes and in putting back decides whether they are proposed.
"""

from collections.abc import Iterator

import numpy as np

from loomwise.advice.expert import Expert
from loomwise.circuit.loads import loads
from loomwise.circuit.model import Circuit, Place
from loomwise.diagnosis.answers import currents
from loomwise.evidence.items import CLICK_WORDS
from loomwise.setups import Setup, Undoing

LOADED_FROM_A = 0.3
"""A plug is tried with a lamp where a load of this draws through it. Engineering judgement. [A]"""
Tip = tuple[Setup, str, str, str, str]
"""Setup, instrument, red, black and method of a test."""


def further_undone(
    expert: Expert, setup: Setup, minus: str, barred: frozenset[str], late: bool
) -> Iterator[Tip]:
    """All such tests in a setup; ``barred`` are places of modules, where no lamp is put. Grounds
    come off and wires are cut only ``late``, when quicker tests have been made."""
    circuit = expert.circuit
    yield from _swapped_and_unplugged(circuit, setup)
    yield from _in_place_of_a_fuse(circuit, setup, barred)
    yield from _as_a_load(expert, setup, minus, barred)
    if late:
        yield from _off(circuit, setup, minus)
        yield from _cut(circuit, setup, minus)


def _swapped_and_unplugged(circuit: Circuit, setup: Setup) -> Iterator[Tip]:
    """What is seen and felt with another relay in, or with a module's plug off."""
    undone = [Undoing("swapped", p.id) for p in circuit.parts_of_kind("relay") if not p.fixed]
    undone += [Undoing("unplugged", p.id) for p in circuit.parts_of_kind("module") if not p.fixed]
    seen = [p.id for p in (*loads(circuit), *circuit.parts_of_kind(*CLICK_WORDS))]
    for undoing in undone:
        yield from ((setup.with_undone(undoing), "sign", name, "", "open") for name in seen)


def _in_place_of_a_fuse(circuit: Circuit, setup: Setup, barred: frozenset[str]) -> Iterator[Tip]:
    """The short-finder: the volts that a lamp in the fuse's holder takes."""
    for fuse in circuit.parts_of_kind("fuse"):
        ends = f"{fuse.id}.1", f"{fuse.id}.2"
        if fuse.fixed or barred & set(ends) or not all(_open(circuit, e) for e in ends):
            continue
        there = setup.with_undone(Undoing("out", fuse.id), Undoing("lamp", "", ends))
        yield there, "voltmeter", *ends, "fuse ear"


def _as_a_load(expert: Expert, setup: Setup, minus: str, barred: frozenset[str]) -> Iterator[Tip]:
    """At each parted plug the cavity that carries most: volts with a lamp on it."""
    circuit, table = expert.circuit, expert.table
    contacts = [s for s in circuit.segments.values() if s.kind == "contact" and s.connector]
    contacts = [s for s in contacts if not barred & {s.a, s.b}]
    if not contacts:
        return
    at = [table.net.branch_index[s.id] for s in contacts]
    amps = np.abs(currents(table, setup, np.zeros(1, dtype=np.int64), at)[0][0])
    best: dict[str, int] = {}
    for k in np.argsort(-amps, kind="stable").tolist():
        if amps[k] >= LOADED_FROM_A:
            best.setdefault(contacts[k].connector, k)
    for connector, k in best.items():
        for place in (contacts[k].a, contacts[k].b):
            if _open(circuit, place):
                lamp = Undoing("lamp", "", (place, minus))
                there = setup.with_undone(Undoing("apart", connector), lamp)
                yield there, "voltmeter", place, minus, "open"


def _off(circuit: Circuit, setup: Setup, minus: str) -> Iterator[Tip]:
    """A ground's wires off their stud: whether they find another way to ground."""
    for ground in circuit.parts_of_kind("ground"):
        pins = [f"{ground.id}.{pin}" for pin in ground.pins]
        reached = [p for p in pins if _open(circuit, p)]
        if reached and minus not in _beside(circuit, pins):
            there = setup.with_undone(Undoing("off", ground.id))
            yield there, "voltmeter", reached[0], minus, circuit.places[reached[0]].method


def _beside(circuit: Circuit, pins: list[str]) -> set[str]:
    """What is joined to some pins by one conductor."""
    ends = [{s.a, s.b} for s in circuit.segments.values()]
    return {p for pair in ends if pair & set(pins) for p in pair}


def _cut(circuit: Circuit, setup: Setup, minus: str) -> Iterator[Tip]:
    """The last resort: a wire with no plug at either end, cut there; volts on both sides."""
    for seg in circuit.segments.values():
        ends = [circuit.places[p] for p in (seg.a, seg.b)]
        if seg.kind != "wire" or any(p.side for p in ends) or minus in (seg.a, seg.b):
            continue
        there = setup.with_undone(Undoing("cut", seg.id))
        for place in ends:
            if _reached(place):
                yield there, "voltmeter", place.id, minus, place.method


def _open(circuit: Circuit, place: str) -> bool:
    return _reached(circuit.places[place])


def _reached(place: Place) -> bool:
    return place.method not in ("none", "pierce")
