"""A drawing as the comparison sees it: terminals, and the joints that wires make of them.

A terminal is a part's pin ("K1.87"), one side of a contact that is kept apart ("C1.2.a"), or a
ground point as a whole ("G1"). A joint is what wires and splices make one: electrically, how they
do it does not count. Contacts that are not kept apart are wires like any other.
"""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from loomwise.circuit.model import Circuit, Part, Segment

TURNABLE = ("fuse", "lamp", "resistor", "heater", "horn", "sensor")
"""Kinds that work the same either way round."""


@dataclass(frozen=True)
class Joints:
    """What hangs together: ``of`` gives each terminal's joint by number.

    ``members`` are its terminals, ``splices`` the splices in it.
    """

    of: Mapping[str, int]
    members: tuple[tuple[str, ...], ...]
    splices: tuple[tuple[str, ...], ...]

    def others(self, terminal: str) -> tuple[str, ...]:
        """What a terminal is joined to."""
        return tuple(t for t in self.members[self.of[terminal]] if t != terminal)


class _Sets:
    """Disjoint sets of names."""

    def __init__(self) -> None:
        self._up: dict[str, str] = {}

    def find(self, name: str) -> str:
        while (up := self._up.setdefault(name, name)) != name:
            self._up[name] = self._up[up]
            name = up
        return name

    def join(self, a: str, b: str) -> None:
        self._up[self.find(a)] = self.find(b)


def joints(circuit: Circuit, apart: Collection[str] = ()) -> Joints:
    """The joints of a drawing; ``apart`` names contacts whose two sides stay terminals."""
    sets = _Sets()
    for part in circuit.parts_of_kind("splice", "ground"):
        for pin in part.pins:
            sets.join(f"{part.id}.{pin}", part.id)
    for segment in circuit.segments.values():
        if segment.id not in apart:
            sets.join(segment.a, segment.b)
    number: dict[str, int] = {}
    of = {
        t: number.setdefault(sets.find(t), len(number)) for t in _all_terminals(circuit, apart)
    }  # fmt: skip
    for splice in circuit.parts_of_kind("splice"):
        number.setdefault(sets.find(splice.id), len(number))
    members: list[list[str]] = [[] for _ in number]
    splices: list[list[str]] = [[] for _ in number]
    for terminal, joint in of.items():
        members[joint].append(terminal)
    for splice in circuit.parts_of_kind("splice"):
        splices[number[sets.find(splice.id)]].append(splice.id)
    return Joints(of, tuple(map(tuple, members)), tuple(map(tuple, splices)))


def _all_terminals(circuit: Circuit, apart: Collection[str]) -> Iterator[str]:
    for part in circuit.parts.values():
        yield from terminals(part)
    for name in apart:
        yield from (circuit.segments[name].a, circuit.segments[name].b)


def terminals(part: Part) -> dict[str, str]:
    """A part's terminals, each with its role: what it is, whatever its name. None for a splice."""
    if part.kind == "splice":
        return {}
    if part.kind == "ground":
        return {part.id: "leg"}
    return {f"{part.id}.{pin}": _role(part, pin) for pin in part.pins}


def _role(part: Part, pin: str) -> str:
    if turnable(part):
        return "end"
    if part.kind == "relay":
        if pin in ("85", "86"):
            return "coil"
        return "87" if part.options["contact"] == "NC" and pin == "87a" else pin
    if part.kind == "module":
        return f"{part.module_pins[pin].role} {part.module_pins[pin].pull}"
    if part.kind == "switch":
        joined = (sum(pin in pair for pair in pairs) for pairs in part.positions.values())
        return " ".join(map(str, joined))
    return pin


def turnable(part: Part) -> bool:
    """Whether the part works the same with its two pins exchanged."""
    return part.kind in TURNABLE or (part.kind == "switch" and len(part.pins) == 2)


def owner(terminal: str) -> str:
    """The part or connector a terminal belongs to."""
    return terminal.partition(".")[0]


def place_of(circuit: Circuit, terminal: str) -> str:
    """A place that stands for the terminal: a ground point's first pin, otherwise itself."""
    part = circuit.parts.get(terminal)
    return f"{part.id}.{part.pins[0]}" if part else terminal


def shown(terminal: str) -> str:
    """A terminal as the reader knows it: a contact without its side."""
    pieces = terminal.split(".")
    return ".".join(pieces[:2])


def wires_at(circuit: Circuit, terminal: str) -> tuple[Segment, ...]:
    """The wires (or traces) that end at a terminal; a ground point's are those of all its pins."""
    part = circuit.parts.get(terminal)
    ends = {f"{part.id}.{pin}" for pin in part.pins} if part else {terminal}
    return tuple(s for s in circuit.segments.values() if s.kind != "contact" and {s.a, s.b} & ends)


def runs(circuit: Circuit) -> dict[str, list[Segment]]:
    """For every place the wires that run from it, through plugs, to the next pins."""
    at: dict[str, list[Segment]] = {}
    for segment in circuit.segments.values():
        at.setdefault(segment.a, []).append(segment)
        at.setdefault(segment.b, []).append(segment)
    return {place: list(_run(circuit, at, place)) for place in at}


def _run(circuit: Circuit, at: Mapping[str, list[Segment]], start: str) -> Iterator[Segment]:
    seen: set[str] = set()
    todo = [start]
    while todo:
        here = todo.pop()
        for segment in at.get(here, ()):
            if segment.id not in seen:
                seen.add(segment.id)
                there = segment.b if segment.a == here else segment.a
                if owner(there) not in circuit.parts:
                    todo.append(there)
                if segment.kind == "wire":
                    yield segment
