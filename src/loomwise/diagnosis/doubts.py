"""Doubts of the drawing: two labels exchanged. A permutation of places; nothing is solved again."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

from loomwise.circuit.model import Circuit

DRAWING_DOUBT = {"by the maker": 0.02, "redrawn": 0.06, "from memory": 0.15}
"""Chance that a drawing has one such pair, by who drew it: engineering judgement."""
SLIP_ELSEWHERE = 0.01
"""Chance that a probe went to a wrong place altogether: engineering judgement."""


@dataclass(frozen=True)
class Exchange:
    """Two labels exchanged in the drawing: what it calls ``a`` is ``b`` on the vehicle."""

    id: str
    title: str
    swap: Mapping[str, str]
    weight: float

    def real(self, place: str) -> str:
        """The place on the vehicle that a drawn label leads to."""
        return self.swap.get(place, place)


def exchanges(circuit: Circuit) -> tuple[Exchange, ...]:
    """Every pair of labels that can be exchanged: in one connector, or on one module or relay."""
    found = [*_cavities(circuit), *_pins(circuit)]
    doubt = drawing_doubt(circuit)
    return tuple(Exchange(name, title, swap, doubt / len(found)) for name, title, swap in found)


def drawing_doubt(circuit: Circuit) -> float:
    """Chance that the drawing has something wrong, by who drew it."""
    return max((DRAWING_DOUBT.get(s.drawn, 0.06) for s in circuit.sources), default=0.06)


def _cavities(circuit: Circuit) -> Iterator[tuple[str, str, dict[str, str]]]:
    for connector in circuit.connectors.values():
        used = [c for c in connector.cavities if f"{connector.id}.{c}" in circuit.segments]
        for p, q in combinations(used, 2):
            a, b = f"{connector.id}.{p}", f"{connector.id}.{q}"
            swap = {f"{x}.{side}": f"{y}.{side}" for x, y in ((a, b), (b, a)) for side in "ab"}
            swap |= {a: b, b: a}
            yield f"{a}/{b}", f"cavities {p} and {q} of {connector.id} exchanged", swap


def _pins(circuit: Circuit) -> Iterator[tuple[str, str, dict[str, str]]]:
    for part in circuit.parts_of_kind("module", "relay"):
        if part.kind == "relay" and part.fixed:
            continue
        for p, q in combinations(part.pins, 2):
            a, b = f"{part.id}.{p}", f"{part.id}.{q}"
            yield f"{a}/{b}", f"pins {p} and {q} of {part.id} exchanged", {a: b, b: a}


def neighbour_places(circuit: Circuit, place: str) -> tuple[str, ...]:
    """Where a probe meant for ``place`` may have gone by a cavity's or a pin's width."""
    p = circuit.places.get(place)
    if p is None:
        return ()
    connector = circuit.connectors.get(p.owner)
    if connector is None:
        pins = circuit.parts[p.owner].pins
        return tuple(f"{p.owner}.{pin}" for pin in pins if pin != p.pin)
    width = -(-len(connector.cavities) // connector.rows)
    row, column = divmod(connector.cavities.index(p.pin), width)
    near = [
        c
        for k, c in enumerate(connector.cavities)
        if abs(k // width - row) + abs(k % width - column) == 1
    ]
    names = (f"{p.owner}.{c}.{p.side}" for c in near)
    return tuple(n for n in names if n in circuit.places)
