"""Stores for tests: the same must hold in SQLite and in PostgreSQL."""

from collections.abc import Iterator
from itertools import count
from pathlib import Path

import pytest

from loomwise.store import Store
from tests.store.postgres import new_database, server
from tests.store.shop import store_in

_NUMBERS = count(1)


@pytest.fixture(scope="session")
def postgres() -> Iterator[str]:
    """The address of a PostgreSQL server of this test run."""
    with server() as address:
        yield address


@pytest.fixture(params=["sqlite", "postgresql"])
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Store]:
    """An empty store of its own."""
    if request.param == "sqlite":
        made = store_in(tmp_path)
    else:
        made = Store(new_database(request.getfixturevalue("postgres"), f"shop{next(_NUMBERS)}"))
    yield made
    made.close()
