"""A store for tests of what is kept in it."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from loomwise.store import Store
from tests.store.shop import store_in


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """An empty store of its own."""
    made = store_in(tmp_path)
    yield made
    made.close()
