"""`loomwise generate` on the command line."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run


def test_text_or_file(run: Run, tmp_path: Path) -> None:
    """Without a file the circuit is printed; with one the same goes there."""
    printed = run("generate", "--parts", "12", "--seed", "3")
    assert printed.exit_code == 0 and printed.stdout.startswith("format: 1\n")
    file = tmp_path / "own.yaml"
    result = run("generate", "--parts", "12", "--seed", "3", "-o", str(file))
    assert result.exit_code == 0 and str(file) in result.stdout
    assert file.read_text(encoding="utf-8") == printed.stdout
    assert run("check", str(file)).exit_code == 0


def test_json(run: Run) -> None:
    """With --json the text comes in an object, beside what was asked for."""
    answer = json.loads(run("generate", "--parts", "8", "--seed", "2", "--json").stdout)
    assert (answer["format"], answer["parts"], answer["seed"], answer["file"]) == (1, 8, 2, None)
    assert answer["text"].startswith("format: 1\n")


@pytest.mark.parametrize(
    ("words", "said"),
    [(("--parts", "7"), "8 to 600"), (("--parts", "601"), "8 to 600"), (("--seed", "-1"), "-1")],
)
def test_bad_numbers(run: Run, words: tuple[str, str], said: str) -> None:
    """Numbers out of range are bad input, and what would be right is said."""
    result = run("generate", *words)
    assert result.exit_code == 2 and said in result.stderr
    problems = json.loads(run("generate", *words, "--json").stdout)
    assert said in json.dumps(problems)
