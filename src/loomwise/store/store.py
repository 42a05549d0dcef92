"""Reads and adds to the store. An entry is on the disk when a call returns."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from uuid import uuid4

from sqlalchemy import Connection, func, insert, select, text, update

from loomwise.errors import NotFoundError, StoreError
from loomwise.job.log import Body, LogEntry, fold
from loomwise.store.engine import make_engine, reading, writing
from loomwise.store.kept import Kept
from loomwise.store.migrate import bring_up
from loomwise.store.tables import entries, jobs


@dataclass(frozen=True)
class JobRow:
    """A job as the list of jobs has it. ``state`` is open, decided, closed, practice or
    removed."""

    number: int
    uid: str
    opened_at: datetime
    changed_at: datetime
    vehicle: str
    complaint: str
    state: str


def new_entry(kind: str, body: Body, uid: str = "") -> LogEntry:
    """An entry of this moment; ``uid`` where the sender has chosen one, to send it twice safely."""
    return LogEntry(uid or uuid4().hex, datetime.now(UTC), kind, dict(body))


class Store(Kept):
    """One database of jobs. Threads may share it."""

    def __init__(self, url: str) -> None:
        super().__init__(make_engine(url))
        bring_up(self._engine)

    def create(self, first: Sequence[LogEntry], uid: str = "", number: int | None = None) -> int:
        """A new job with its first entries; its number. A ``uid`` there already is that job."""
        with writing(self._engine) as connection:
            there = _number_of(connection, uid)
            if there is None:
                taken = number is not None and _exists(connection, number)
                there = _make(connection, uid, first, None if taken else number)
            _add(connection, there, first)
            return there

    def append(self, number: int, *more: LogEntry) -> int:
        """Add entries to a job; how many were new. One sent a second time is passed over.

        Raises
        ------
        NotFoundError : no such job.
        StoreError : a full disk, a lock; then nothing was added.
        """
        with writing(self._engine) as connection:
            if not _exists(connection, number):
                raise _no_job(number)
            return _add(connection, number, more)

    def log(self, number: int) -> tuple[LogEntry, ...]:
        """All entries of a job, in the order they came.

        Raises
        ------
        NotFoundError : no such job.
        """
        with reading(self._engine) as connection:
            found = _log(connection, number)
        if not found:
            raise _no_job(number)
        return found

    def newest(self, number: int) -> int:
        """A number that grows with every entry of the job; 0 if there is no such job."""
        with reading(self._engine) as connection:
            query = select(func.max(entries.c.id)).where(entries.c.job == number)
            return int(connection.execute(query).scalar() or 0)

    def jobs(
        self, words: str = "", removed: bool = False, most: int = 500, practice: bool = False
    ) -> tuple[JobRow, ...]:
        """Jobs that hold every word, last changed first; or what was done for practice."""
        query = select(jobs).where(jobs.c.removed == removed)
        query = query.where((jobs.c.state == "practice") == practice)
        for word in words.lower().split():
            query = query.where(jobs.c.words.contains(word, autoescape=True))
        query = query.order_by(jobs.c.changed_at.desc(), jobs.c.number.desc()).limit(most)
        with reading(self._engine) as connection:
            return tuple(_row(r._mapping) for r in connection.execute(query))

    def job(self, number: int) -> JobRow:
        """One job as the list has it.

        Raises
        ------
        NotFoundError : no such job.
        """
        with reading(self._engine) as connection:
            found = connection.execute(select(jobs).where(jobs.c.number == number)).first()
        if found is None:
            raise _no_job(number)
        return _row(found._mapping)

    def check(self) -> None:
        """Let the database look itself over.

        Raises
        ------
        StoreError : it is damaged.
        """
        with reading(self._engine) as connection:
            if connection.dialect.name == "sqlite":
                said = connection.execute(text("PRAGMA integrity_check")).scalar()
                if said != "ok":
                    hint = "move its file away and restore the last backup"
                    raise StoreError(f"the store is damaged: {said}", "store", hint)

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()


def _no_job(number: int) -> NotFoundError:
    return NotFoundError(f"there is no job {number}", "job", "see the list of jobs for its number")


def _row(r: object) -> JobRow:
    names = JobRow.__dataclass_fields__
    return JobRow(**{name: r[name] for name in names})  # type: ignore[index]


def _exists(connection: Connection, number: int) -> bool:
    """Whether there is such a job; who adds to it waits for another writer to it."""
    query = select(jobs.c.number).where(jobs.c.number == number).with_for_update()
    return connection.execute(query).first() is not None


def _number_of(connection: Connection, uid: str) -> int | None:
    found = connection.execute(select(jobs.c.number).where(jobs.c.uid == uid)).scalar()
    return None if found is None else int(found)


def _make(connection: Connection, uid: str, first: Sequence[LogEntry], number: int | None) -> int:
    when = first[0].at if first else datetime.now(UTC)
    row = {
        "uid": uid or uuid4().hex, "opened_at": when, "changed_at": when, "vehicle": "",
        "complaint": "", "state": "open", "removed": False, "words": "",
    }  # fmt: skip
    if number is not None:
        row["number"] = number
    made = connection.execute(insert(jobs).values(row)).inserted_primary_key
    assert made is not None
    if number is not None and connection.dialect.name == "postgresql":  # SQLite counts these too
        highest = "(SELECT max(number) FROM jobs)"
        connection.execute(
            text(f"SELECT setval(pg_get_serial_sequence('jobs', 'number'), {highest})")
        )
    return int(made[0])


def _add(connection: Connection, number: int, more: Sequence[LogEntry]) -> int:
    uids = [e.uid for e in more]
    known = set(connection.execute(select(entries.c.uid).where(entries.c.uid.in_(uids))).scalars())
    fresh = [e for uid, e in {e.uid: e for e in more}.items() if uid not in known]
    if fresh:
        rows = [{"job": number, "uid": e.uid, "at": e.at, "kind": e.kind, "body": dict(e.body)}
                for e in fresh]  # fmt: skip
        connection.execute(insert(entries), rows)
        _freshen(connection, number)
    return len(fresh)


def _log(connection: Connection, number: int) -> tuple[LogEntry, ...]:
    query = select(entries).where(entries.c.job == number).order_by(entries.c.id)
    found = connection.execute(query)
    return tuple(LogEntry(e.uid, e.at, e.kind, e.body) for e in found)


def _freshen(connection: Connection, number: int) -> None:
    """Bring what the list of jobs shows up to the log."""
    log = _log(connection, number)
    folded = fold(log)
    intake = folded.intake
    told = [str(v) for v in (number, *intake.values(), folded.circuit.get("name", "")) if v]
    row = {
        "changed_at": max(e.at for e in log), "vehicle": str(intake.get("vehicle") or ""),
        "complaint": str(intake.get("complaint") or ""), "state": folded.state,
        "removed": folded.removed, "words": " ".join(told).lower(),
    }  # fmt: skip
    connection.execute(update(jobs).where(jobs.c.number == number).values(row))
