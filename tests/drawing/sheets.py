"""Sheets of circuits, laid out once for all tests."""

from functools import cache

from loomwise.circuit.model import Circuit
from loomwise.circuit.reader import read_circuit
from loomwise.drawing import (
    Caption,
    Marks,
    Sheet,
    Solved,
    View,
    draw,
    layout_graph,
    looks_of,
    part_of,
    read_layout,
)
from loomwise.layout import place
from loomwise.shelf import read_shelf
from loomwise.solver.result import OperatingPoint, plant_of, solve_states

LAMP = """
format: 1
title: One lamp
supply: 12 V
units:
  battery: {price: 100, minutes: 10}
  fuse box: {price: 210, minutes: 60}
  lamp: {price: 12, minutes: 5}
  switch: {price: 30, minutes: 15}
controls:
  light: {states: [off, on], rest: off}
connectors:
  C1: {halves: [fuse box, loom], cavities: 2, minutes: 1}
parts:
  BAT: {kind: battery, in: battery}
  F1: {kind: fuse, rating: 10 A, in: fuse box}
  S1: {kind: switch, pins: [1, 2], in: switch, set by: light, positions: {off: [], on: [1-2]}}
  E1: {kind: lamp, power: 21 W, in: lamp}
  G1: {kind: ground, pins: [1, 2]}
wires:
  - BAT.+ to F1.1, RD 4 mm2, 0.5 m
  - F1.2 to C1.1 to S1.1, RDWH 1.5 mm2, 1.2 m, in loom
  - S1.2 to E1.1, GN 1.5 mm2, 2 m, in loom
  - E1.2 to G1.1, BN 1.5 mm2, 0.5 m
  - BAT.- to G1.2, BK 16 mm2, 0.4 m
"""


@cache
def lamp() -> Circuit:
    """One lamp behind a fuse, a plug and a switch."""
    return read_circuit(LAMP, "lamp.yaml")


@cache
def sheet_of(name: str, load: str = "") -> Sheet:
    """The sheet of a circuit on the shelf, or of one load's part; "lamp" is our own."""
    circuit = lamp() if name == "lamp" else read_shelf(name)
    return laid_out(part_of(circuit, load) if load else circuit)


def laid_out(circuit: Circuit) -> Sheet:
    """The sheet of any circuit."""
    return read_layout(circuit, place(layout_graph(circuit)))


def points(circuit: Circuit, **controls: str) -> OperatingPoint:
    """What the circuit does, controls at rest but for these."""
    states = {name: control.rest for name, control in circuit.controls.items()} | controls
    return solve_states(circuit, plant_of(circuit), states)[0]


def drawn(sheet: Sheet, view: str = "insulation", marks: Marks | None = None) -> str:
    """The SVG of a sheet, at rest; the voltage view solved."""
    circuit = sheet.circuit
    caption = Caption(circuit.title, ("at rest",), looks_of(circuit, {}, {}))
    if view == "insulation":
        return draw(sheet, View(supply_v=circuit.supply_v), caption, marks)
    whole = lamp() if circuit.title == lamp().title else circuit
    return draw(sheet, voltage_view(whole), caption, marks)


def voltage_view(circuit: Circuit, **controls: str) -> View:
    """The view by solved volts."""
    point = points(circuit, **controls)
    solved = Solved(point.voltages_v, point.currents_a, point.floating)
    return View("voltage", solved, circuit.supply_v)
