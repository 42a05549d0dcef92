"""Runs the command line inside the test."""

from collections.abc import Callable

import pytest
from typer.testing import CliRunner, Result

from loomwise.cli.main import app

Run = Callable[..., Result]


@pytest.fixture
def run() -> Run:
    """Calls `loomwise` with these words; the result has exit code, stdout and stderr."""
    runner = CliRunner(env={"COLUMNS": "100"})

    def called(*words: str) -> Result:
        return runner.invoke(app, list(words), prog_name="loomwise")

    return called
