"""`loomwise compare`: two drawings of one circuit."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.compare.drawings import changed, renamed


@pytest.fixture
def other(tmp_path: Path) -> str:
    """Another drawing of the radiator fans: other names, a fuse of 15 A, two wires exchanged."""
    fuse = "F3:  {kind: fuse, rating: 10 A", "F3:  {kind: fuse, rating: 15 A"
    text = changed("radiator-fans", fuse,
                   ("C3.1 to M1.+", "C3.1 to M1.-"), ("- M1.- to", "- M1.+ to"))  # fmt: skip
    file = tmp_path / "other.yaml"
    file.write_text(renamed(text, 4), encoding="utf-8")
    return str(file)


def test_differences_are_listed_and_answered_with_1(run: Run, other: str) -> None:
    """What differs is said with the names of the first drawing, and where that is in the second."""
    result = run("compare", "radiator-fans", other)
    assert result.exit_code == 1
    assert "1. the wires at C3.1 and C3.2 are exchanged" in result.stdout
    assert "2. fuse F3: rating 10 A in A, 15 A in B" in result.stdout
    assert "in B's names: X" in result.stdout and "K1 = X" in result.stdout
    assert "2 differences in function; 15 parts are in both" in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 100


def test_as_json(run: Run, other: str) -> None:
    """The same as data, with whether the reasoning can use it."""
    result = run("compare", "radiator-fans", other, "--json")
    assert result.exit_code == 1
    answer = json.loads(result.stdout)
    assert answer["format"] == 1 and answer["same"] is False
    assert [(d["kind"], d["expressed"]) for d in answer["differences"]] == [
        ("exchanged", True), ("value", False),
    ]  # fmt: skip
    assert {r["a"] for r in answer["renamed"]} >= {"K1", "M1", "C1", "SP1"}


def test_the_same_circuit_under_other_names(run: Run, tmp_path: Path) -> None:
    """Where only names differ the answer is yes: exit 0."""
    file = tmp_path / "horn.yaml"
    file.write_text(renamed(changed("horn"), 1), encoding="utf-8")
    result = run("compare", "horn", str(file))
    assert result.exit_code == 0
    assert "The same circuit" in result.stdout


def test_a_file_that_is_not_there(run: Run) -> None:
    """A drawing that cannot be read is bad input."""
    result = run("compare", "horn", "nowhere.yaml")
    assert result.exit_code == 2
    assert "nowhere.yaml" in result.stderr
