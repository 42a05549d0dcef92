"""The tables. Entries are only ever added; the rest follows from them or never changes.

``jobs.words`` and the columns before it are what the log amounts to, kept for the list of jobs.
Circuits, photographs and files are named by the digest of their content. ``shop`` holds what is
set for the whole shop, each under its name.
"""

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import (
    JSON,
    Boolean,
    Column,
    DateTime,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
)
from sqlalchemy.types import TypeDecorator


class Utc(TypeDecorator[datetime]):
    """A moment in UTC; SQLite gives back what it took without the zone."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Any) -> datetime | None:
        """Into the database: always UTC."""
        return value.astimezone(UTC) if value else None

    def process_result_value(self, value: datetime | None, dialect: Any) -> datetime | None:
        """Out of the database: with its zone."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


metadata = MetaData()

jobs = Table(
    "jobs", metadata,
    Column("number", Integer, primary_key=True, autoincrement=True),
    Column("uid", String(32), nullable=False, unique=True),
    Column("opened_at", Utc, nullable=False),
    Column("changed_at", Utc, nullable=False),
    Column("vehicle", Text, nullable=False, default=""),
    Column("complaint", Text, nullable=False, default=""),
    Column("state", String(16), nullable=False, default="open"),
    Column("removed", Boolean, nullable=False, default=False),
    Column("words", Text, nullable=False, default=""),
    sqlite_autoincrement=True,
)  # fmt: skip

entries = Table(
    "entries", metadata,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("job", ForeignKey("jobs.number"), nullable=False),
    Column("uid", String(32), nullable=False, unique=True),
    Column("at", Utc, nullable=False),
    Column("kind", String(20), nullable=False),
    Column("body", JSON, nullable=False),
    Index("entries_of_job", "job", "id"),
    sqlite_autoincrement=True,
)  # fmt: skip

circuits = Table(
    "circuits", metadata,
    Column("digest", String(64), primary_key=True),
    Column("name", Text, nullable=False),
    Column("text", Text, nullable=False),
)  # fmt: skip

photos = Table(
    "photos", metadata,
    Column("digest", String(64), primary_key=True),
    Column("width", Integer, nullable=False),
    Column("height", Integer, nullable=False),
    Column("data", LargeBinary, nullable=False),
)  # fmt: skip

files = Table(
    "files", metadata,
    Column("digest", String(64), primary_key=True),
    Column("name", Text, nullable=False),
    Column("data", LargeBinary, nullable=False),
)  # fmt: skip

shop = Table(
    "shop", metadata,
    Column("name", String(200), primary_key=True),
    Column("body", JSON, nullable=False),
)  # fmt: skip
