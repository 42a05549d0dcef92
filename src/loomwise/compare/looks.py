"""Differences that do not change the function: cavities, plugs, splices, looks, names."""

from collections.abc import Iterator

from loomwise.circuit.kinds.tables import kinds
from loomwise.circuit.model import Segment
from loomwise.compare.difference import Difference
from loomwise.compare.drawing import owner, turnable, wires_at
from loomwise.compare.pairing import Pairing
from loomwise.compare.say import listed
from loomwise.units import format_quantity

LENGTH, AREA = 0.1, 0.02
"""Lengths and sizes nearer than this (relative) are the same: drawings round, and lengths are
estimated. Engineering judgement."""


def looks(p: Pairing) -> Iterator[Difference]:
    """All differences of drawing and naming."""
    for check in (_cavities, _connectors, _splices, _turned, _wires, _names, _pin_names):
        yield from check(p)


def _cavities(p: Pairing) -> Iterator[Difference]:
    for x, y in p.plugs.connectors.items():
        pairs = [
            (p.a.segments[c].cavity, p.b.segments[d].cavity)
            for c, d in p.plugs.contacts.items()
            if p.a.segments[c].connector == x
        ]
        wrong = [(c, d) for c, d in pairs if c != d]
        if wrong:
            said = ", ".join(f"{c} in A is {d} in B" for c, d in wrong)
            text = f"connector {x}: cavities numbered otherwise{_manner(p, x, wrong)}: {said}"
            yield Difference(
                "cavity", text, tuple(f"{x}.{c}" for c, _ in wrong),
                tuple(f"{y}.{d}" for _, d in wrong),
            )  # fmt: skip


def _manner(p: Pairing, connector: str, wrong: list[tuple[str, str]]) -> str:
    """Whether the renumbering follows a rule a person would follow."""
    known = p.a.connectors[connector].cavities
    at = {name: k for k, name in enumerate(known)}
    if len(wrong) > 1 and all(c in at and d in at for c, d in wrong):
        if all(at[c] + at[d] == len(known) - 1 for c, d in wrong):
            return " (mirrored)"
        if len({at[d] - at[c] for c, d in wrong}) == 1:
            return " (shifted)"
        if len(wrong) == 2 and wrong[0] == wrong[1][::-1]:
            return " (exchanged on both sides)"
    return ""


def _connectors(p: Pairing) -> Iterator[Difference]:
    """Plugs and cavities that only one drawing has; wires through them are the same wires."""
    for circuit, known, letter in (
        (p.a, p.plugs.contacts.keys(), "A"),
        (p.b, set(p.plugs.contacts.values()), "B"),
    ):
        for name in circuit.connectors:
            used = [s for s in circuit.segments.values() if s.connector == name]
            lone = tuple(s.id for s in used if s.id not in known)
            if not lone:
                continue
            whole = len(lone) == len(used)
            cavities = listed(circuit.segments[c].cavity for c in lone)
            text = f"connector {name} is only in {letter}" if whole else (
                f"connector {name}: cavity {cavities} is used only in {letter}"
            )  # fmt: skip
            yield Difference("connector", text, *((lone, ()) if letter == "A" else ((), lone)))


def _splices(p: Pairing) -> Iterator[Difference]:
    """The same pins joined by more or fewer splices: the same in function."""
    for one, other in p.joint.items():
        here, there = p.in_a.splices[one], p.in_b.splices[other]
        if len(here) != len(there):
            pins = listed(dict.fromkeys(t.rsplit(".", 1)[0] if t.count(".") == 2 else t
                                        for t in p.here(one)))  # fmt: skip
            text = (
                f"{pins} meet at {listed(here) or 'no splice'} in A, "
                f"at {listed(there) or 'no splice'} in B: the same in function"
            )
            yield Difference("splice", text, here, there)


def _turned(p: Pairing) -> Iterator[Difference]:
    for one, other in p.parts.items():
        part = p.a.parts[one]
        pins = part.pins if turnable(part) else ("85", "86") if part.kind == "relay" else ()
        crossed = [
            (f"{one}.{pin}", p.terminals[f"{one}.{pin}"])
            for pin in pins
            if f"{one}.{pin}" in p.terminals
            and p.terminals[f"{one}.{pin}"] in {f"{other}.{x}" for x in pins if x != pin}
        ]
        if len(crossed) == 2:
            text = f"{kinds()[part.kind].title} {one}: pins {listed(pins)} the other way round; "
            a_places, b_places = zip(*crossed, strict=True)
            yield Difference("turned", text + "the same in function", a_places, b_places)


def _wires(p: Pairing) -> Iterator[Difference]:
    """Colour, size and length of wires that lead from and to the same."""
    seen: set[tuple[str, str]] = set()
    moved = {m.terminal for m in p.moves()}
    lines = {s.line for t in moved for s in wires_at(p.a, t)}  # their lengths are shared out anew
    gone = {(s.colour, s.area_mm2) for s in p.a.segments.values() if s.line in lines}
    for t, u in p.terminals.items():
        here, there = wires_at(p.a, t), wires_at(p.b, u)
        if len(here) != 1 or len(there) != 1 or {here[0].kind, there[0].kind} != {"wire"}:
            continue
        one, other = here[0], there[0]
        if {one.a, one.b} & moved or (one.wire, other.wire) in seen:
            continue
        seen.add((one.wire, other.wire))
        if one.line in lines and (other.colour, other.area_mm2) in gone:
            continue  # its looks have gone over with the end that leads elsewhere
        whole = one.line not in lines and _far_end(p, one, t) == _far_end(p, other, u, in_b=True)
        if differing := _differing(one, other, whole):
            text = f"{one.wire}: {differing[0]} in A, {differing[1]} in B"
            yield Difference("wire", text, (one.wire,), (other.wire,))


def _far_end(p: Pairing, wire: Segment, terminal: str, in_b: bool = False) -> str:
    """The other end of a wire in a's names; a splice or ground point as a whole."""
    end = wire.b if terminal in (wire.a, owner(wire.a)) else wire.a
    parts = {v: k for k, v in p.parts.items()} if in_b else {}
    whole = (p.b if in_b else p.a).parts.get(owner(end))
    if whole is not None and whole.kind in ("splice", "ground"):
        return parts.get(whole.id, whole.id)
    return p.back.get(end, end) if in_b else end


def _differing(one: Segment, other: Segment, whole: bool) -> tuple[str, str] | None:
    """Colour, size and (of a ``whole`` wire) length, where they differ."""
    lengths, areas = (one.length_m, other.length_m), (one.area_mm2, other.area_mm2)
    facts = [
        (one.colour or "no colour", other.colour or "no colour", one.colour != other.colour),
        (*_shown(*areas, "mm2"), _apart(*areas, AREA)),
        (*_shown(*lengths, "m"), whole and _apart(*lengths, LENGTH)),
    ]
    differing = [(here, there) for here, there, differs in facts if differs]
    if not differing:
        return None
    return " ".join(h for h, _ in differing), " ".join(t for _, t in differing)


def _shown(one: float, other: float, unit: str) -> tuple[str, str]:
    return format_quantity(one, unit), format_quantity(other, unit)


def _apart(one: float, other: float, share: float) -> bool:
    return abs(one - other) > share * max(one, other)


def _names(p: Pairing) -> Iterator[Difference]:
    pairs = [(p.a.parts[x].kind, x, y) for x, y in p.parts.items()]
    pairs += [("connector", x, y) for x, y in p.plugs.connectors.items()]
    for kind, x, y in pairs:
        if x != y:
            yield Difference("name", f"the same {kind}: {x} in A, {y} in B", (x,), (y,))


def _pin_names(p: Pairing) -> Iterator[Difference]:
    for t, u in p.terminals.items():
        part = p.a.parts.get(owner(t))
        if part is None or part.kind not in ("module", "switch") or turnable(part):
            continue
        pin, other = t.partition(".")[2], u.partition(".")[2]
        if pin != other:
            text = f"the same pin of {part.kind} {part.id}: {pin} in A, {other} in B"
            yield Difference("name", text, (t,), (u,))
