"""Brings a database to the present tables, with a copy of an older one kept beside it."""

import shutil
from pathlib import Path

from sqlalchemy import Engine, inspect, text

from loomwise.errors import StoreError
from loomwise.store.engine import reading

HEAD = "0002"
"""The newest step in ``migrations/versions``; a test compares."""


def bring_up(engine: Engine) -> None:
    """Make the tables, or change older ones.

    Raises
    ------
    StoreError : the database is of a newer program, or not ours.
    """
    found = revision(engine)
    if found == HEAD:
        return
    if found and found > HEAD:
        hint = "use the newer Loomwise here too; nothing was changed"
        raise StoreError(f"the store was written by a newer Loomwise (step {found})", "store", hint)
    if found:
        _keep_copy(engine, found)
    _upgrade(engine)


def revision(engine: Engine) -> str:
    """The step the database stands at; empty for an empty database."""
    with reading(engine) as connection:
        tables = inspect(connection).get_table_names()
        if "alembic_version" in tables:
            return str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar())
    if tables:
        hint = "name another data folder with LOOMWISE_DATA"
        raise StoreError("the database holds something that is not ours", "store", hint)
    return ""


def _keep_copy(engine: Engine, found: str) -> None:
    """An older database is copied before it is changed."""
    name = engine.url.database
    if engine.url.get_backend_name() == "sqlite" and name:
        path = Path(name)
        with reading(engine) as connection:
            connection.exec_driver_sql("SELECT 1")
            shutil.copyfile(path, path.with_name(f"{path.stem}-before-{HEAD}-from-{found}.db"))


def _upgrade(engine: Engine) -> None:
    from alembic import command  # takes 0.2 s to load, and is needed once
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations"))
    with engine.connect().execution_options(writes=True) as connection, connection.begin():
        config.attributes["connection"] = connection
        command.upgrade(config, HEAD)
