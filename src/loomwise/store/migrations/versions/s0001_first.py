"""The first tables: jobs, entries, circuits, photographs."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "jobs",
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=True),
        sa.Column("uid", sa.String(32), nullable=False, unique=True),
        sa.Column("opened_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("vehicle", sa.Text, nullable=False),
        sa.Column("complaint", sa.Text, nullable=False),
        sa.Column("state", sa.String(16), nullable=False),
        sa.Column("removed", sa.Boolean, nullable=False),
        sa.Column("words", sa.Text, nullable=False),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "entries",
        sa.Column("id", sa.Integer, primary_key=True, autoincrement=True),
        sa.Column("job", sa.Integer, sa.ForeignKey("jobs.number"), nullable=False),
        sa.Column("uid", sa.String(32), nullable=False, unique=True),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("body", sa.JSON, nullable=False),
        sqlite_autoincrement=True,
    )
    op.create_index("entries_of_job", "entries", ["job", "id"])
    op.create_table(
        "circuits",
        sa.Column("digest", sa.String(64), primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("text", sa.Text, nullable=False),
    )
    op.create_table(
        "photos",
        sa.Column("digest", sa.String(64), primary_key=True),
        sa.Column("width", sa.Integer, nullable=False),
        sa.Column("height", sa.Integer, nullable=False),
        sa.Column("data", sa.LargeBinary, nullable=False),
    )
