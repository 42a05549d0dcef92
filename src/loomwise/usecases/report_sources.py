"""Where a report comes from: a job file, or a stored job with its days, photographs and notes."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from loomwise.errors import InputError
from loomwise.job import Job
from loomwise.job.log import Folded, LogEntry, fold
from loomwise.report.case import Closing
from loomwise.report.document import Photo
from loomwise.usecases.files import find_job, is_number
from loomwise.usecases.heading import read_bytes
from loomwise.usecases.road_test import marks_of

if TYPE_CHECKING:
    from loomwise.store import Store


@dataclass(frozen=True)
class Source:
    """A job with what is known of how it went on; ``number`` is that of a stored one."""

    job: Job
    closing: Closing
    photos: tuple[Photo, ...] = ()
    number: str = ""


def read_source(name: str) -> Source:
    """The job of a file or number.

    Raises
    ------
    InputError : as ``find_job``.
    """
    if not is_number(name):
        job = find_job(name)
        return Source(job, _told(job))
    from loomwise.store import open_store

    return stored_source(open_store(), int(name))


def stored_source(store: "Store", number: int) -> Source:
    """The job of a number.

    Raises
    ------
    NotFoundError : no such job.
    InputError : it has no circuit yet.
    """
    from loomwise.usecases.stored import job_of

    log = store.log(number)
    folded = fold(log)
    job = job_of(store, number, folded)
    photos = tuple(_as_kept(store, entry) for entry in folded.photos)
    return Source(job, _closing(job, log, folded), photos, str(number))


def _told(job: Job) -> Closing:
    """What a job file says of its end, and which units its items call repaired."""
    listed = sorted({u for e in job.evidence for u in e.repaired},
                    key=lambda u: -sum(u in e.repaired for e in job.evidence))  # fmt: skip
    ending = job.ending
    if ending is None:
        return Closing(repaired=tuple(listed))
    last = [u for u in ending.units if u not in listed]
    said = f"Found: {ending.found}" if ending.found else ""
    return Closing(repaired=(*listed, *last), words=said)


def _closing(job: Job, log: tuple[LogEntry, ...], folded: Folded) -> Closing:
    told = _told(job)
    decision = folded.decision
    return Closing(
        decided=str(decision.get("unit") or ""),
        words=str(decision.get("words") or "") or told.words,
        repaired=folded.repaired or told.repaired,
        done=_done(job, folded),
        proof=folded.proof,
        ending=_ending(folded),
        notes=tuple(str(e.body.get("words", "")) for e in log if e.kind == "note"),
        road=road_of(folded),
        dates=(("Opened", _day(log[0].at)), ("Last entry", _day(log[-1].at))),
    )


def _done(job: Job, folded: Folded) -> str:
    """What was done, a sentence for each repair; after several with what it was done to."""
    told = [
        (str(r["unit"]), str(r["words"]).rstrip(". ")) for r in folded.repairs if r.get("words")
    ]
    if len(folded.repairs) == 1:
        return "".join(f"{words}." for _, words in told)
    units = job.circuit.units
    return " ".join(f"{units[u].title if u in units else u}: {words}." for u, words in told)


def road_of(folded: Folded) -> tuple[tuple[str, str, str, str], ...]:
    """The marks that count, by the clock of who made them."""
    marks = [m for m in marks_of(folded) if not m.withdrawn]
    return tuple(
        (
            f"{m.day} {m.clock}",
            m.after,
            m.text,
            ". ".join(filter(None, (", ".join(m.conditions), m.words))),
        )
        for m in marks
    )


def _ending(folded: Folded) -> str:
    closing = folded.closing
    if not closing:
        return ""
    why = f": {closing['reason']}" if closing.get("reason") else ""
    return f"Closed on {_day(closing['at'])} as {closing['as']}{why}."


def _day(at: datetime) -> str:
    """A day as every country reads it; in UTC, the same on every machine."""
    return at.strftime("%Y-%m-%d")


def _as_kept(store: "Store", entry: Mapping[str, Any]) -> Photo:
    kept = store.photo(str(entry["digest"]))
    return Photo(kept.data, kept.width, kept.height, str(entry.get("caption") or ""))


def photo_of(words: str) -> Photo:
    """A photograph from a file: "FILE" or "FILE=caption".

    Raises
    ------
    InputError : not there, too large, or not a photograph.
    """
    from loomwise.store.photo import MAX_BYTES, make_photo

    file, _, caption = words.partition("=")
    data = read_bytes(Path(file), MAX_BYTES, "the photograph")
    try:
        made = make_photo(data)
    except InputError as error:
        raise InputError(error.message, file, error.hint) from None
    return Photo(made.data, made.width, made.height, caption.strip())
