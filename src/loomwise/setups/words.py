"""Setups written by hand: ``key=run, AC=on`` and ``F1 out, C2 apart``."""

import re
from collections.abc import Iterable, Mapping

from loomwise.circuit.model import Circuit
from loomwise.errors import SetupError
from loomwise.setups.setup import Setup, Undoing, make_setup
from loomwise.setups.undo import undone_edits

_UNDOING = re.compile(r"^(?P<target>\S+)\s+(?P<what>out|apart|off|new|swapped|cut|unplugged)$")
_LEAD = re.compile(r"^(?P<what>jumper|lamp)\s+(?P<a>\S+)\s+to\s+(?P<b>\S+)$")


def parse_controls(text: str) -> dict[str, str]:
    """``key=run, AC=on`` as a mapping."""
    pairs = [word.strip() for word in text.split(",") if word.strip()]
    found: dict[str, str] = {}
    for pair in pairs:
        name, sign, state = (w.strip() for w in pair.partition("="))
        if not sign or not name or not state:
            raise SetupError(f"'{pair}' is not a control and its state", "setup", "write key=run")
        if found.get(name, state) != state:
            raise SetupError(f"{name} cannot be {found[name]} and {state} at once", "setup")
        found[name] = state
    return found


def parse_undoing(circuit: Circuit, text: str) -> Undoing:
    """``F1 out``, ``C2 apart``, ``BAT off``, ``G1 off``, ``F1 new``, ``K1 swapped``,
    ``A1 unplugged``, ``F1.2-C1.1.a cut``, ``jumper A to B`` or ``lamp A to B``; checked."""
    words = " ".join(text.split())
    if match := _LEAD.match(words):
        what, places = match["what"], (match["a"], match["b"])
        for place in places:
            if place not in circuit.places and place != "body":
                raise SetupError(f"no place {place} for a {what}", "setup", "see `check --places`")
        if what == "jumper":
            _refuse_short(circuit, places)
            _refuse_module(circuit, places)
        undoing = Undoing(what, "", places)
    elif match := _UNDOING.match(words):
        undoing = Undoing(match["what"], match["target"])
    else:
        hint = "write 'F1 out', 'C2 apart', 'BAT off', 'A1 unplugged' or 'jumper A to B'"
        raise SetupError(f"'{text}' is not something undone", "setup", hint)
    undone_edits(circuit, undoing)
    return undoing


def _refuse_short(circuit: Circuit, places: tuple[str, str]) -> None:
    """No jumper from battery plus straight to minus, a ground point or the body."""
    plus = {f"{p.id}.+" for p in circuit.parts_of_kind("battery")}
    minus = {"body", *(f"{p.id}.-" for p in circuit.parts_of_kind("battery"))}
    minus |= {f"{p.id}.{pin}" for p in circuit.parts_of_kind("ground") for pin in p.pins}
    if set(places) & plus and set(places) & minus:
        hint = "never bridge the battery; use a test lamp, or a fused lead to a load"
        raise SetupError(f"a jumper {places[0]} to {places[1]} shorts the battery", "setup", hint)


def _refuse_module(circuit: Circuit, places: tuple[str, str]) -> None:
    """No powered lead onto a wire that a module listens to or drives."""
    plus = {f"{p.id}.+" for p in circuit.parts_of_kind("battery")}
    modules = {
        f"{p.id}.{name}"
        for p in circuit.parts_of_kind("module")
        for name, pin in p.module_pins.items()
        if pin.role not in ("supply", "ground")
    }
    if len(set(places) & plus) != 1:
        return
    (place,) = set(places) - plus
    if found := sorted(conductor_of(circuit, place) & modules):
        hint = "unplug the module, or command its output by scan tool"
        what = f"a powered lead on {place} reaches module pin {found[0]} and may destroy it"
        raise SetupError(what, "setup", hint)


def conductor_of(circuit: Circuit, place: str) -> set[str]:
    """All places that wires, contacts and splices join to one."""
    joined: dict[str, list[str]] = {}
    for segment in circuit.segments.values():
        joined.setdefault(segment.a, []).append(segment.b)
        joined.setdefault(segment.b, []).append(segment.a)
    for splice in circuit.parts_of_kind("splice"):
        legs = [f"{splice.id}.{pin}" for pin in splice.pins]
        for leg in legs:
            joined.setdefault(leg, []).extend(legs)
    found, queue = {place}, [place]
    while queue:
        for other in joined.get(queue.pop(), ()):
            if other not in found:
                found.add(other)
                queue.append(other)
    return found


def parse_setup(
    circuit: Circuit,
    controls: str | Mapping[str, str] = "",
    undone: Iterable[str] = (),
    after: Iterable[str | Mapping[str, str]] = (),
) -> Setup:
    """A complete, checked setup from words."""

    def as_map(words: str | Mapping[str, str]) -> Mapping[str, str]:
        return parse_controls(words) if isinstance(words, str) else words

    items = [parse_undoing(circuit, u) for text in undone for u in text.split(",") if u.strip()]
    return make_setup(circuit, as_map(controls), items, [as_map(a) for a in after])
