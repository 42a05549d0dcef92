"""A job as a log of dated entries: nothing is overwritten, and what is taken back stays readable.

The job file's tree is folded from the log whenever it is needed, so that a job in the store and a
job in a file are read by the same reader and mean the same.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

Body = Mapping[str, Any]
Spot = tuple[float, float]
KINDS = (
    *("intake", "circuit", "standing", "sign", "reading", "withdraw", "reinstate"),
    *("cannot", "decision", "photo", "note", "remove", "return"),
    *("repair", "proof", "close", "reopen", "practice", "live", "mark", "move", "other"),
)
"""What an entry can be; a newer program may know more, and those are kept but not understood."""
ITEMS = {"sign": "S", "reading": "R"}
NOT_OF_THE_FILE = ("corrects", "minutes", "id")


@dataclass(frozen=True)
class LogEntry:
    """One dated entry. ``uid`` is the same wherever the job is copied to; ``at`` is in UTC."""

    uid: str
    at: datetime
    kind: str
    body: Body


@dataclass(frozen=True)
class Item:
    """A sign or reading of the log: its name, its fields, and why it no longer counts, if so."""

    uid: str
    id: str
    at: datetime
    kind: str
    body: Body
    withdrawn: str = ""
    corrects: str = ""
    corrected_by: str = ""


@dataclass
class Folded:
    """What a log amounts to now. ``tree`` is that of a job file; the rest is not in the file.

    ``repairs`` are in order, ``proof`` holds what its checks showed since the last one; ``closing``
    is how the job is closed, ``closings`` every time it was, with whether it came back. ``live``
    are records of live data that were sent, ``marks`` those of road tests, ``moves`` symbols moved
    on the drawing of the present circuit, ``other`` is another drawing of it.
    """

    tree: dict[str, Any]
    items: list[Item] = field(default_factory=list)
    intake: dict[str, Any] = field(default_factory=dict)
    circuit: dict[str, str] = field(default_factory=dict)
    standing: dict[str, Any] = field(default_factory=dict)
    decision: dict[str, Any] = field(default_factory=dict)
    photos: list[dict[str, Any]] = field(default_factory=list)
    repairs: list[dict[str, Any]] = field(default_factory=list)
    proof: dict[str, str] = field(default_factory=dict)
    closing: dict[str, Any] = field(default_factory=dict)
    closings: list[dict[str, Any]] = field(default_factory=list)
    practice: dict[str, Any] = field(default_factory=dict)
    live: list[dict[str, Any]] = field(default_factory=list)
    marks: list[dict[str, Any]] = field(default_factory=list)
    moves: list[dict[str, Any]] = field(default_factory=list)
    other: dict[str, Any] = field(default_factory=dict)
    removed: bool = False

    @property
    def repaired(self) -> tuple[str, ...]:
        """The units repaired so far, in order."""
        return tuple(str(r["unit"]) for r in self.repairs)

    def moved(self, positions: Mapping[str, Spot]) -> dict[str, Spot]:
        """Places of symbols [px] by hand: those of the circuit's file, and what was moved since, in
        the order of moving."""
        found = dict(positions)
        for move in self.moves:
            if not move["withdrawn"]:
                found.pop(move["part"], None)
                if move["spot"] is not None:
                    found[move["part"]] = move["spot"]
        return found

    def item(self, uid: str) -> Item | None:
        """The item that an entry is."""
        return next((i for i in self.items if i.uid == uid), None)

    @property
    def state(self) -> str:
        """``removed``, ``practice``, ``closed``, ``decided`` or ``open``."""
        if self.removed or self.practice:
            return "removed" if self.removed else "practice"
        return "closed" if self.closing else "decided" if self.decision else "open"


def fold(entries: Iterable[LogEntry]) -> Folded:
    """What the entries amount to, in the order given."""
    log = list(entries)
    found = Folded({})
    cannot: list[str] = []
    for entry in log:
        _take(found, entry, cannot)
    found.items = _items(log)
    found.tree = _tree(found, cannot)
    return found


def _take(found: Folded, entry: LogEntry, cannot: list[str]) -> None:
    """What an entry changes beside signs and readings."""
    body = dict(entry.body)
    match entry.kind:
        case "intake":
            found.intake |= body
        case "circuit":
            found.circuit, found.moves, found.other = body, [], {}
        case "standing":
            found.standing = body
        case "cannot":
            name = str(body["name"])
            if body.get("can"):
                cannot[:] = [n for n in cannot if n != name]
            elif name not in cannot:
                cannot.append(name)
        case "decision":
            found.decision = {} if body.get("open") else body
        case "photo":
            found.photos.append({**body, "at": entry.at, "uid": entry.uid})
        case "live":
            found.live.append({**body, "sent_at": entry.at})
        case "mark":
            found.marks.append({**body, "uid": entry.uid, "withdrawn": ""})
        case "other":
            found.other = body
        case "move":
            found.moves.append(_move(entry))
        case "withdraw" | "reinstate":
            why = str(body.get("reason") or "withdrawn") if entry.kind == "withdraw" else ""
            for taken in (*found.marks, *found.moves):
                if taken["uid"] == body.get("entry"):
                    taken["withdrawn"] = why
        case "remove" | "return":
            found.removed = entry.kind == "remove"
        case "practice":
            found.practice = body
        case _:
            _take_end(found, entry)


def _move(entry: LogEntry) -> dict[str, Any]:
    spot = entry.body["spot"]
    at = None if spot is None else (float(spot[0]), float(spot[1]))
    return {"part": str(entry.body["part"]), "spot": at, "uid": entry.uid, "withdrawn": ""}


def _take_end(found: Folded, entry: LogEntry) -> None:
    """What an entry says of repair and closing. A new repair has its proof before it."""
    body = dict(entry.body)
    match entry.kind:
        case "repair":
            found.repairs.append({**body, "at": entry.at})
            found.proof = {}
        case "proof":
            found.proof |= {str(k): str(v) for k, v in dict(body["answers"]).items()}
        case "close":
            found.closing = {**body, "at": entry.at}
            found.closings.append({**found.closing, "comeback": False})
        case "reopen" if found.closing:
            found.closing, found.proof = {}, {}
            if body.get("comeback"):
                found.closings[-1]["comeback"] = True
            else:
                found.closings.pop()  # it was not over after all


def _items(log: list[LogEntry]) -> list[Item]:
    """Signs and readings by name, with what was withdrawn or corrected."""
    why: dict[str, str] = {}
    after: dict[str, str] = {}
    names = _names(log)
    for entry in log:
        target = str(entry.body.get("entry", ""))
        if entry.kind == "withdraw":
            why[target] = str(entry.body.get("reason") or "withdrawn")
        elif entry.kind == "reinstate":
            why.pop(target, None)
            after.pop(target, None)
        elif entry.kind in ITEMS and entry.body.get("corrects"):
            after[str(entry.body["corrects"])] = names[entry.uid]
    return [
        Item(
            e.uid, names[e.uid], e.at, e.kind, e.body,
            why.get(e.uid, "") or (f"corrected by {after[e.uid]}" if e.uid in after else ""),
            names.get(str(e.body.get("corrects", "")), ""), after.get(e.uid, ""),
        )
        for e in log if e.kind in ITEMS
    ]  # fmt: skip


def _names(log: list[LogEntry]) -> dict[str, str]:
    """Names of signs and readings: their own, or the next one where two copies took the same."""
    names: dict[str, str] = {}
    for entry in log:
        if entry.kind in ITEMS:
            name = str(entry.body.get("id", ""))
            if not name or name in names.values():
                name = next_name(names.values(), ITEMS[entry.kind])
            names[entry.uid] = name
    return names


def next_name(taken: Iterable[str], letter: str) -> str:
    """The next free name: R4 after R1, R2 and R3."""
    numbers = [int(n[1:]) for n in taken if n[:1] == letter and n[1:].isdigit()]
    return f"{letter}{max(numbers, default=0) + 1}"


def _tree(found: Folded, cannot: list[str]) -> dict[str, Any]:
    """The tree of the job file; what nobody said is left out."""
    intake, standing = found.intake, found.standing
    vehicle = {"name": intake.get("vehicle"), "mileage_km": intake.get("mileage_km"),
               "vin": intake.get("vin")}  # fmt: skip
    here = {"setup": standing.get("setup") or {}, "undone": standing.get("undone") or []}
    tree = {
        "format": "1", "complaint": intake.get("complaint"), "vehicle": _said(vehicle),
        "circuit": found.circuit.get("digest") or found.circuit.get("name"),
        "other drawing": found.other.get("digest"), "differs": found.other.get("differs"),
        "instruments": intake.get("instruments"), "opened": standing.get("opened"),
        "cannot": cannot, "authorised": intake.get("authorised_minutes"),
        "spent": round(sum(float(i.body.get("minutes") or 0) for i in found.items), 1),
        "earlier": intake.get("earlier"), "added": intake.get("added"), "here": here,
        "signs": [_entry(i) for i in found.items if i.kind == "sign"],
        "readings": [_entry(i) for i in found.items if i.kind == "reading"],
    }  # fmt: skip
    return _said(tree)


def _said(tree: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in tree.items() if value not in (None, "", [])}


def _entry(item: Item) -> dict[str, Any]:
    fields = {k: v for k, v in item.body.items() if k not in NOT_OF_THE_FILE}
    return {**_said({**fields, "withdrawn": item.withdrawn}), "id": item.id}
