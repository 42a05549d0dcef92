"""Connections to the database: durable before acknowledged, one writer at a time."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DatabaseError, SQLAlchemyError

from loomwise.errors import StoreError

PATIENCE_S = 10
"""How long a writer waits for another one. [s]"""
_SQLITE = ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON")
"""Write-ahead log, and on the disk before an entry is acknowledged."""
_KNOWN = {
    "full": ("the disk is full", "nothing was stored; make room, then send it again"),
    "locked": ("another program holds the store", "nothing was stored; send it again"),
    "readonly": ("the store cannot be written", "check the rights of the data folder"),
    "unable to open": ("the store cannot be opened", "check the data folder and its rights"),
    "not a database": ("the store's file is not ours, or damaged",
                       "move it away and restore the last backup"),
    "malformed": ("the store's file is damaged", "move it away and restore the last backup"),
    "disk i/o": ("the disk does not answer", "nothing was stored; check the disk"),
}  # fmt: skip


def make_engine(url: str) -> Engine:
    """An engine for the address; SQLite is told to be durable."""
    if not url.startswith("sqlite"):
        return create_engine(url)
    engine = create_engine(url, connect_args={"timeout": PATIENCE_S, "check_same_thread": False})
    event.listen(engine, "connect", _prepare)
    event.listen(engine, "begin", _begin)
    return engine


def _prepare(connection: Any, _: Any) -> None:
    connection.isolation_level = None  # transactions are begun below, not guessed by the driver
    for pragma in _SQLITE:
        connection.execute(f"PRAGMA {pragma}")


def _begin(connection: Connection) -> None:
    """A writer takes the lock at once: waiting is then safe, and two writers cannot block."""
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """A connection to read with; the database's errors in our words."""
    with _our_words(), engine.connect() as connection, connection.begin():
        yield connection


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """One transaction: on the disk when this ends, or nothing at all."""
    with _our_words(), engine.connect() as connection:
        connection = connection.execution_options(writes=True)
        with connection.begin():
            yield connection


@contextmanager
def _our_words() -> Iterator[None]:
    try:
        yield
    except DatabaseError as error:
        raise explained(str(error.orig)) from None
    except SQLAlchemyError as error:
        raise explained(str(error)) from None


def explained(text: str) -> StoreError:
    """A database's message as an error of ours."""
    for word, (what, hint) in _KNOWN.items():
        if word in text.lower():
            return StoreError(what, "store", hint)
    return StoreError(f"the store failed: {text[:200]}", "store", "nothing was stored; try again")
