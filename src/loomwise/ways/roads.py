"""The ways of a load's current: from the feed, and to the ground.

From each pin of the load every way is followed through wires, fuses, switches and contacts until
it ends at a supply, a ground or a module's output; what carries no current between the two is
dropped. The coils of relays on the way, and the modules that drive them, are followed likewise.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from loomwise.circuit.kinds.tables import kinds
from loomwise.circuit.loads import load_named
from loomwise.circuit.model import Circuit, Part
from loomwise.logic import Rule, parse_rule
from loomwise.logic.words import names
from loomwise.ways.heights import MINUS, SUPPLIES, heights, inner_pairs, solved

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
LEVEL = 1e-6
"""Heights nearer than this are the same."""
STRAIGHT = 2
SENSES = {-1: (-1,), 0: (-STRAIGHT, STRAIGHT), 1: (1,)}
"""Ways from a pin of each sense. A motor that turns both ways has both a feed and a ground within
reach of one contact: from there the way leads straight up, and straight down."""
MIDDLE = 0.5
"""Places higher than this are nearer to the ground than to the feed."""
LEAST = 1e-5
"""Less than this, of one between start and end, is no current."""

Links = dict[str, dict[str, str]]
"""For each place, the others it is joined to, and by which segment or part."""


@dataclass
class Followed:
    """What is on the ways."""

    segments: set[str] = field(default_factory=set)
    parts: set[str] = field(default_factory=set)
    places: set[str] = field(default_factory=set)


class Roads:
    """Follows the ways of some loads and of what drives them; with ``inputs`` also of what the
    modules among that read to decide it."""

    def __init__(self, circuit: Circuit, inputs: bool = False) -> None:
        self._circuit, self._inputs = circuit, inputs
        self._heights = heights(circuit)
        self._segments: dict[str, list[tuple[str, str]]] = {p: [] for p in circuit.places}
        for segment in circuit.segments.values():
            self._segments[segment.a].append((segment.id, segment.b))
            self._segments[segment.b].append((segment.id, segment.a))
        self._kept = Followed()
        self._todo: list[tuple[str, tuple[str, ...]]] = []

    def of(self, some: Iterable[str]) -> Followed:
        """Everything that concerns some loads or other parts."""
        for name in some:
            part = load_named(self._circuit, name) or self._circuit.parts[name]
            self._todo.append((name.partition(".")[0], part.pins))
        return self._all_of_it()

    def at(self, place: str) -> Followed:
        """What comes from the feed to a place, or goes on to the ground if that is nearer."""
        known = self._circuit.places[place]
        self._follow(place, 1 if self._heights[place] > MIDDLE else -1)
        if not known.side:
            self._reach(self._circuit.parts[known.owner], known.pin)
        return self._all_of_it()

    def _all_of_it(self) -> Followed:
        done: set[str] = set()
        while self._todo:
            name, pins = self._todo.pop()
            new = [pin for pin in pins if f"{name}.{pin}" not in done]
            done |= {f"{name}.{pin}" for pin in new}
            self._kept.parts.add(name)
            for pin in new:
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
            module_pin = known.module_pins[pin]
            down = module_pin.role == "input" and module_pin.pull == "down"
            return -1 if module_pin.role == "supply" or down else 1
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
                self._reach(self._circuit.parts[known.owner], known.pin)
            for element in others.values():
                if element in self._circuit.segments:
                    self._kept.segments.add(element)

    def _reach(self, part: Part, pin: str) -> None:
        """A part that a way comes to at a pin is kept; what makes it conduct is followed too."""
        self._kept.parts.add(part.id)
        if part.kind in COILS:
            self._todo.append((part.id, COILS[part.kind]))
        elif part.kind in SUPPLIES:
            self._todo.append((part.id, tuple(p for p in part.pins if p in MINUS)))
        elif part.module_pins:
            pins = part.module_pins.items()
            fed = tuple(name for name, pin in pins if pin.role in ("supply", "ground"))
            self._todo.append((part.id, fed))
            if self._inputs and pin in part.module_pins:
                self._todo.append((part.id, tuple(self._read(part.id, pin))))

    def _read(self, module: str, output: str) -> set[str]:
        """The inputs that decide a module's output, the outputs between them left out."""
        rules = [parse_rule(r.text) for r in self._circuit.logic if r.module == module]
        todo, read = [output], set[str]()
        while todo:
            for name in _reads(rules, todo.pop()) - read:
                read.add(name)
                todo.append(name)
        pins = self._circuit.parts[module].module_pins
        return {name for name in read if pins[name].role == "input"}


def _reads(rules: Iterable[Rule], output: str) -> set[str]:
    return {name for r in rules if output in r.outputs for name, _ in names(r.condition)}


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
