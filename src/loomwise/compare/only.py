"""Parts that only one drawing has, and the moved wires that this explains."""

from collections.abc import Iterator, Mapping, Sequence

from loomwise.circuit.kinds.tables import kinds
from loomwise.circuit.model import Circuit, Part
from loomwise.compare.difference import Difference
from loomwise.compare.drawing import shown, terminals, wires_at
from loomwise.compare.pairing import Pairing
from loomwise.compare.say import listed, names_of
from loomwise.edits import Edit, Open
from loomwise.units import format_quantity


def only_a(p: Pairing) -> tuple[Part, ...]:
    """Parts of a that b does not have; splices are no parts here."""
    return tuple(x for x in p.a.parts.values() if x.id not in p.parts and x.kind != "splice")


def only_b(p: Pairing) -> tuple[Part, ...]:
    """Parts of b that a does not have."""
    known = set(p.parts.values())
    return tuple(x for x in p.b.parts.values() if x.id not in known and x.kind != "splice")


def explaining(p: Pairing, was: int, now: int) -> str:
    """The part in series with a wire, in one drawing only, because of which a joint of a is two in
    b, or two of a one in b; empty if there is none."""
    origin, became = p.origin.get(now), p.joint.get(was)
    for part in only_a(p):
        if _ends(p.in_a.of, part) == {was, origin}:
            return part.id
    for part in only_b(p):
        if _ends(p.in_b.of, part) == {now, became}:
            return part.id
    return ""


def _ends(of: Mapping[str, int], part: Part) -> set[int]:
    found = [of[t] for t in terminals(part)]
    return set(found) if len(found) == 2 else set()


def only(p: Pairing, also: Mapping[str, Sequence[Edit]]) -> Iterator[Difference]:
    """What one drawing lacks. ``also`` has, by part, the edits of wires that the part explains."""
    for part in only_a(p):
        cut = [Open(s.id) for t in terminals(part) for s in wires_at(p.a, t)]
        text = f"{_title(part)} is only in A{_where(p, p.a, part)}"
        edits = (*cut, *also.get(part.id, ()))
        yield Difference("part", text, (part.id,), (), edits, expressible=True)
    for part in only_b(p):
        text = f"{_title(part)} is only in B{_where(p, p.b, part)}"
        # A ground point that a lacks comes with the wires that go to it: see rewired.
        yield Difference("part", text, (), (part.id,), (), part.kind == "ground")


def _title(part: Part) -> str:
    first = next((v for v in kinds()[part.kind].values if v.required), None)
    size = f" ({format_quantity(part.values[first.name], first.unit)})" if first else ""
    return f"{kinds()[part.kind].title} {part.id}{size}"


def _where(p: Pairing, circuit: Circuit, part: Part) -> str:
    """Between what a part of two pins sits."""
    in_b = circuit is p.b
    if len(terminals(part)) != 2:
        return ""
    cut = p.in_b if in_b else p.in_a
    ends = []
    for t in terminals(part):
        others = [p.back.get(n, n) if in_b else n for n in cut.others(t)]
        ends.append(listed(names_of(p, others, in_b)) or f"nothing (at {shown(t)})")
    return f", between {ends[0]}{',' * (' and ' in ends[0])} and {ends[1]}"
