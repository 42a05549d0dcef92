"""A block is one part on the sheet with its letters.

It has a size and ports, one for every wire end, so that two wires never become one line. Where a
port has no ``x`` the layout chooses it along its side; the painter is then told.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal

from loomwise.circuit.model import Circuit, Part
from loomwise.drawing.shapes import Shape

Side = Literal["top", "bottom"]
Rank = Literal["", "first", "last"]
Xs = Mapping[str, float]
"""Where the ports stand, by port id, from the left edge of the block."""


@dataclass(frozen=True)
class Look:
    """How a part stands: pin pairs that are joined, whether it is blown, or taken out."""

    closed: frozenset[frozenset[str]] = frozenset()
    blown: bool = False
    out: bool = False

    def joins(self, a: str, b: str) -> bool:
        """Whether two pins are joined."""
        return frozenset((a, b)) in self.closed


Painter = Callable[[Xs, Look], Iterator[Shape]]


@dataclass(frozen=True)
class Port:
    """One wire end at a block. ``pin`` is what is lettered there; ``segment`` is empty if bare."""

    place: str
    segment: str
    pin: str
    side: Side
    x: float | None = None

    @property
    def id(self) -> str:
        """Its name in the layout."""
        return f"{self.place}@{self.segment}"


@dataclass(frozen=True)
class Block:
    """``body`` is what a finger hits: x, y, width, height within the block.

    ``beside`` is the width of letters to its right, where its ports are spread over the rest;
    ``pitch`` is their least distance.
    """

    id: str
    width: float
    height: float
    ports: tuple[Port, ...]
    paint: Painter = field(repr=False, compare=False)
    body: tuple[float, float, float, float]
    rank: Rank = ""
    beside: float = 0.0
    pitch: float = 18.0


@dataclass(frozen=True)
class Site:
    """What a symbol has to know of the circuit around it."""

    circuit: Circuit
    heights: Mapping[str, float]
    ends: Mapping[str, tuple[str, ...]]

    def height(self, part: Part, pin: str) -> float:
        """How far down a pin belongs, 0 to 1."""
        return self.heights[f"{part.id}.{pin}"]

    def comes_from_above(self, part: Part, pin: str) -> bool:
        """Whether current reaches a pin by its wire rather than leaving by it."""
        place = f"{part.id}.{pin}"
        segments = (self.circuit.segments[s] for s in self.ends.get(place, ()))
        far = [s.b if s.a == place else s.a for s in segments]
        return any(self.heights[other] < self.heights[place] for other in far)

    def ports(self, part: Part, pin: str, side: Side, x: float | None = None) -> tuple[Port, ...]:
        """A pin's ports: one for each wire that ends there, one where none does."""
        place = f"{part.id}.{pin}"
        return tuple(Port(place, s, pin, side, x) for s in self.ends.get(place, ("",)))

    def home(self, part: Part) -> str:
        """The unit a part sits in, in words; empty where it is a unit of its own in the open."""
        if part.unit != part.id:
            return part.unit
        segments = (self.circuit.segments[s] for p in part.pins for s in self._at(part, p))
        return next((s.unit for s in segments if s.kind == "inner"), "")

    def _at(self, part: Part, pin: str) -> Iterable[str]:
        return self.ends.get(f"{part.id}.{pin}", ())


def wire_ends(circuit: Circuit) -> dict[str, tuple[str, ...]]:
    """For every pin of a part, the wires and inner leads that end there."""
    found: dict[str, tuple[str, ...]] = {}
    for segment in circuit.segments.values():
        for place in (segment.a, segment.b):
            if not circuit.places[place].side:
                found[place] = (*found.get(place, ()), segment.id)
    return found
