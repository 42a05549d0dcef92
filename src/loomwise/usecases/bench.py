"""What the bench of a job shows: how the vehicle stands, what was taken, what is to be put back."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from loomwise.advice.evidence_words import describe
from loomwise.advice.say import undoing_text
from loomwise.circuit.kinds.tables import access_methods
from loomwise.circuit.loads import loads
from loomwise.circuit.model import Circuit
from loomwise.evidence import Evidence
from loomwise.evidence.items import AT_HAND, sign_words
from loomwise.job import Job
from loomwise.job.log import Folded, Item
from loomwise.setups import Undoing, undoings
from loomwise.setups.setup import unruled_outputs


@dataclass(frozen=True)
class ControlShown:
    """A control with its states; ``nobody`` marks what only happens (hot coolant)."""

    name: str
    states: tuple[str, ...]
    now: str
    nobody: bool


@dataclass(frozen=True)
class UndoShown:
    """Something that is or could be undone: ``words`` for an entry, ``text`` for the eye."""

    words: str
    text: str


@dataclass(frozen=True)
class ItemShown:
    """A sign or reading as the record has it; ``withdrawn`` says why it no longer counts."""

    id: str
    kind: str
    text: str
    setup: str
    at: datetime
    complaint: str
    condition: str
    withdrawn: str
    corrects: str
    value: str


@dataclass(frozen=True)
class Group:
    """Names under a heading, for a list to choose from."""

    title: str
    names: tuple[UndoShown, ...]


@dataclass(frozen=True)
class BenchShown:
    """Everything the bench shows that needs no reasoning."""

    controls: tuple[ControlShown, ...]
    put_back: tuple[UndoShown, ...]
    can_undo: tuple[Group, ...]
    complaint: str
    condition: str
    here: str
    items: tuple[ItemShown, ...]
    cannot: tuple[str, ...]
    battery_v: float
    spent_minutes: float
    authorised_minutes: float | None


def bench_of_job(job: Job, folded: Folded) -> BenchShown:
    """How the vehicle stands, what was taken, and what is to be put back."""
    standing = folded.standing
    return BenchShown(
        controls=_controls(job),
        put_back=put_back_of(job),
        can_undo=_can_undo(job.circuit, job.here.undone),
        complaint=str(standing.get("complaint") or "unknown"),
        condition=str(standing.get("condition") or ""),
        here=setup_text(job),
        items=tuple(_items(job, folded)),
        cannot=tuple(sorted(job.cannot)),
        battery_v=battery_v(job),
        spent_minutes=job.spent_minutes,
        authorised_minutes=job.authorised_minutes,
    )


def _controls(job: Job) -> tuple[ControlShown, ...]:
    now = dict(job.here.controls + job.here.settled)
    known = [
        ControlShown(c.name, c.states, now[c.name], c.nobody)
        for c in job.circuit.controls.values()
    ]  # fmt: skip
    free = [name for name in unruled_outputs(job.circuit)]
    return (*known, *(ControlShown(n, ("off", "on"), now.get(n, ""), False) for n in free))


def setup_text(job: Job) -> str:
    """How the vehicle stands, in a line."""
    return str(job.here)


def put_back_of(job: Job) -> tuple[UndoShown, ...]:
    """All that is undone or added, and where panels are off."""
    undone = [u for u in job.here.undone if u.what != "new"]
    back = [UndoShown(str(u), undoing_text(u, back=True)) for u in undone]
    opened = [UndoShown(name, f"close up at {name}") for name in sorted(job.opened)]
    return (*back, *opened)


_WAYS = {"apart": "Plugs", "out": "Fuses and relays", "off": "Battery", "new": "New fuse"}


def _can_undo(circuit: Circuit, undone: Sequence[Undoing]) -> tuple[Group, ...]:
    every = [
        *undoings(circuit),
        *(Undoing("off", p.id) for p in circuit.parts_of_kind("battery")),
        *(Undoing("new", p.id) for p in circuit.parts_of_kind("fuse")),
    ]
    groups: dict[str, list[UndoShown]] = {}
    for u in every:
        if u not in undone:
            groups.setdefault(_WAYS[u.what], []).append(UndoShown(str(u), undoing_text(u)))
    return tuple(Group(title, tuple(names)) for title, names in groups.items())


def battery_v(job: Job) -> float:
    """Volts last read across the battery; 12.6 V (24 V systems: 25.2) if nobody has looked."""
    posts = {p.id for p in job.circuit.parts_of_kind("battery")}
    for item in reversed(job.evidence):
        red, black = getattr(item, "red", ""), getattr(item, "black", "")
        value = getattr(item, "value", None)
        if red.partition(".")[0] in posts and black.partition(".")[0] in posts and value:
            return float(abs(value))
    return 1.05 * job.circuit.supply_v


def _items(job: Job, folded: Folded) -> list[ItemShown]:
    """Newest first."""
    counted = {e.id: e for e in job.evidence}
    shown = [_item(i, counted.get(i.id)) for i in folded.items]
    return shown[::-1]


def _item(item: Item, evidence: Evidence | None) -> ItemShown:
    body = item.body
    text = describe(evidence).partition(" (")[0] if evidence else _plain(item)
    setup = str(evidence.setup) if evidence else _plain_setup(body)
    return ItemShown(
        item.id, item.kind, text, setup, item.at, str(body.get("complaint") or "unknown"),
        str(body.get("condition") or ""), item.withdrawn, item.corrects,
        str(body.get("value") or body.get("seen") or ""),
    )  # fmt: skip


def _plain(item: Item) -> str:
    body = item.body
    if item.kind == "sign":
        return f"{body['what']} {body['seen']}"
    tips = f"{body['red']} to {body['black']}" if body.get("black") else str(body["red"])
    return f"{body['value']} at {tips}"


def _plain_setup(body: Mapping[str, Any]) -> str:
    controls = body.get("setup") or {}
    words = [f"{c} {s}" for c, s in controls.items()] if isinstance(controls, Mapping) else []
    return ", ".join([*words, *map(str, body.get("undone") or ())])


def places_by_owner(circuit: Circuit) -> tuple[Group, ...]:
    """All places a probe can reach, by part and plug."""
    groups: dict[str, list[UndoShown]] = {}
    for place in circuit.places.values():
        if place.method != "none":
            groups.setdefault(place.owner, []).append(UndoShown(place.id, place.title))
    return tuple(Group(owner, tuple(names)) for owner, names in groups.items())


def wires(circuit: Circuit) -> Group:
    """The wires a clamp fits round."""
    known = [s for s in circuit.segments.values() if s.kind == "wire"]
    return Group("Wires, for the clamp", tuple(UndoShown(s.id, s.id) for s in known))


def watched(circuit: Circuit) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """What can be watched, and what can be said of it: loads first, then relays and modules."""
    names = [part.id for part in (*loads(circuit), *circuit.parts.values())]
    names += [f"{p.id}.{pin}" for p in circuit.parts_of_kind("module") for pin in p.module_pins]
    found = ((name, sign_words(circuit, name)) for name in dict.fromkeys(names))
    return tuple((name, words) for name, words in found if words)


def ways() -> tuple[UndoShown, ...]:
    """The ways a tip gets to a place."""
    return tuple(UndoShown(a.name, a.title) for a in access_methods().values() if a.name != "none")


def instruments() -> tuple[str, ...]:
    """What can be at hand."""
    return AT_HAND
