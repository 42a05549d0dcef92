"""Runs the steps on the connection that ``migrate`` hands over."""

from alembic import context

from loomwise.store.tables import metadata

context.configure(
    connection=context.config.attributes["connection"], target_metadata=metadata,
    render_as_batch=True,
)  # fmt: skip
with context.begin_transaction():
    context.run_migrations()
