"""The study on the command line."""

import json

from tests.cli.conftest import Run


def test_a_small_study(run: Run) -> None:
    """The same seed gives the same figures, as text and as JSON, on one core as on two."""
    one = run("study", "horn", "--cases", "2", "--seed", "5", "--jobs", "1", "--json")
    two = run("study", "horn", "--cases", "2", "--seed", "5", "--jobs", "2", "--json")
    assert one.exit_code == 0, one.stderr
    assert json.loads(one.stdout) == json.loads(two.stdout)
    answer = json.loads(one.stdout)
    assert (answer["format"], answer["cases"], answer["seed"]) == (1, 2, 5)
    assert answer["circuits"][0]["circuit"] == "horn"
    text = run("study", "horn", "--cases", "2", "--seed", "5", "--jobs", "1").stdout
    assert "missed contacts recognised" in text and max(map(len, text.splitlines())) <= 100


def test_a_study_of_nothing(run: Run) -> None:
    """An unknown circuit is refused before anything is played."""
    assert run("study", "hron").exit_code == 2
    assert run("study", "horn", "--cases", "0").exit_code == 2
