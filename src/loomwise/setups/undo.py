"""Undoings as edits, and which of them a circuit allows."""

from collections.abc import Collection, Iterable

from loomwise.circuit.alone import left_alone
from loomwise.circuit.model import Circuit, Part
from loomwise.edits import AddOhm, Bridge, BridgeLamp, Edit, Hold, Limit, Open
from loomwise.edits.relays import CONTACTS, REVERSED
from loomwise.errors import SetupError
from loomwise.setups.setup import Undoing

JUMPER_OHM = 0.02
LOAD_LAMP_W = 21.0
"""Bulb that is put in place of a fuse, or on an unplugged feed as a load. [W]"""
REPLACED = {("new", "fuse"), ("swapped", "relay")}
"""What is replaced by one that is good: a relay by a like one of the same vehicle."""
OFF = {"battery": "cell", "ground": "stud"}
"""What can be taken off, and the joint that is parted then."""
PLUG_IN: dict[str, tuple[str, ...]] = {
    "fuse": ("link",), "relay": ("coil", "make"), "breaker": ("link",),
    "split-charge relay": ("coil", "make"), "flasher": ("draw", "make"),
}  # fmt: skip
"""Kinds that come out, unless they are fixed, and what is parted then."""


def undoings(circuit: Circuit) -> tuple[Undoing, ...]:
    """Everything that can be taken out or apart without tools for cutting."""
    outs = [p.id for p in circuit.parts_of_kind(*PLUG_IN) if not p.fixed]
    apart = [c.id for c in circuit.connectors.values() if contacts(circuit, c.id)]
    found = (
        *(Undoing("out", part) for part in outs),
        *(Undoing("apart", connector) for connector in apart),
    )
    return tuple(u for u in found if not left_alone(circuit, u.target))


def put_in(undone: Iterable[Undoing]) -> set[str]:
    """The fuses and relays in whose places good ones are."""
    return {u.target for u in undone if u.what in ("new", "swapped")}


def with_new_fuses(edits: Iterable[Edit], fresh: Collection[str]) -> tuple[Edit, ...]:
    """The edits without those that a new fuse or relay in each of these holders takes away: blown,
    missing, bridged, of a wrong rating; all that is in a relay. A fuse holder's poor contact stays,
    and so do the wires and what was fitted beside a relay."""

    def gone(edit: Edit) -> bool:
        if isinstance(edit, Hold | Limit):
            return edit.device.partition(".")[0] in fresh
        name, _, inner = getattr(edit, "branch", "").partition(".")
        if name not in fresh or "-" in inner:  # F1.2-C1.1.a is a wire
            return False
        return not (inner == "link" and isinstance(edit, AddOhm))

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
    SetupError : the thing is not there, is soldered in, is left alone, or cannot be undone like
        this.
    """
    for name in (undoing.target, *undoing.places):
        if why := left_alone(circuit, name):
            raise SetupError(f"{name} is left alone: {why}", "setup", ALONE_HINT)
    if undoing.what in ("jumper", "lamp"):
        a, b = undoing.places
        lamp = BridgeLamp(a, b, LOAD_LAMP_W, circuit.supply_v)
        return (lamp if undoing.what == "lamp" else Bridge(a, b, JUMPER_OHM),)
    if undoing.what == "apart":
        return _apart(circuit, undoing.target)
    if undoing.what == "cut":
        return _cut(circuit, undoing.target)
    part = circuit.parts.get(undoing.target)
    if part is None:
        what = f"no part {undoing.target} to take {undoing.what}"
        raise SetupError(what, "setup", _alike(circuit, undoing.target))
    if undoing.what == "off" and part.kind in OFF:
        return (Open(f"{part.id}.{OFF[part.kind]}"),)
    if (undoing.what, part.kind) in REPLACED and not part.fixed:
        return ()  # a fuse may blow again: see with_new_fuses
    if undoing.what == "unplugged":
        return _unplugged(circuit, part)
    if undoing.what == "out":
        return _out(part)
    raise SetupError(f"{undoing.target} cannot be put {undoing.what}", "setup", _ALLOWED)


ALONE_HINT = "follow the maker's instructions, or leave it to those trained for it"
_ALLOWED = (
    "fuses, breakers and plug-in relays come out, connectors apart, batteries and grounds off, "
    "modules and loads unplugged, wires cut"
)


def _cut(circuit: Circuit, name: str) -> tuple[Edit, ...]:
    segment = circuit.segments.get(name)
    if segment is None or segment.kind != "wire":
        hint = "name a piece of wire by its ends, such as F1.2-C1.1.a"
        raise SetupError(f"no wire {name} to cut", "setup", hint)
    return (Open(name),)


def _unplugged(circuit: Circuit, part: Part) -> tuple[Edit, ...]:
    """All conductors at a part's pins: a module, a bulb, a motor whose plug is off."""
    if part.kind in ("battery", "splice", "ground") or part.fixed:
        hint = "unplug modules and loads; a battery or a ground comes off"
        raise SetupError(f"{part.id} has no plug", "setup", hint)
    pins = {f"{part.id}.{pin}" for pin in part.pins}
    return tuple(Open(s.id) for s in circuit.segments.values() if {s.a, s.b} & pins)


def _alike(circuit: Circuit, name: str) -> str:
    """The parts with a name like this one, as a hint."""
    same = [part for part in circuit.parts if part[:1] == name[:1]]
    return f"there is {', '.join(same)}" if same else _ALLOWED


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
