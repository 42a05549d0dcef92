"""One load's part of a circuit: what is on its way from the feed and to the ground.

From each pin of the load every way is followed through wires, fuses, switches and contacts until
it ends at a supply, a ground or a module's output; what carries no current between the two is
dropped. The coils of relays on the way, and the modules that drive them, are followed likewise.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from loomwise.circuit.explain import nearest
from loomwise.circuit.kinds.tables import kinds
from loomwise.circuit.loads import load_named
from loomwise.circuit.model import Circuit, Part
from loomwise.drawing.flow import MINUS, SUPPLIES, heights, inner_pairs, solved
from loomwise.errors import InputError

COILS = {
    "relay": ("86", "85"),
    "split-charge relay": ("30", "31"),
    "starter solenoid": ("50", "31"),
    "flasher": ("49", "31"),
}
"""Pins of what makes a part conduct: followed by itself, no way for the load's current."""
ACROSS = frozenset({"zener", "capacitor", "starter solenoid", "park switch"})
"""Kinds that may lie between feed and ground: as through a load, no way leads up and down again
through them."""
FIXED_PINS = frozenset({"splice", "ground", "module"})
"""Kinds that are drawn with the pins in use only."""


LEVEL = 1e-6
"""Heights nearer than this are the same."""
STRAIGHT = 2
SENSES = {-1: (-1,), 0: (-STRAIGHT, STRAIGHT), 1: (1,)}
"""Ways from a pin of each sense. A motor that turns both ways has both a feed and a ground within
reach of one contact: from there the way leads straight up, and straight down."""
LEAST = 1e-5
"""Less than this, of one between start and end, is no current."""

Links = dict[str, dict[str, str]]
"""For each place, the others it is joined to, and by which segment or part."""


@dataclass
class _Kept:
    segments: set[str] = field(default_factory=set)
    parts: set[str] = field(default_factory=set)
    places: set[str] = field(default_factory=set)


def part_of(circuit: Circuit, load: str) -> Circuit:
    """The circuit with only what concerns one load.

    Raises
    ------
    InputError : no such part, or filament of a lamp with two.
    """
    if load not in circuit.parts and load_named(circuit, load) is None:
        near = nearest(load, circuit.parts, "parts")
        raise InputError(f"there is no part '{load[:40]}' to draw alone", "load", near)
    return _cut(circuit, _Roads(circuit).of(load))


class _Roads:
    """Follows the ways of one load and of what drives it."""

    def __init__(self, circuit: Circuit) -> None:
        self._circuit = circuit
        self._heights = heights(circuit)
        self._segments: dict[str, list[tuple[str, str]]] = {p: [] for p in circuit.places}
        for segment in circuit.segments.values():
            self._segments[segment.a].append((segment.id, segment.b))
            self._segments[segment.b].append((segment.id, segment.a))
        self._kept = _Kept()
        self._todo: list[tuple[str, tuple[str, ...]]] = []

    def of(self, load: str) -> _Kept:
        """Everything that concerns the load."""
        part = load_named(self._circuit, load) or self._circuit.parts[load]
        self._todo.append((load.partition(".")[0], part.pins))
        done: set[str] = set()
        while self._todo:
            name, pins = self._todo.pop()
            if name not in done:
                done.add(name)
                self._kept.parts.add(name)
                for pin in pins:
                    for sense in SENSES[self._sense(name, pin, pins)]:
                        self._follow(f"{name}.{pin}", sense)
        return self._kept

    def _sense(self, part: str, pin: str, pins: Iterable[str]) -> int:
        """1 where current leaves a part downwards, -1 where it comes from above, 0 where it may do
        either, as through a motor that turns both ways."""
        known = self._circuit.parts[part]
        if known.kind in SUPPLIES:
            return 1
        if pin in known.module_pins:
            return -1 if known.module_pins[pin].role == "supply" else 1
        stand = [self._heights[f"{part}.{p}"] for p in pins]
        if max(stand) - min(stand) < LEVEL:
            return 0
        return 1 if self._heights[f"{part}.{pin}"] > sum(stand) / len(stand) else -1

    def _follow(self, start: str, sense: int) -> None:
        """Keep the ways from ``start`` that end somewhere."""
        links: Links = {start: {}}
        queue = [start]
        while queue:
            place = queue.pop()
            for element, other in self._steps(place, start, sense):
                links[place][other] = element
                if other not in links:
                    links[other] = {}
                    queue.append(other)
                links[other][place] = element
        ends = dict.fromkeys((p for p in links if self._ends_at(p, sense)), 1.0)
        self._keep(_carrying(links, {**ends, start: 0.0}))

    def _steps(self, place: str, start: str, sense: int) -> Iterator[tuple[str, str]]:
        if place != start and self._ends_at(place):
            return
        yield from self._segments[place]
        known = self._circuit.places[place]
        if place == start or known.side:
            return
        part = self._circuit.parts[known.owner]
        for a, b in _passes(part):
            if known.pin in (a, b):
                other = f"{part.id}.{b if known.pin == a else a}"
                rises = (self._heights[other] - self._heights[place]) * sense
                one_way = abs(sense) == STRAIGHT or kinds()[part.kind].load or part.kind in ACROSS
                if rises > LEVEL or not one_way:
                    yield part.id, other

    def _ends_at(self, place: str, sense: int = 0) -> bool:
        """Whether a way ends here; one that leads up only at a feed, and down only at a ground."""
        known = self._circuit.places[place]
        part = self._circuit.parts.get(known.owner)
        if part is None or known.side:
            return False
        if part.kind in SUPPLIES or part.kind == "ground":
            return sense * (1 if part.kind == "ground" or known.pin in MINUS else -1) >= 0
        pin = part.module_pins.get(known.pin)
        return pin is not None and pin.role not in ("supply", "ground", "input")

    def _keep(self, links: Links) -> None:
        for place, others in links.items():
            known = self._circuit.places[place]
            self._kept.places.add(place)
            if not known.side:
                self._reach(self._circuit.parts[known.owner])
            for element in others.values():
                if element in self._circuit.segments:
                    self._kept.segments.add(element)

    def _reach(self, part: Part) -> None:
        """A part on the way is kept; what makes it conduct is followed too."""
        self._kept.parts.add(part.id)
        if part.kind in COILS:
            self._todo.append((part.id, COILS[part.kind]))
        elif part.kind in SUPPLIES:
            self._todo.append((part.id, tuple(p for p in part.pins if p in MINUS)))
        elif part.module_pins:
            pins = part.module_pins.items()
            fed = tuple(name for name, pin in pins if pin.role in ("supply", "ground"))
            self._todo.append((part.id, fed))


def _passes(part: Part) -> Iterator[tuple[str, str]]:
    """Pin pairs by which a way goes on through a part: no coil, no module."""
    if part.kind in COILS:
        yield from (pair for pair in inner_pairs(part) if pair != COILS[part.kind])
    elif not part.module_pins:
        yield from inner_pairs(part)


def _carrying(links: Links, held: dict[str, float]) -> Links:
    """The links that carry current between the start (0) and the ends (1): no dead end does."""
    joined = {place: dict.fromkeys(others, 1.0) for place, others in links.items()}
    height = solved(joined, held, leak=1e-9)
    return {
        place: kept
        for place, others in links.items()
        if (kept := {o: e for o, e in others.items() if abs(height[o] - height[place]) > LEAST})
    }


def _cut(circuit: Circuit, kept: _Kept) -> Circuit:
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
