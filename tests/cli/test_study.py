"""The study on the command line."""

import json
from pathlib import Path

import pytest

from loomwise.cli.study import run as study
from tests.cli.conftest import Run


@pytest.mark.slow
def test_a_small_study(run: Run) -> None:
    """The same seed gives the same figures, as text and as JSON, on one core as on two."""
    one = run("study", "horn", "--cases", "2", "--seed", "5", "--jobs", "1", "--json")
    two = run("study", "horn", "--cases", "2", "--seed", "5", "--jobs", "2", "--json")
    assert one.exit_code == 0, one.stderr
    assert json.loads(one.stdout) == json.loads(two.stdout)
    answer = json.loads(one.stdout)
    assert (answer["format"], answer["cases"], answer["seed"]) == (1, 2, 5)
    assert answer["circuits"][0]["circuit"] == "horn"
    assert answer["total"][0]["cases"] == 2
    text = run("study", "horn", "--cases", "2", "--seed", "5", "--jobs", "1").stdout
    assert "right at the end" in text and max(map(len, text.splitlines())) <= 100


def test_a_study_of_nothing(run: Run) -> None:
    """An unknown circuit is refused before anything is played."""
    assert run("study", "hron").exit_code == 2
    assert run("study", "horn", "--cases", "0").exit_code == 2


def test_a_study_goes_on_where_it_was_stopped(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Cases that were kept are not played again; half a line left by a stop does no harm."""
    file = tmp_path / "cases.jsonl"
    study(("horn",), 1, 5, 1, True, keep=str(file))
    first = json.loads(capsys.readouterr().out)
    with file.open("a", encoding="utf-8") as kept:
        kept.write('{"digest": "54')
    monkeypatch.setattr("loomwise.usecases.study._play", _refuse)
    study(("horn",), 1, 5, 1, True, keep=str(file))
    assert json.loads(capsys.readouterr().out) == first
    with pytest.raises(AssertionError, match="played"):
        study(("horn",), 1, 6, 1, True, keep=str(file))


def _refuse(task: object) -> None:
    raise AssertionError(f"{task} was played")


def test_scenarios_stand_one_below_the_other(capsys: pytest.CaptureFixture[str]) -> None:
    """Each scenario asked for has figures of its own."""
    study(("horn",), 1, 5, 1, False, scenarios="plain,rough")
    text = capsys.readouterr().out
    assert text.index("plain: one fault") < text.index("rough: one fault")
