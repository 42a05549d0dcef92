"""Files of a job, and what is set for the whole shop."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Add the tables."""
    op.create_table(
        "files",
        sa.Column("digest", sa.String(64), primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("data", sa.LargeBinary, nullable=False),
    )
    op.create_table(
        "shop",
        sa.Column("name", sa.String(200), primary_key=True),
        sa.Column("body", sa.JSON, nullable=False),
    )
