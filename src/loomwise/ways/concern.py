"""What a large circuit has to do with what was seen and measured: the rest keeps out of it.

Concerned is all that lies on the ways of a load or to a place, what decides it, and whatever hangs
on these conductors without a fuse or a load between: a short there takes them with it. A fault
elsewhere moves what was seen by no more than the sag of the supply.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from loomwise.circuit.kinds.tables import kinds
from loomwise.circuit.model import Circuit, Part
from loomwise.ways.heights import SUPPLIES, inner_pairs
from loomwise.ways.roads import COILS, Roads

PROTECTS = frozenset({"fuse", "fusible link", "breaker"})
"""Kinds that part a short from what feeds it."""


@dataclass(frozen=True)
class Concern:
    """The places, conductors, parts, connectors and looms concerned, by name."""

    names: frozenset[str]

    def __contains__(self, name: str) -> bool:
        return name in self.names


def concern(circuit: Circuit, loads: Iterable[str], places: Iterable[str] = ()) -> Concern:
    """What concerns some loads or other parts, and some places that were measured at."""
    kept = set(Roads(circuit, inputs=True).of(loads).places)
    for place in places:
        if place not in kept:
            kept |= {place, *Roads(circuit, inputs=True).at(place).places}
    supplies = circuit.parts_of_kind(*SUPPLIES)
    rails = {f"{p.id}.{pin}" for p in supplies for pin in p.pins}  # all of it is fed from there
    kept = _hanging_on(circuit, kept - rails) - rails
    conductors = [s for s in circuit.segments.values() if s.a in kept or s.b in kept]
    names = {
        *kept, *(circuit.places[p].owner for p in kept), *(p.id for p in supplies),
        *(s.id for s in conductors), *(s.loom for s in conductors if s.loom),
    }  # fmt: skip
    return Concern(frozenset(names))


def _hanging_on(circuit: Circuit, places: set[str]) -> set[str]:
    """Places and what is joined to them with neither a load nor a fuse between."""
    joined: dict[str, list[str]] = {place: [] for place in circuit.places}
    pairs = [(s.a, s.b) for s in circuit.segments.values()]
    for part in circuit.parts.values():
        if _lets_through(part):
            coil = COILS.get(part.kind)
            pairs += [(f"{part.id}.{a}", f"{part.id}.{b}") for a, b in inner_pairs(part)
                      if (a, b) != coil]  # fmt: skip
    for a, b in pairs:
        joined[a].append(b)
        joined[b].append(a)
    found, queue = set(places), list(places)
    while queue:
        for other in joined[queue.pop()]:
            if other not in found:
                found.add(other)
                queue.append(other)
    return found


def _lets_through(part: Part) -> bool:
    stops = part.kind in PROTECTS or part.kind in SUPPLIES or part.kind == "ground"
    return not stops and not kinds()[part.kind].load and not part.module_pins
