"""Faults of wires, inner traces, contacts, splices and grounds."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import dropwhile, islice, product

from loomwise.circuit.model import BODY, Circuit, Part, Segment
from loomwise.edits import Bridge, Open
from loomwise.faults.draft import Draft, Variant, grid, one
from loomwise.faults.grid import PER_DECADE, cells, series_range_ohm
from loomwise.faults.tables import mode

SHORT_OHM = (0.03, 10.0)
LEAK_OHM = (10.0, 1e6)
CHAFED = "short to wire beside it"
CHAFED_OHM = (SHORT_OHM[0], LEAK_OHM[1])
LEAKS_PER_DECADE = 2
TAPPED_FROM_A, TAPS_A = 0.2, (0.5, 3.0)
"""What a wire carries that somebody tapped, and what he hung on it: engineering judgement."""
ENDS_ALIKE_M, ENDS_ALIKE_OHM = 1.0, 0.01
"""A wire no longer and of no more resistance than this has its short at one end: the place moves a
reading by less than a meter shows. Engineering judgement."""
Currents = Mapping[str, float]


def conductor_faults(circuit: Circuit, currents_a: Currents) -> Iterator[Draft]:
    """All faults of conductors, drafts without weights."""
    for seg in circuit.segments.values():
        yield from _series(seg.kind, seg.id, seg.unit, title(circuit, seg), circuit, currents_a)
        if seg.kind == "wire":
            yield from _shorts(circuit, seg)
            yield from _tapped(circuit, seg, currents_a)
            yield from _chafed(circuit, seg)
        if seg.kind == "contact":
            yield from _leaks(circuit, seg)
    for part in circuit.parts_of_kind("splice"):
        applies = "splice" if part.unit == part.id else "inner"
        for pin in part.pins:
            where = f"{part.id}.{pin}"
            yield from _series(applies, where, part.unit, f"splice {where}", circuit, currents_a)
    for part in circuit.parts_of_kind("ground"):
        yield from _ground(part, circuit, currents_a)


def title(circuit: Circuit, seg: Segment) -> str:
    """What a segment is called in a sentence."""
    return circuit.units[seg.unit].title if seg.kind != "inner" else f"{seg.a} to {seg.b}"


def _series(
    applies: str, where: str, unit: str, name: str, circuit: Circuit, currents_a: Currents
) -> Iterator[Draft]:
    size = 1.0
    limits = series_range_ohm(currents_a.get(where, 0.0), circuit.supply_v)
    yield one(applies, "open", where, unit, name, Open(where))
    yield grid(applies, "resistance", where, unit, name, [where], limits, size)


def _ground(part: Part, circuit: Circuit, currents_a: Currents) -> Iterator[Draft]:
    stud = f"{part.id}.stud"
    yield from _series("ground", stud, part.unit, f"ground {part.id}", circuit, currents_a)
    for pin in part.pins:
        where = f"{part.id}.{pin}"
        name = f"ground {part.id}, eyelet {pin}"
        yield from _series("ground leg", where, part.unit, name, circuit, currents_a)


def _shorts(circuit: Circuit, seg: Segment) -> Iterator[Draft]:
    feed = next(f"{p.id}.+" for p in circuit.parts_of_kind("battery"))
    for name, other in (("short to ground", BODY), ("short to feed", feed)):
        if other in (seg.a, seg.b):
            continue  # it is that feed
        variants = [
            (edits, cell, f"{word} at {end}")
            for end in short_places(seg)
            for edits, cell, word in _bridges(end, other, SHORT_OHM)
        ]
        words = title(circuit, seg)
        yield Draft(mode("wire", name), seg.id, seg.unit, words, variants, max(seg.length_m, 0.1))


def _tapped(circuit: Circuit, seg: Segment, currents_a: Currents) -> Iterator[Draft]:
    """Something that was fitted later hangs on a wire that carries current."""
    if abs(currents_a.get(seg.id, 0.0)) >= TAPPED_FROM_A:
        variants: list[Variant] = [
            ((Bridge(seg.b, BODY, circuit.supply_v / amps),), None, f"{amps:g} A")
            for amps in TAPS_A
        ]
        words = title(circuit, seg)
        yield Draft(mode("wire", "tapped"), seg.id, seg.unit, words, variants)


def short_places(seg: Segment) -> tuple[str, ...]:
    """Where a short along a wire is taken to sit: half of it at either end if the end matters."""
    alike = seg.length_m <= ENDS_ALIKE_M and seg.resistance_ohm <= ENDS_ALIKE_OHM
    return (seg.a,) if alike else (seg.a, seg.b)


def _bridges(
    a: str, b: str, range_ohm: tuple[float, float], per_decade: int = PER_DECADE
) -> Sequence[Variant]:
    return [
        ((Bridge(a, b, c.middle_ohm),), c, f"{c.middle_ohm:.3g} ohm")
        for c in cells(f"bridge {a} {b}", *range_ohm, per_decade)
    ]


def _chafed(circuit: Circuit, seg: Segment) -> Iterator[Draft]:
    found = beside(circuit, seg)
    if found is None:
        return
    other, a, b = found
    row, variants = mode("wire", CHAFED), _bridges(a, b, CHAFED_OHM, LEAKS_PER_DECADE)
    where = f"{seg.id} and {other.id}"
    name = f"{title(circuit, seg)} and {title(circuit, other)}"
    together_m = max(min(seg.length_m, other.length_m), 0.1)
    yield Draft(row, where, seg.unit, name, variants, together_m)


def beside(circuit: Circuit, seg: Segment) -> tuple[Segment, str, str] | None:
    """The next wire of the file in the same loom that starts or ends at the same part or plug, and
    the places of both there: taken to lie side by side. One neighbour a wire keeps the list short.
    """

    def owner(place: str) -> str:
        return circuit.places[place].owner

    later = dropwhile(lambda s: s.id != seg.id, circuit.segments.values())
    for other in islice(later, 1, None):
        if other.kind == "wire" and other.loom == seg.loom != "":
            for a, b in product((seg.a, seg.b), (other.a, other.b)):
                if a != b and owner(a) == owner(b):
                    return other, a, b
    return None


def _leaks(circuit: Circuit, seg: Segment) -> Iterator[Draft]:
    for other in neighbours(circuit, seg):
        if seg.id < other.id:
            variants = _bridges(seg.a, other.a, LEAK_OHM, LEAKS_PER_DECADE)
            where = f"{seg.id} and {other.id}"
            name = f"contacts {seg.cavity} and {other.cavity} of {seg.connector}"
            yield Draft(mode("contact", "leak to neighbour"), where, seg.unit, name, variants)


def neighbours(circuit: Circuit, seg: Segment) -> tuple[Segment, ...]:
    """Contacts in the cavities beside, above and below, by the connector's grid.

    Cavities are counted along the rows; a connector says how many rows it has.
    """
    connector = circuit.connectors[seg.connector]
    width = -(-len(connector.cavities) // connector.rows)

    def spot(cavity: str) -> tuple[int, int]:
        return divmod(connector.cavities.index(cavity), width)

    row, column = spot(seg.cavity)
    return tuple(
        other
        for other in circuit.segments.values()
        if other.connector == seg.connector
        and other.kind == "contact"
        and sum(abs(p - q) for p, q in zip(spot(other.cavity), (row, column), strict=True)) == 1
    )
