"""Drawings that differ from one on the shelf in a known way."""

import random
import re
from itertools import product

from loomwise.circuit.model import Circuit
from loomwise.circuit.reader import read_circuit
from loomwise.shelf import shelf_text

_NAMED = re.compile(r"\b(\w+)(?=\.[\w+\-])|^  (\w+)(?=:)", re.MULTILINE)


def changed(name: str, *changes: tuple[str, str]) -> str:
    """A shelf circuit's text with texts replaced; each must stand in it."""
    text = shelf_text(name)
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text


def renamed(text: str, seed: int, shuffled: bool = False) -> str:
    """The same drawing with all parts and connectors under other names, its lines reordered.

    ``shuffled``: the old names are dealt out anew, so that every name is a false hint.
    """
    rng = random.Random(seed)
    circuit = read(text)
    names = [*circuit.parts, *circuit.connectors]
    fresh = [*names] if shuffled else [f"X{n}" for n in range(len(names))]
    rng.shuffle(fresh)
    to = dict(zip(names, fresh, strict=True))
    head, tail = text.split("\nconnectors:", 1)
    tail = _NAMED.sub(lambda m: to.get(m[1], m[1]) if m[1] else f"  {to.get(m[2], m[2])}", tail)
    return _reordered(f"{head}\nconnectors:{tail}", rng)


def _reordered(text: str, rng: random.Random) -> str:
    before, rest = text.split("\nwires:\n", 1)
    lines = rest.split("\n")
    count = next((n for n, line in enumerate(lines) if not line.startswith("  - ")), len(lines))
    wires = lines[:count]
    rng.shuffle(wires)
    return "\n".join([f"{before}\nwires:", *wires, *lines[count:]])


def read(text: str) -> Circuit:
    """A drawing from its text."""
    return read_circuit(text, "drawing.yaml")


def all_controls(circuit: Circuit) -> list[dict[str, str]]:
    """Every combination of control states."""
    states = (control.states for control in circuit.controls.values())
    return [dict(zip(circuit.controls, combined, strict=True)) for combined in product(*states)]
