"""Two places worth holding a meter between: across a fuse, a load, a switch, a relay's contact, a
wire from plug to plug; and the two sides of a part through its parted plug."""

from collections import deque
from collections.abc import Iterator, Mapping
from itertools import combinations

from loomwise.circuit.model import Circuit, Part

Span = tuple[str, str]
ACROSS = {
    "fuse": (("1", "2"),),
    "relay": (("30", "87"), ("30", "87a"), ("86", "85")),
    "motor": (("+", "-"),),
    "two-speed motor": (("53", "31"), ("53i", "31")),
    "two-filament lamp": (("1", "31"), ("2", "31")),
    "charging source": (("B+", "B-"), ("D+", "B-")),
    "equaliser": (("24", "12"), ("12", "31")),
    "split-charge relay": (("30", "87"), ("30", "31")),
    "starter solenoid": (("30", "45"), ("50", "31"), ("50", "45")),
    "flasher": (("49", "49a"), ("49", "31")),
    "park switch": (("53e", "53a"), ("53e", "31")),
    "potentiometer": (("+", "-"), ("S", "-")),
}
"""Pins to measure across where they are not simply the first two, by kind."""
ONE_PIN = ("splice", "ground", "battery", "module")


def drop_spans(circuit: Circuit) -> tuple[Span, ...]:
    """Pairs of reachable places for a voltage drop, each once."""
    joined = joints(circuit)
    found = [*_parts(circuit, joined), *_wires(circuit, joined)]
    return tuple(dict.fromkeys(pair for pair in found if pair[0] != pair[1]))


def plug_spans(circuit: Circuit, connector: str) -> tuple[Span, ...]:
    """Pairs of cavities of a parted plug, on one side, between which one part lies."""
    joined = joints(circuit)
    found: list[Span] = []
    for side in "ab":
        owners: dict[str, list[str]] = {}
        for place in circuit.places.values():
            if place.owner == connector and place.side == side:
                part = _leads_to(circuit, joined, place.id, connector)
                owners.setdefault(part, []).append(place.id)
        found += [pair for part, some in owners.items() if part for pair in combinations(some, 2)]
    return tuple(found)


def joints(circuit: Circuit) -> Mapping[str, tuple[str, ...]]:
    """For each place those joined to it by one conductor, splices and ground points included."""
    near: dict[str, list[str]] = {}
    for seg in circuit.segments.values():
        near.setdefault(seg.a, []).append(seg.b)
        near.setdefault(seg.b, []).append(seg.a)
    for part in circuit.parts_of_kind("splice", "ground"):
        pins = [f"{part.id}.{pin}" for pin in part.pins]
        for pin in pins:
            near.setdefault(pin, []).extend(p for p in pins if p != pin)
    return {place: tuple(some) for place, some in near.items()}


def reachable_near(circuit: Circuit, joined: Mapping[str, tuple[str, ...]], pin: str) -> str:
    """The nearest place along the conductors that a probe can reach; nothing if there is none."""
    queue, seen = deque([pin]), {pin}
    while queue:
        place = queue.popleft()
        if circuit.places[place].method not in ("none", "pierce"):
            return place
        for other in joined.get(place, ()):
            if other not in seen:
                seen.add(other)
                queue.append(other)
    return ""


def _parts(circuit: Circuit, joined: Mapping[str, tuple[str, ...]]) -> Iterator[Span]:
    for part in circuit.parts.values():
        for a, b in _across(part):
            ends = [reachable_near(circuit, joined, f"{part.id}.{pin}") for pin in (a, b)]
            if all(ends):
                yield ends[0], ends[1]


def _across(part: Part) -> tuple[Span, ...]:
    if part.kind in ACROSS:
        return tuple(pair for pair in ACROSS[part.kind] if set(pair) <= set(part.pins))
    if part.kind == "switch":
        return tuple(dict.fromkeys(p for pairs in part.positions.values() for p in pairs))
    if part.kind in ONE_PIN or len(part.pins) != 2:
        return ()
    return ((part.pins[0], part.pins[1]),)


def _wires(circuit: Circuit, joined: Mapping[str, tuple[str, ...]]) -> Iterator[Span]:
    for seg in circuit.segments.values():
        if seg.kind == "wire":
            ends = [reachable_near(circuit, joined, p) for p in (seg.a, seg.b)]
            if all(ends):
                yield ends[0], ends[1]


def _leads_to(
    circuit: Circuit, joined: Mapping[str, tuple[str, ...]], place: str, connector: str
) -> str:
    """The first part, splices and grounds apart, that a place leads to without the connector."""
    queue, seen = deque([place]), {place}
    while queue:
        here = queue.popleft()
        part = circuit.parts.get(circuit.places[here].owner)
        if part is not None and part.kind not in ("splice", "ground"):
            return part.id
        for other in joined.get(here, ()):
            if other not in seen and circuit.places[other].owner != connector:
                seen.add(other)
                queue.append(other)
    return ""
