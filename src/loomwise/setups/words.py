"""Setups written by hand: ``key=run, AC=on`` and ``F1 out, C2 apart``."""

import re
from collections.abc import Iterable, Mapping

from loomwise.circuit.model import Circuit
from loomwise.errors import SetupError
from loomwise.setups.setup import Setup, Undoing, make_setup
from loomwise.setups.undo import undone_edits

_UNDOING = re.compile(r"^(?P<target>\S+)\s+(?P<what>out|apart|off|new)$")
_JUMPER = re.compile(r"^jumper\s+(?P<a>\S+)\s+to\s+(?P<b>\S+)$")


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
    """``F1 out``, ``C2 apart``, ``BAT off``, ``F1 new`` or ``jumper A to B``; checked."""
    words = " ".join(text.split())
    if match := _JUMPER.match(words):
        places = match["a"], match["b"]
        for place in places:
            if place not in circuit.places and place != "body":
                raise SetupError(f"no place {place} for a jumper", "setup", "see `check --places`")
        _refuse_short(circuit, places)
        undoing = Undoing("jumper", "", places)
    elif match := _UNDOING.match(words):
        undoing = Undoing(match["what"], match["target"])
    else:
        hint = "write 'F1 out', 'C2 apart', 'BAT off' or 'jumper A to B'"
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
