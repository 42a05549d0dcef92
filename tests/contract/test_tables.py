"""The tables of kinds and of fault modes, row by row."""

import csv
from importlib import resources
from importlib.resources.abc import Traversable

import pytest

TABLES = [
    table
    for package in ("loomwise.circuit.kinds", "loomwise.faults")
    for table in resources.files(package).iterdir()
    if table.name.endswith(".csv")
]


@pytest.mark.parametrize("table", TABLES, ids=[t.name for t in TABLES])
def test_every_row_is_whole(table: Traversable) -> None:
    """Each row has as many cells as the head, and says where its numbers are from."""
    head, *rows = csv.reader(table.read_text(encoding="utf-8").splitlines())
    assert [r for r in rows if len(r) != len(head) or r != [c.strip() for c in r]] == []
    if "source" in head:
        assert [r for r in rows if not r[head.index("source")]] == []
