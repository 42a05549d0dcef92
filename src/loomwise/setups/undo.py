"""Undoings as edits, and which of them a circuit allows."""

from collections.abc import Collection, Iterable

from loomwise.circuit.model import Circuit, Part
from loomwise.edits import Bridge, Edit, Hold, Limit, Open, Scale, SetOhm
from loomwise.edits.relays import CONTACTS, REVERSED
from loomwise.errors import SetupError
from loomwise.setups.setup import Undoing

JUMPER_OHM = 0.02
PLUG_IN: dict[str, tuple[str, ...]] = {
    "fuse": ("link",), "relay": ("coil", "make"), "breaker": ("link",),
    "split-charge relay": ("coil", "make"), "flasher": ("draw", "make"),
}  # fmt: skip
"""Kinds that come out, unless they are fixed, and what is parted then."""


def undoings(circuit: Circuit) -> tuple[Undoing, ...]:
    """Everything that can be taken out or apart without tools for cutting."""
    outs = [p.id for p in circuit.parts_of_kind(*PLUG_IN) if not p.fixed]
    apart = [c.id for c in circuit.connectors.values() if contacts(circuit, c.id)]
    return (
        *(Undoing("out", part) for part in outs),
        *(Undoing("apart", connector) for connector in apart),
    )


def with_new_fuses(edits: Iterable[Edit], fresh: Collection[str]) -> tuple[Edit, ...]:
    """The edits without those that a new fuse in each of these holders takes away: blown, missing,
    bridged or of a wrong rating. A poor contact of the holder stays."""

    def gone(edit: Edit) -> bool:
        if isinstance(edit, Hold | Limit):
            return edit.device in fresh
        link = isinstance(edit, Open | Scale | SetOhm) and edit.branch.removesuffix(".link")
        return bool(link) and link in fresh

    return tuple(e for e in edits if not gone(e))


def contacts(circuit: Circuit, connector: str) -> tuple[str, ...]:
    """Segment ids of a connector's mated contacts."""
    return tuple(
        s.id for s in circuit.segments.values() if s.kind == "contact" and s.connector == connector
    )


def undone_edits(circuit: Circuit, undoing: Undoing) -> tuple[Edit, ...]:
    """The edits that an undoing makes.

    Raises
    ------
    SetupError : the thing is not there, is soldered in, or cannot be undone like this.
    """
    if undoing.what == "jumper":
        a, b = undoing.places
        return (Bridge(a, b, JUMPER_OHM),)
    if undoing.what == "apart":
        return _apart(circuit, undoing.target)
    part = circuit.parts.get(undoing.target)
    if part is None:
        raise SetupError(f"no part {undoing.target} to take {undoing.what}", "setup")
    if undoing.what == "off" and part.kind == "battery":
        return (Open(f"{part.id}.cell"),)
    if undoing.what == "new" and part.kind == "fuse":
        return ()  # it may blow again: see with_new_fuses
    if undoing.what == "out":
        return _out(part)
    raise SetupError(f"{undoing.target} cannot be put {undoing.what}", "setup", _ALLOWED)


_ALLOWED = "fuses, breakers and plug-in relays come out, connectors apart, the battery off"


def _apart(circuit: Circuit, connector: str) -> tuple[Edit, ...]:
    mated = contacts(circuit, connector)
    if not mated:
        have = ", ".join(circuit.connectors)
        raise SetupError(f"no connector {connector} to part", "setup", f"there is {have}")
    return tuple(Open(name) for name in mated)


def _out(part: Part) -> tuple[Edit, ...]:
    if part.kind not in PLUG_IN:
        raise SetupError(f"{part.id} is a {part.kind} and does not come out", "setup", _ALLOWED)
    if part.fixed:
        hint = f"it belongs to the {part.unit}; part a connector instead"
        raise SetupError(f"{part.id} is soldered in and cannot be taken out", "setup", hint)
    if part.kind != "relay":
        return tuple(Open(f"{part.id}.{name}") for name in PLUG_IN[part.kind])
    words = [w for w, pin in CONTACTS.items() if pin in part.pins]
    names = ["coil", *words, *(f"{w} {REVERSED}" for w in words)]
    if part.options.get("suppression", "none") != "none":
        names.append("suppressor")
    return tuple(Open(f"{part.id}.{name}") for name in names)
