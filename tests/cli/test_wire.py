"""What `loomwise wire` prints, and its exit codes."""

import json

import pytest

from tests.cli.conftest import Run


def test_a_wire_is_chosen_with_its_fuse(run: Run) -> None:
    """Size, what decided, fuse, and the neighbours for comparison, on a narrow page."""
    result = run("wire", "12A", "4 m", "--drop", "0.3 V")
    assert result.exit_code == 0
    assert "2.5 mm²: decided by" in result.stdout or "4 mm²: decided by" in result.stdout
    assert "Fuse 20 A carries 12 A" in result.stdout and "this one" in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 100


def test_a_given_wire_that_will_not_do_is_a_no(run: Run) -> None:
    """Exit 1, every reason, and what would do instead."""
    result = run("wire", "20", "3", "--size", "16 AWG", "--fuse", "25", "--json")
    assert result.exit_code == 1
    data = json.loads(result.stdout)
    assert data["answer"]["ok"] is False and len(data["answer"]["why"]) == 4
    assert data["answer"]["wire"]["size"] == "16 AWG"
    assert data["asked"]["area_mm2"] == pytest.approx(1.309, abs=0.001)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("5,5", "2"), "current: "),
        (("5", "2 A"), "length: "),
        (("5", "2", "--drop", "3,5 %"), "drop: "),
        (("5", "2", "--supply", "400"), "high voltage"),
        (("5", "0"), "length"),
        (("5", "2", "--bundle", "0"), "bundle"),
        (("5", "2", "--temperature", "120"), "temperature"),
        (("5", "2", "--size", "2.5 mm"), "size: "),
        (("5", "2", "--fuse", "10"), "judged with its wire"),
        (("nan", "2"), "current: "),
    ],
)
def test_bad_words_are_told_by_name(run: Run, words: tuple[str, ...], said: str) -> None:
    """Which word, what is wrong with it, what would be right; exit 2."""
    result = run("wire", *words)
    assert result.exit_code == 2 and said in result.stderr, result.stderr
