"""Road tests: moments marked on the way, with what held then; kept in the job and in its report.

A mark has the time at which it was made, not at which it reached the store: on the road there may
be no connection.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from loomwise.errors import InputError
from loomwise.job.log import Folded, fold
from loomwise.store import Store
from loomwise.store.store import new_entry
from loomwise.usecases.stored import stand, still_open

NOW, GONE, OFF = "now", "gone", "off"
MARKS = {NOW: "complaint there", GONE: "gone again", OFF: "set off"}
CONDITIONS: Mapping[str, tuple[str, ...]] = {
    "Engine": ("cold", "warm", "hot"),
    "Speed": ("standing", "slow", "in town", "fast"),
}
"""Of each of these one holds; of the others any. Common practice, no source."""
OTHERS = ("wet", "bumps", "turning", "braking", "uphill", "loaded", "lights on", "fan on")
MOST_CONDITIONS, LONGEST = 12, 40
PAUSE = timedelta(hours=1)
"""After so long without a mark another drive begins. Engineering judgement."""


@dataclass(frozen=True)
class MarkShown:
    """A mark by the clock of who made it; ``after`` counts from setting off, or from the first mark
    of the drive: minutes and seconds."""

    uid: str
    what: str
    text: str
    at: str
    day: str
    clock: str
    after: str
    conditions: tuple[str, ...]
    words: str
    withdrawn: str


def mark(
    store: Store, number: int, what: str, at: str = "", conditions: Sequence[str] = (),
    words: str = "", uid: str = "",
) -> int:  # fmt: skip
    """Mark a moment; ``at`` in ISO 8601 with its offset from UTC, by default this moment.

    Raises
    ------
    InputError : not a moment, an unknown mark, or the job is closed.
    """
    still_open(fold(store.log(number)), number)
    if what not in MARKS:
        raise InputError(f"'{what[:20]}' is no mark", f"job {number}", f"use {', '.join(MARKS)}")
    moment = _moment(at) if at else datetime.now().astimezone()
    told = [c.strip()[:LONGEST] for c in conditions if c.strip()]
    body = {
        "what": what, "at": moment.isoformat(timespec="seconds"),
        "conditions": list(dict.fromkeys(told))[:MOST_CONDITIONS], "words": words.strip()[:500],
    }  # fmt: skip
    return store.append(number, new_entry("mark", body, uid))


def _moment(text: str) -> datetime:
    try:
        moment = datetime.fromisoformat(text[:40])
        if moment.tzinfo is None:
            raise ValueError
        if moment.astimezone() > datetime.now().astimezone() + timedelta(days=1):
            hint = "set the clock of the phone, then mark it again"
            raise InputError("the mark is of a day to come", text[:20], hint)
    except (ValueError, OverflowError):
        hint = "write it as in 2026-03-01T14:05:10+01:00"
        raise InputError(f"'{text[:40]}' is no moment", "road test", hint) from None
    return moment


def take_back(store: Store, number: int, mark_uid: str, back: bool, uid: str = "") -> int:
    """Say that a mark does not count, or that it does again; it stays in the record.

    Raises
    ------
    InputError : the job has no such mark, or it is closed.
    """
    folded = fold(store.log(number))
    still_open(folded, number)
    if not any(m["uid"] == mark_uid for m in folded.marks):
        raise InputError("there is no such mark", f"job {number}", "load the page again")
    body = {"entry": mark_uid, "reason": "taken back"}
    return store.append(number, new_entry("reinstate" if back else "withdraw", body, uid))


def to_bench(store: Store, number: int, mark_uid: str, uid: str = "") -> int:
    """Take what held at a mark as the condition of the readings to come.

    Raises
    ------
    InputError : the job has no such mark, or no circuit yet.
    """
    for m in marks_of(fold(store.log(number))):
        if m.uid == mark_uid:
            condition = ", ".join(m.conditions)[:60]
            return stand(store, number, {"condition": condition, "complaint": "unknown"}, uid)
    raise InputError("there is no such mark", f"job {number}", "load the page again")


def marks_of(folded: Folded) -> tuple[MarkShown, ...]:
    """The marks of all drives in the order they were made."""
    timed = [(datetime.fromisoformat(str(m["at"])), m) for m in folded.marks]
    timed.sort(key=lambda am: am[0])
    found: list[MarkShown] = []
    start = last = None
    for at, m in timed:
        if start is None or last is None or m["what"] == OFF or at - last > PAUSE:
            start = at
        last = at
        found.append(_shown(m, at, at - start))
    return tuple(found)


def _shown(m: Mapping[str, Any], at: datetime, since: timedelta) -> MarkShown:
    minutes, seconds = divmod(int(since.total_seconds()), 60)
    return MarkShown(
        str(m["uid"]), str(m["what"]), MARKS.get(str(m["what"]), str(m["what"])), at.isoformat(),
        at.strftime("%Y-%m-%d"), at.strftime("%H:%M:%S"), f"{minutes}:{seconds:02}",
        tuple(map(str, m.get("conditions") or ())), str(m.get("words") or ""),
        str(m.get("withdrawn") or ""),
    )  # fmt: skip
