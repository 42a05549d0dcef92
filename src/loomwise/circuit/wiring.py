"""Lay the wires: from wire lines to segments, contacts and the units they belong to.

A line is walked from left to right. At a connector one half faces what came before, and the wire
goes on from the other half. Which is which follows from what the halves belong to.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from loomwise.circuit.draft import Draft
from loomwise.circuit.explain import nearest
from loomwise.circuit.kinds.tables import kinds, unit_defaults
from loomwise.circuit.model import Connector, Segment, Unit
from loomwise.circuit.wire import wire_resistance_ohm
from loomwise.circuit.wireline import End, WireLine, parse_wire
from loomwise.errors import InputError

INNER_OHM = 0.0005
"""A trace or bus bar inside a unit. Engineering judgement."""
CONTACT_OHM = 0.003
"""A sound mated contact. Engineering judgement."""


@dataclass(frozen=True)
class Stop:
    """Where a piece of wire ends: a pin, or one side of a contact; and what that sits in."""

    place: str
    label: str
    location: str


def read_wires(draft: Draft) -> dict[int, WireLine]:
    """The wire lines that can be read, by their number; the others are noted as problems."""
    lines: dict[int, WireLine] = {}
    for number, text in enumerate(draft.entry.wires):
        if not text and draft.is_dropped("wires", str(number)):
            continue
        try:
            lines[number] = parse_wire(text)
        except InputError as error:
            draft.add(("wires", number), error.message, error.hint)
    return lines


def add_wires(draft: Draft, lines: dict[int, WireLine]) -> None:
    """Put the segments of all wire lines, and their units, into the draft."""
    crew = _Crew(draft)
    for number, line in lines.items():
        crew.lay(number, line)


class _Crew:
    """Lays one line after the other, and remembers which places are taken."""

    def __init__(self, draft: Draft) -> None:
        self._draft = draft
        self._taken: dict[str, int] = {}

    def lay(self, number: int, line: WireLine) -> None:
        """Add the pieces and contacts of one line, unless something is wrong with it."""
        self._number = number
        # A list, so that the line is checked to its end.
        if not all([self._exists(end) for end in line.ends]) or self._repeats(line):
            return
        try:
            pairs = self._walk(line)
        except InputError as error:
            self._problem(error.message, error.hint)
            return
        if all([self._take(stop) for pair in pairs for stop in pair]):
            self._add_contacts(line)
            self._add_pieces(line, pairs)

    def _problem(self, what: str, hint: str) -> None:
        self._draft.add(("wires", self._number), what, hint)

    def _exists(self, end: End) -> bool:
        owner, pin = end
        draft = self._draft
        if draft.is_dropped("parts", owner) or draft.is_dropped("connectors", owner):
            return False
        if owner in draft.parts:
            part = draft.parts[owner]
            title, has, what = f"{part.kind} {owner}", part.pins, "pin"
        elif owner in draft.connectors:
            title, has, what = f"connector {owner}", draft.connectors[owner].cavities, "cavity"
        else:
            hint = nearest(owner, [*draft.names("parts"), *draft.names("connectors")], "names")
            self._problem(f"there is no part or connector {owner}", hint)
            return False
        if pin not in has:
            self._problem(f"{title} has no {what} {pin}", f"it has {', '.join(has[:30])}")
        return pin in has

    def _repeats(self, line: WireLine) -> bool:
        for end in line.ends:
            if line.ends.count(end) > 1:
                self._problem(f"the wire comes to {'.'.join(end)} twice", "name each end once")
                return True
        return False

    def _walk(self, line: WireLine) -> list[tuple[Stop, Stop]]:
        """The pieces of wire of a line, each from stop to stop."""
        pairs: list[tuple[Stop, Stop]] = []
        left: Stop | None = None
        for i, end in enumerate(line.ends):
            following = line.ends[i + 1] if i + 1 < len(line.ends) else None
            met, leaves = self._pass(end, left, following, line.loom)
            if left is not None:
                pairs.append((left, met))
            left = leaves
        return pairs

    def _pass(
        self, end: End, before: Stop | None, following: End | None, loom: str
    ) -> tuple[Stop, Stop]:
        """The stops by which the line comes to ``end`` and goes on; the same one at a part."""
        label = ".".join(end)
        if end[0] in self._draft.parts:
            stop = Stop(label, label, self._draft.location(end[0]))
            return stop, stop
        connector = self._draft.connectors[end[0]]
        ahead = self._owners(following) if following else ()
        met = _half_met(connector, before.location if before else None, ahead, loom)
        halves = [Stop(f"{label}.{s}", label, connector.halves[i]) for i, s in enumerate("ab")]
        self._check_back(halves[met], halves[1 - met], following)
        return halves[met], halves[1 - met]

    def _owners(self, end: End) -> tuple[str, ...]:
        if end[0] in self._draft.parts:
            return (self._draft.location(end[0]),)
        return self._draft.connectors[end[0]].halves

    def _check_back(self, met: Stop, leaves: Stop, following: End | None) -> None:
        """A part that follows a connector sits on the side the line has gone over to."""
        if following is None or following[0] not in self._draft.parts:
            return
        if self._draft.location(following[0]) == met.location:
            raise InputError(
                f"at {met.label} the line goes over to the {leaves.location} side, but "
                f"{following[0]} sits in the {met.location}, where it came from",
                hint="correct the halves of the connector, the order, or where the part sits",
            )

    def _take(self, stop: Stop) -> bool:
        """Each pin and each side of a contact takes one wire; a battery post takes several."""
        part = self._draft.parts.get(stop.place.split(".")[0])
        if part and kinds()[part.kind].many_wires and kinds()[part.kind].pins:
            return True
        if stop.place not in self._taken:
            self._taken[stop.place] = self._number
            return True
        line = self._draft.document.line(("wires", self._taken[stop.place]))
        hint = "use a splice" if stop.place == stop.label else "use another cavity, or a splice"
        what = f"{stop.label} takes one wire, and this is a second; the first is in line {line}"
        self._problem(what, hint)
        return False

    def _add_contacts(self, line: WireLine) -> None:
        for name, cavity in line.ends:
            label = f"{name}.{cavity}"
            if name not in self._draft.connectors or label in self._draft.segments:
                continue
            unit = self._contact_unit(self._draft.connectors[name], cavity)
            self._draft.segments[label] = Segment(
                id=label,
                kind="contact",
                a=f"{label}.a",
                b=f"{label}.b",
                resistance_ohm=CONTACT_OHM,
                unit=unit,
                connector=name,
                cavity=cavity,
                line=self._draft.document.line(("wires", self._number)),
            )

    def _contact_unit(self, connector: Connector, cavity: str) -> str:
        """A contact is its own repair; it is reached by reaching what its halves belong to."""
        name = f"contact {connector.id}.{cavity}"
        homes = [self._draft.units[h] for h in connector.halves if h in self._draft.units]
        reach = max((home.access_minutes for home in homes), default=0.0)
        self._add_unit(name, f"contact {cavity} of connector {connector.id}", "contact", reach)
        whole = f"connector {connector.id}"
        self._add_unit(whole, f"{whole} as a whole", "connector", reach)
        return name

    def _add_unit(self, name: str, title: str, kind: str, reach: float = 0.0) -> None:
        """A unit the file declares by that name keeps the price and minutes it gives."""
        default = unit_defaults()[kind]
        unit = Unit(name, title, default.price, default.minutes, reach)
        self._draft.units.setdefault(name, unit)

    def _add_loom(self, loom: str) -> None:
        """Several wires of a loom; the whole loom's price where the file gives it one."""
        name, title, whole = f"loom {loom}", f"{loom}, several wires", self._draft.units.get(loom)
        if whole is None:
            self._add_unit(name, title, "loom")
        else:
            self._draft.units.setdefault(name, replace(whole, id=name, title=title))

    def _add_pieces(self, line: WireLine, pairs: Sequence[tuple[Stop, Stop]]) -> None:
        wires = sum(not self._is_inner(pair) for pair in pairs)
        for pair in pairs:
            inner = self._is_inner(pair)
            segment = self._inner(pair) if inner else self._wire(pair, line, line.length_m / wires)
            if segment.id in self._draft.segments:
                what = f"this is a second wire from {pair[0].label} to {pair[1].label}"
                self._problem(what, "keep one of them")
            self._draft.segments[segment.id] = segment

    def _is_inner(self, pair: tuple[Stop, Stop]) -> bool:
        """Inside a unit, nobody can pull a new wire; in a loom one can, though it has a price."""
        a, b = pair
        return a.location == b.location and self._is_closed(a.location)

    def _is_closed(self, location: str) -> bool:
        return self._draft.is_unit(location) and location not in self._draft.looms

    def _loom(self, pair: tuple[Stop, Stop], line: WireLine) -> str:
        """The one loom that the ends belong to, where there is one; otherwise the line's."""
        ends = {stop.location for stop in pair if not self._is_closed(stop.location)} - {""}
        return ends.pop() if len(ends) == 1 else line.loom

    def _inner(self, pair: tuple[Stop, Stop]) -> Segment:
        a, b = pair
        name, line = f"{a.place}-{b.place}", self._draft.document.line(("wires", self._number))
        return Segment(name, "inner", a.place, b.place, INNER_OHM, a.location, line=line)

    def _wire(self, pair: tuple[Stop, Stop], line: WireLine, length_m: float) -> Segment:
        a, b = pair
        unit = f"wire {a.label}-{b.label}"
        looks = f"{line.colour} {line.area_mm2:.3g} mm2".strip()
        self._add_unit(unit, f"wire {a.label} to {b.label} ({looks})", "wire")
        warm_c = self._draft.entry.temperature
        loom = self._loom(pair, line)
        if loom:
            self._add_loom(loom)
        return Segment(
            id=f"{a.place}-{b.place}",
            kind="wire",
            a=a.place,
            b=b.place,
            resistance_ohm=wire_resistance_ohm(length_m, line.area_mm2, warm_c),
            unit=unit,
            wire=unit,
            colour=line.colour,
            area_mm2=line.area_mm2,
            length_m=length_m,
            loom=loom,
            line=self._draft.document.line(("wires", self._number)),
        )


def _half_met(connector: Connector, before: str | None, ahead: Sequence[str], loom: str) -> int:
    """Which half (0 or 1) faces what came before: told by that, by what follows, by the loom."""
    halves = connector.halves
    if before in halves:
        return halves.index(str(before))
    shared = [half for half in halves if half in ahead]
    if len(shared) == 1:
        return 1 - halves.index(shared[0])
    if loom in halves:
        on_loom = halves.index(loom)
        return on_loom if before is not None else 1 - on_loom
    raise InputError(
        f"which side of {connector.id} the wire comes to is not clear",
        hint=f"its halves belong to {halves[0]} and {halves[1]}: add 'in {halves[0]}' or "
        f"'in {halves[1]}', or say where the parts beside it sit",
    )
