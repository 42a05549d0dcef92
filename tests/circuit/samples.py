"""A small circuit that tests change to see what happens."""

from loomwise.circuit.model import Circuit
from loomwise.circuit.reader import read_circuit
from loomwise.errors import FileError

SMALL = """\
format: 1
title: One lamp
supply: 12 V
units:
  battery: {price: 100, minutes: 20}
  fuse box: {price: 300, minutes: 60, reach: 0.5 min}
  lamp: {price: 9, minutes: 10}
  panel: {price: 50, minutes: 30, reach: 3 min}
connectors:
  C1: {halves: [fuse box, dash loom], cavities: 4, rows: 2, minutes: 2}
  C2: {halves: [dash loom, panel], cavities: 2}
controls:
  light: {states: [off, on], rest: off}
parts:
  BAT: {kind: battery, in: battery}
  F1: {kind: fuse, rating: 10 A, in: fuse box}
  K1: {kind: relay, contact: NO, in: fuse box}
  S1: {kind: switch, pins: [1, 2], in: panel, set by: light, positions: {off: [], on: [1-2]}}
  L1: {kind: lamp, power: 21 W, in: lamp}
  SP1: {kind: splice, pins: [1, 2, 3], in: fuse box}
  G1: {kind: ground, pins: [1, 2, 3]}
wires:
  - BAT.+ to F1.1, RD 4 mm2, 0.6 m
  - BAT.- to G1.1, BK 10 mm2, 0.4 m
  - F1.2 to SP1.1
  - SP1.2 to K1.30
  - SP1.3 to C1.1 to C2.1 to S1.1, RDWH 0.75 mm2, 2 m, in dash loom
  - S1.2 to C2.2 to C1.2 to K1.86, YE 0.75 mm2, 2 m, in dash loom
  - K1.85 to G1.2, BN 0.75 mm2, 0.3 m
  - K1.87 to L1.1, GY 1 mm2, 1.5 m
  - L1.2 to G1.3, BN 1 mm2, 0.5 m
"""


def small(*changes: tuple[str, str]) -> Circuit:
    """The small circuit with texts replaced; each must stand in it."""
    return read_circuit(changed(*changes), "small.yaml")


def changed(*changes: tuple[str, str]) -> str:
    """The text of the small circuit with texts replaced; each must stand in it."""
    text = SMALL
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def problems(text: str) -> list[str]:
    """What reading the text complains about, a line each; empty when it is sound."""
    try:
        read_circuit(text, "f")
    except FileError as error:
        return [str(problem) for problem in error.problems]
    return []
