"""Small networks written as element lists: ``name kind value node+ node-`` with node 0 the body.

Kinds: R resistor in ohm, V ideal voltage source in volt (first node is plus), I current source in
ampere (flows from the first node through the source to the second), M motor winding in ohm whose
speed is held so that its back EMF is the sixth word, in volt.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from loomwise.circuit.model import BODY
from loomwise.solver.engines import Direct, Engine
from loomwise.solver.network import Branch, Floats, Network, assemble
from loomwise.solver.rows import Rows, make_rows
from tests.solver.check_laws import assert_laws, currents

CURRENT_SOURCE_S = 1e-9
"""Beside a current source: of 0.1 A at 24 V it takes 2e-7, below every printed digit. [S]"""


@dataclass(frozen=True)
class Element:
    """One line of a list; ``value`` in ohm, volt or ampere, ``back_emf_v`` of a motor winding."""

    name: str
    kind: str
    value: float
    plus: str
    minus: str
    back_emf_v: float = 0.0


def parse_element(line: str) -> Element:
    """``R1 R 2.2k a 0`` as an element; k = 1000, M = 1e6."""
    name, kind, value, plus, minus, *back_emf_v = line.split()
    factor = {"k": 1e3, "M": 1e6}.get(value[-1], 1.0)
    number = float(value.rstrip("kM")) * factor
    return Element(name, kind, number, _node(plus), _node(minus), *map(float, back_emf_v))


def _node(name: str) -> str:
    return BODY if name == "0" else name


def _branches(e: Element) -> tuple[Branch, ...]:
    ends = ((e.plus, 1.0), (e.minus, -1.0))
    if e.kind == "R":
        return (Branch(e.name, ends, 1.0 / e.value),)
    if e.kind == "I":
        return (Branch(e.name, ends, CURRENT_SOURCE_S, -e.value / CURRENT_SOURCE_S),)
    if e.kind == "M":
        speed = shaft(e.name)
        winding = Branch(e.name, (*ends, (speed, -e.back_emf_v)), 1.0 / e.value)
        return (winding, *_ideal_source(f"{e.name} held", 1.0, ((speed, 1.0),)))
    return _ideal_source(e.name, e.value, ends)


def shaft(name: str) -> str:
    """Node whose value is the relative speed of a motor."""
    return f"{name}#speed"


def _ideal_source(
    name: str, emf_v: float, ends: tuple[tuple[str, float], ...]
) -> tuple[Branch, ...]:
    """A source with no resistance at all, its current being a node like a motor's speed.

    Two branches of +-1/2 S that hold the current s with opposite signs: together they put s into
    the first end, and what is left for node s is x - emf = 0. A source behind a microhm would do
    for the printed digits, but its megasiemens would eat those that the laws need.
    """
    s = source_current(name)
    return (
        Branch(name, (*ends, (s, 1.0)), 0.5, emf_v),
        Branch(f"{name} back", (*ends, (s, -1.0)), -0.5, emf_v),
    )


def source_current(name: str) -> str:
    """Node that stands for the current into the plus end of an ideal source."""
    return f"{name}#amps"


def network_of(elements: Iterable[Element]) -> Network:
    """The network of an element list; nothing in it switches."""
    branches = tuple(b for e in elements for b in _branches(e))
    nodes = dict.fromkeys(node for b in branches for node, _ in b.terms if node != BODY)
    return assemble(tuple(nodes), branches, ())


@dataclass(frozen=True)
class Answer:
    """A solved element list: voltages by node, currents into each element's first node."""

    elements: dict[str, Element]
    volts: dict[str, float]
    amps: dict[str, float]

    def voltage_v(self, *names: str) -> float:
        """Across an element, at a node, or between two nodes."""
        if len(names) == 1 and names[0] in self.elements:
            e = self.elements[names[0]]
            return self.volts[e.plus] - self.volts[e.minus]
        return self.volts[names[0]] - (self.volts[names[1]] if len(names) > 1 else 0.0)

    def power_w(self, name: str) -> float:
        """Power that goes into an element."""
        return self.voltage_v(name) * self.amps[name]

    def mechanical_w(self, name: str) -> float:
        """Power that a motor gives to whatever holds its speed."""
        return self.volts[source_current(f"{name} held")]


def solve_elements(elements: Iterable[Element], engine: Engine | None = None) -> Answer:
    """Solve an element list and check the laws on the way."""
    listed = tuple(elements)
    net = network_of(listed)
    rows, state, v = solve_rows(net, engine or Direct())
    assert_laws(net, rows, state, v)
    volts = {name: float(v[0, i]) for name, i in net.node_index.items()}
    i = currents(net, rows, state, v)[0]
    amps = {e.name: float(i[net.branch_index[e.name]]) for e in listed}
    amps |= {e.name: volts[source_current(e.name)] for e in listed if e.kind == "V"}
    return Answer({e.name: e for e in listed}, volts, amps)


def solve_rows(
    net: Network, engine: Engine, variants: int = 1
) -> tuple[Rows, np.typing.NDArray[np.int8], Floats]:
    """The network as drawn, nothing switching: rows, their (empty) states, node values."""
    start = np.zeros(len(net.devices), dtype=np.int8)
    rows = make_rows(net, start, [()] * variants)
    return rows, rows.start, engine.solve(net, rows, rows.start)
