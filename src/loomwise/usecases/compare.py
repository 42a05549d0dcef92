"""Two drawings of one circuit, side by side."""

from dataclasses import dataclass

from loomwise import compare as core
from loomwise.circuit.model import Circuit
from loomwise.usecases.files import find_circuit


@dataclass(frozen=True)
class DrawingShown:
    """One of the two drawings, and where it was taken from."""

    file: str
    title: str
    sources: tuple[str, ...]


@dataclass(frozen=True)
class DifferenceShown:
    """One difference. ``a_places`` and ``b_places`` name what it speaks of, each in its own
    drawing's names. ``kind`` is supply, part, exchanged, leads elsewhere, missing, extra, contact,
    positions, module pin, logic, value, ground, cavity, connector, splice, turned or wire.

    ``in_function``: the circuits do not do the same; otherwise they are only drawn otherwise.
    ``expressed``: the reasoning can work with both drawings where this is the difference.
    """

    kind: str
    text: str
    a_places: tuple[str, ...]
    b_places: tuple[str, ...]
    in_function: bool
    expressed: bool


@dataclass(frozen=True)
class Renamed:
    """One thing under two names."""

    a: str
    b: str
    text: str


@dataclass(frozen=True)
class Compared:
    """The answer. ``same``: nothing but names and ways of drawing differs.

    ``matched`` counts the parts that both have, splices aside; ``renamed`` lists those with two
    names.
    """

    same: bool
    a: DrawingShown
    b: DrawingShown
    matched: int
    differences: tuple[DifferenceShown, ...]
    renamed: tuple[Renamed, ...]


def compare_sources(first: str, second: str) -> Compared:
    """Compare two circuit files, or circuits on the shelf.

    Raises
    ------
    InputError : a file that cannot be read, with everything wrong in it.
    """
    a, b = find_circuit(first), find_circuit(second)
    found = core.compare(a, b)
    listed = [d for d in found.differences if d.kind != "name"]
    names = [d for d in found.differences if d.kind == "name"]
    return Compared(
        same=found.same,
        a=_shown(first, a),
        b=_shown(second, b),
        matched=sum(a.parts[p].kind != "splice" for p in found.parts),
        differences=tuple(
            DifferenceShown(d.kind, d.text, d.a_places, d.b_places, d.in_function, d.expressible)
            for d in listed
        ),
        renamed=tuple(Renamed(d.a_places[0], d.b_places[0], d.text) for d in names),
    )


def _shown(file: str, circuit: Circuit) -> DrawingShown:
    sources = tuple(f"{s.name} ({s.drawn})" for s in circuit.sources)
    return DrawingShown(file, circuit.title, sources)
