"""How practice goes: what was practised, by whom, and how it went beside the advised paths."""

from dataclasses import dataclass

from loomwise.job.log import Folded, fold
from loomwise.store import JobRow, Store


@dataclass(frozen=True)
class PracticeLine:
    """A practice in the list: own and advised minutes and cost, None while it is
    open; ``at`` is the day it was begun."""

    number: int
    person: str
    at: str
    circuit: str
    difficulty: str
    right: bool | None
    minutes: float | None
    advised_minutes: float | None
    cost: float | None
    advised_cost: float | None


@dataclass(frozen=True)
class Progress:
    """Practices, the newest first; ``right`` of the ``decided`` named a unit at fault."""

    person: str
    practices: tuple[PracticeLine, ...]
    decided: int
    right: int


def progress(store: Store, person: str = "") -> Progress:
    """What was practised, by one person or by all."""
    rows = store.jobs(most=10_000, practice=True)
    every = [_line(row, fold(store.log(row.number))) for row in rows]
    wanted = tuple(p for p in every if not person or p.person.casefold() == person.casefold())
    ended = [p for p in wanted if p.right is not None]
    return Progress(person, wanted, len(ended), sum(bool(p.right) for p in ended))


def _line(row: JobRow, folded: Folded) -> PracticeLine:
    told, end = folded.practice, folded.decision.get("debrief")
    begun, title = row.opened_at.astimezone(), str(folded.circuit.get("title", ""))
    head = (row.number, str(told["person"]), begun.strftime("%Y-%m-%d"), title,
            str(told["difficulty"]))  # fmt: skip
    if end is None:
        return PracticeLine(*head, None, None, None, None, None)
    own, advised = end["own"], end["advised"]
    return PracticeLine(*head, end["right"], own["minutes"], advised["minutes"], own["cost"],
                        advised["cost"])  # fmt: skip
