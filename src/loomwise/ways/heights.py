"""Which way current runs through a circuit, so that it can be read downwards.

Every place gets a height from 0 (the feed) to 1 (the ground): the voltage it would have if every
conductor and every way through a part were one and the same resistance, switches and relays closed.
Along every such way the heights rise, so that no wire has to be read upwards.
"""

from collections.abc import Iterator
from itertools import combinations

from loomwise.circuit.model import Circuit, Part

SUPPLIES = frozenset({"battery", "charging source"})
"""Kinds that stand at the top."""
MINUS = frozenset({"-", "B-"})
"""Ground pins of a supply."""
EXCITED = "D+"
"""Pin of a charging source that is fed from outside before it charges."""
INNER: dict[str, tuple[tuple[str, str], ...]] = {
    "relay": (("86", "85"), ("30", "87"), ("30", "87a")),
    "split-charge relay": (("30", "87"), ("30", "31")),
    "starter solenoid": (("50", "45"), ("50", "31"), ("30", "45")),
    "flasher": (("49", "49a"), ("49", "31")),
    "park switch": (("53a", "53e"), ("53e", "31")),
    "two-filament lamp": (("1", "31"), ("2", "31")),
}
"""Pins between which current can run, where it is not any two of them."""
BUS = frozenset({"can-h", "can-l", "slow can-h", "slow can-l", "lin"})
"""Module pins that lead to other modules."""
LEAK = 1e-6
"""Joins every place to the middle, so that a loose piece has a height too."""

Joined = dict[str, dict[str, float]]
"""For each place, what joins it to others."""


def heights(circuit: Circuit) -> dict[str, float]:
    """Height of every place, 0 at the feed to 1 at the ground."""
    joined: Joined = {place: {} for place in circuit.places}
    for a, b in _links(circuit):
        joined[a][b] = joined[b][a] = joined[a].get(b, 0.0) + 1.0
    return solved(joined, dict(_ends(circuit)))


def solved(joined: Joined, held: dict[str, float], leak: float = LEAK) -> dict[str, float]:
    """Heights of all places, some of them held: elimination, the least joined place first.

    ``joined`` is used up.
    """
    found = dict(held)
    total = {p: leak + sum(others.values()) for p, others in joined.items()}
    push = {p: leak * 0.5 for p in joined}
    for place in held:
        for other, share in joined.pop(place, {}).items():
            if other in joined:
                push[other] += share * held[place]
                del joined[other][place]
    steps = []
    while joined:
        place = min(joined, key=lambda p: len(joined[p]))
        others = joined.pop(place)
        steps.append((place, others))
        _eliminate(place, others, joined, total, push)
    for place, others in reversed(steps):
        pulled = push[place] + sum(share * found[other] for other, share in others.items())
        found[place] = pulled / total[place]
    return found


def _eliminate(
    place: str,
    others: dict[str, float],
    joined: Joined,
    total: dict[str, float],
    push: dict[str, float],
) -> None:
    """What was joined through a place is joined directly."""
    for a, share in others.items():
        del joined[a][place]
        push[a] += share * push[place] / total[place]
        total[a] -= share * share / total[place]
    for a, b in combinations(others, 2):
        more = others[a] * others[b] / total[place]
        joined[a][b] = joined[b][a] = joined[a].get(b, 0.0) + more


def _links(circuit: Circuit) -> Iterator[tuple[str, str]]:
    for segment in circuit.segments.values():
        yield segment.a, segment.b
    for part in circuit.parts.values():
        for a, b in inner_pairs(part):
            yield f"{part.id}.{a}", f"{part.id}.{b}"


def inner_pairs(part: Part) -> Iterator[tuple[str, str]]:
    """Pins between which current can run inside a part, supplies and grounds left out."""
    if part.kind in SUPPLIES or part.kind == "ground":
        yield from (
            (EXCITED, pin) for pin in part.pins if {EXCITED} < {*part.pins} and pin in MINUS
        )
        return
    if part.kind in INNER:
        yield from (pair for pair in INNER[part.kind] if set(pair) <= set(part.pins))
    elif part.positions:
        yield from dict.fromkeys(pair for pairs in part.positions.values() for pair in pairs)
    elif part.module_pins:
        yield from _module_pairs(part)
    else:
        yield from combinations(part.pins, 2)


def _module_pairs(part: Part) -> Iterator[tuple[str, str]]:
    roles = {name: pin.role for name, pin in part.module_pins.items()}
    supplies = [name for name, role in roles.items() if role == "supply"]
    grounds = [name for name, role in roles.items() if role == "ground"]
    for name, pin in part.module_pins.items():
        if gives_current(pin.role, pin.pull):
            yield from ((supply, name) for supply in supplies)
        elif pin.role != "ground" and pin.role not in BUS:
            yield from ((name, ground) for ground in grounds)


def gives_current(role: str, pull: str) -> bool:
    """Whether current leaves a module by such a pin rather than entering it."""
    return role in ("high-side", "half-bridge", "sensor supply") or pull == "up"


def _ends(circuit: Circuit) -> Iterator[tuple[str, float]]:
    """The places whose height is given: posts of supplies, and grounds."""
    for part in circuit.parts.values():
        for pin in part.pins:
            if part.kind == "ground" or (part.kind in SUPPLIES and pin in MINUS):
                yield f"{part.id}.{pin}", 1.0
            elif part.kind in SUPPLIES and pin != EXCITED:
                yield f"{part.id}.{pin}", 0.0
