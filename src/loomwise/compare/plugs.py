"""Find the same connectors and cavities in two drawings, by what passes through them."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from loomwise.circuit.model import Circuit
from loomwise.compare.drawing import Joints, joints

SAME_COUNT, SAME_NAME, SAME_HALF = 0.15, 0.1, 0.05
"""Hints against 1 for a side that leads to the same things. Engineering judgement."""
LEAST = 0.5
"""Below this (2: both sides lead to the same) two contacts are not taken for one."""


@dataclass(frozen=True)
class Side:
    """What lies on one side of a contact: pins, and how many contacts before them."""

    pins: frozenset[str]
    contacts: int


@dataclass(frozen=True)
class Plugs:
    """Connectors of a to those of b, contacts to contacts, and where b has the halves exchanged."""

    connectors: Mapping[str, str]
    contacts: Mapping[str, str]
    turned: frozenset[str]

    def sides(self, contact: str) -> Iterator[tuple[str, str]]:
        """The two places of a contact of a, each with its place in b."""
        turned = contact.partition(".")[0] in self.turned
        for side in "ab":
            there = {"a": "b", "b": "a"}[side] if turned else side
            yield f"{contact}.{side}", f"{self.contacts[contact]}.{there}"


def match_plugs(a: Circuit, b: Circuit, pins: Mapping[str, str]) -> Plugs:
    """Match connectors best first, and their contacts with them."""
    sides_a, sides_b = _sides(a, pins), _sides(b, None)
    ranked = []
    for x in a.connectors:
        for y in b.connectors:
            found = _contacts(a, b, x, y, sides_a, sides_b)
            hint = SAME_NAME * (x == y) + SAME_HALF * _halves(a, b, x, y)
            most = max(_count(sides_a, x), _count(sides_b, y), 1)
            ranked.append((-sum(s for s, *_ in found) / most - hint, x, y, found))
    return _chosen(sorted(ranked))


Contact = tuple[float, str, str, bool]
"""Likeness, contact of a, contact of b, and whether b's sides are the other way round."""


def _chosen(ranked: list[tuple[float, str, str, list[Contact]]]) -> Plugs:
    connectors: dict[str, str] = {}
    contacts: dict[str, str] = {}
    turned: set[str] = set()
    for _, x, y, found in ranked:
        if not found or x in connectors or y in connectors.values():
            continue
        connectors[x] = y
        contacts |= {c: d for _, c, d, _ in found}
        if sum(score if flip else -score for score, _, _, flip in found) > 0:
            turned.add(x)
    return Plugs(connectors, contacts, frozenset(turned))


def _halves(a: Circuit, b: Circuit, x: str, y: str) -> int:
    return len({*a.connectors[x].halves} & {*b.connectors[y].halves})


def _count(sides: Mapping[str, tuple[Side, Side]], connector: str) -> int:
    return sum(c.partition(".")[0] == connector for c in sides)


def _contacts(
    a: Circuit, b: Circuit, x: str, y: str,
    sides_a: Mapping[str, tuple[Side, Side]], sides_b: Mapping[str, tuple[Side, Side]],
) -> list[Contact]:  # fmt: skip
    """The contacts of two connectors, matched best first."""
    ranked = []
    for c in (c for c in sides_a if c.partition(".")[0] == x):
        for d in (d for d in sides_b if d.partition(".")[0] == y):
            score, turned = _alike(sides_a[c], sides_b[d])
            if score >= LEAST:
                score += SAME_NAME * (a.segments[c].cavity == b.segments[d].cavity)
                ranked.append((-score, c, d, turned))
    found: dict[str, Contact] = {}
    for score, c, d, turned in sorted(ranked):
        if c not in found and d not in (done[2] for done in found.values()):
            found[c] = (-score, c, d, turned)
    return list(found.values())


def _alike(one: tuple[Side, Side], other: tuple[Side, Side]) -> tuple[float, bool]:
    straight = sum(_share(s, t) for s, t in zip(one, other, strict=True))
    turned = sum(_share(s, t) for s, t in zip(one, reversed(other), strict=True))
    return max((straight, False), (turned, True), key=lambda found: found[0])


def _share(one: Side, other: Side) -> float:
    either = len(one.pins | other.pins)
    same = len(one.pins & other.pins) / either if either else 0.0
    return same + SAME_COUNT * (one.contacts == other.contacts)


def _sides(circuit: Circuit, pins: Mapping[str, str] | None) -> dict[str, tuple[Side, Side]]:
    """What lies on both sides of every contact, in b's names (``pins`` None: it is b)."""
    contacts = [s.id for s in circuit.segments.values() if s.kind == "contact"]
    cut = joints(circuit, contacts)
    places = {place for c in contacts for place in (f"{c}.a", f"{c}.b")}
    return {
        c: (_beyond(cut, places, f"{c}.a", pins), _beyond(cut, places, f"{c}.b", pins))
        for c in contacts
    }


def _beyond(cut: Joints, places: set[str], start: str, pins: Mapping[str, str] | None) -> Side:
    """Everything on one side of a contact, over the contacts that follow."""
    found: set[str] = set()
    seen, todo, count = {cut.of[start]}, [start], 0
    while todo:
        at = todo.pop()
        for terminal in cut.members[cut.of[at]]:
            if terminal not in places:
                found.add(
                    terminal if pins is None else pins.get(terminal, f"only in a: {terminal}")
                )
                continue
            across = terminal[:-1] + ("b" if terminal[-1] == "a" else "a")
            if terminal[:-2] != start[:-2] and cut.of[across] not in seen:
                seen.add(cut.of[across])
                todo.append(across)
                count += 1
    return Side(frozenset(found), count)
