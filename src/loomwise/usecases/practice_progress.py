"""How practice goes: what was practised, by whom, and how it went beside the advised paths."""

from collections.abc import Sequence
from dataclasses import dataclass

from loomwise.job.log import Folded, fold
from loomwise.store import JobRow, Store

LATELY = 5
"""So many of the last practices show how it goes now. Engineering judgement."""


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
class Went:
    """How some practices went: ``right`` of the ``decided`` named a unit at fault; ``time_share``
    and ``cost_share`` are own minutes and cost by those of the advised paths, None without any."""

    decided: int
    right: int
    time_share: float | None
    cost_share: float | None


@dataclass(frozen=True)
class PersonLine:
    """How it goes for one person: in all, in the last practices (``lately``), and by difficulty."""

    person: str
    open: int
    all: Went
    lately: Went
    by_difficulty: dict[str, Went]


@dataclass(frozen=True)
class Progress:
    """Practices, the newest first; ``right`` of the ``decided`` named a unit at fault."""

    person: str
    practices: tuple[PracticeLine, ...]
    decided: int
    right: int
    people: tuple[PersonLine, ...] = ()


def progress(store: Store, person: str = "") -> Progress:
    """What was practised, by one person or by all."""
    rows = store.jobs(most=10_000, practice=True)
    every = [_line(row, fold(store.log(row.number))) for row in rows]
    wanted = sorted(
        (p for p in every if not person or p.person.casefold() == person.casefold()),
        key=lambda p: -p.number,
    )
    went = _went(wanted)
    return Progress(person, tuple(wanted), went.decided, went.right, _people(wanted))


def _people(practices: Sequence[PracticeLine]) -> tuple[PersonLine, ...]:
    by_name: dict[str, list[PracticeLine]] = {}
    for p in practices:
        by_name.setdefault(p.person.casefold(), []).append(p)
    return tuple(_person(by_name[name]) for name in sorted(by_name))


def _person(own: Sequence[PracticeLine]) -> PersonLine:
    """From one person's practices, the newest first."""
    ended = [p for p in own if p.right is not None]
    kinds = dict.fromkeys(p.difficulty for p in ended)
    by_difficulty = {k: _went([p for p in ended if p.difficulty == k]) for k in kinds}
    return PersonLine(own[0].person, len(own) - len(ended), _went(ended), _went(ended[:LATELY]),
                      by_difficulty)  # fmt: skip


def _went(practices: Sequence[PracticeLine]) -> Went:
    ended = [p for p in practices if p.right is not None]
    minutes = sum(p.minutes or 0.0 for p in ended), sum(p.advised_minutes or 0.0 for p in ended)
    cost = sum(p.cost or 0.0 for p in ended), sum(p.advised_cost or 0.0 for p in ended)
    return Went(len(ended), sum(bool(p.right) for p in ended), _share(*minutes), _share(*cost))


def _share(own: float, advised: float) -> float | None:
    return own / advised if advised > 0.0 else None


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
