"""Finds a way from battery plus to minus through wires, contacts, splices and grounds alone."""

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass

from loomwise.circuit.model import BODY, Circuit

JOINS = ("splice", "ground")


@dataclass(frozen=True)
class Short:
    """The short: the line of its first wire, what it is, and what to do."""

    line: int
    what: str
    hint: str


def dead_short(circuit: Circuit) -> Short | None:
    """The shortest such way, or None: then any current has a fuse or a part in its path."""
    edges = _edges(circuit)
    for battery in circuit.parts_of_kind("battery"):
        way = _way(edges, f"{battery.id}.+", f"{battery.id}.-")
        if way:
            lines = sorted({line for _, line in way if line})
            through = ", ".join(place for place, _ in way[:-1]) or "one wire"
            listed = ", ".join(str(n) for n in lines)
            return Short(
                lines[0] if lines else battery.line,
                f"{battery.id}.+ and {battery.id}.- are shorted, through {through}",
                f"a fuse, a switch or a load is missing on this way; see line {listed}",
            )
    return None


Edges = dict[str, list[tuple[str, int]]]


def _edges(circuit: Circuit) -> Edges:
    edges: Edges = {}
    for a, b, line in _pairs(circuit):
        edges.setdefault(a, []).append((b, line))
        edges.setdefault(b, []).append((a, line))
    return edges


def _pairs(circuit: Circuit) -> Iterator[tuple[str, str, int]]:
    for seg in circuit.segments.values():
        yield seg.a, seg.b, seg.line
    for part in circuit.parts_of_kind(*JOINS):
        middle = BODY if part.kind == "ground" else part.id
        for pin in part.pins:
            yield f"{part.id}.{pin}", middle, 0


def _way(edges: Edges, start: str, goal: str) -> list[tuple[str, int]]:
    """Places on the shortest way, each with the line that leads to it; empty if there is none."""
    came: dict[str, tuple[str, int]] = {start: ("", 0)}
    queue = deque([start])
    while queue and goal not in came:
        here = queue.popleft()
        for there, line in edges.get(here, []):
            if there not in came:
                came[there] = here, line
                queue.append(there)
    way: list[tuple[str, int]] = []
    at = goal if goal in came else start
    while at != start:
        way.append((at, came[at][1]))
        at = came[at][0]
    return way[::-1]
