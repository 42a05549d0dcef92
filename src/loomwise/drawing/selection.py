"""One load's part of a circuit: what is on its way from the feed and to the ground."""

from dataclasses import replace

from loomwise.circuit.explain import nearest
from loomwise.circuit.loads import load_named
from loomwise.circuit.model import Circuit, Part
from loomwise.errors import InputError
from loomwise.ways import Followed, Roads

FIXED_PINS = frozenset({"splice", "ground", "module"})
"""Kinds that are drawn with the pins in use only."""


def part_of(circuit: Circuit, load: str) -> Circuit:
    """The circuit with only what concerns one load.

    Raises
    ------
    InputError : no such part, or filament of a lamp with two.
    """
    if load not in circuit.parts and load_named(circuit, load) is None:
        near = nearest(load, circuit.parts, "parts")
        raise InputError(f"there is no part '{load[:40]}' to draw alone", "load", near)
    return _cut(circuit, Roads(circuit).of([load]))


def _cut(circuit: Circuit, kept: Followed) -> Circuit:
    segments = {k: s for k, s in circuit.segments.items() if k in kept.segments}
    wired = {place for s in segments.values() for place in (s.a, s.b)}
    parts = {k: _with_pins(p, wired) for k, p in circuit.parts.items() if k in kept.parts}
    pins = {f"{p.id}.{pin}" for p in parts.values() for pin in p.pins}
    places = {k: p for k, p in circuit.places.items() if k in wired or k in pins}
    return replace(circuit, parts=parts, segments=segments, places=places, positions={})


def _with_pins(part: Part, wired: set[str]) -> Part:
    if part.kind not in FIXED_PINS:
        return part
    pins = tuple(pin for pin in part.pins if f"{part.id}.{pin}" in wired)
    return replace(
        part, pins=pins, module_pins={k: v for k, v in part.module_pins.items() if k in pins}
    )
