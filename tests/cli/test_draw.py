"""`loomwise draw` as a person calls it."""

import json
from pathlib import Path
from xml.etree import ElementTree

from tests.cli.conftest import Run


def test_a_drawing_is_printed(run: Run) -> None:
    """Without a file the SVG goes to the screen, so that it can be piped."""
    result = run("draw", "horn")
    assert result.exit_code == 0
    assert ElementTree.fromstring(result.stdout).tag.endswith("svg")


def test_a_drawing_goes_to_a_file(run: Run, tmp_path: Path) -> None:
    """With a file the answer says where it is; a second time it is refused."""
    file = str(tmp_path / "horn.svg")
    words = ("draw", "horn", "-o", file, "--view", "voltage", "--setup", "horn=pressed")
    assert "is now in" in run(*words).stdout
    again = run(*words)
    assert again.exit_code == 2 and "choose another name" in again.stderr


def test_json_carries_the_drawing(run: Run) -> None:
    """A program gets the drawing, its size and the setup in one object."""
    answer = json.loads(run("draw", "horn", "--load", "H1", "--probe", "K1.85", "--json").stdout)
    assert answer["text"].startswith("<svg") and answer["setup"] == "horn free"
    assert answer["load"] == "H1" and answer["width"] > 300


def test_bad_words_are_told(run: Run) -> None:
    """An unknown view, load, place or fault ends with 2 and says what there is."""
    for words, named in (
        (("--view", "volt"), "voltage"),
        (("--load", "H9"), "H1"),
        (("--probe", "H1.9"), "H1.1"),
        (("--fault", "H1 on fire"), "H1"),
    ):
        result = run("draw", "horn", *words)
        assert result.exit_code == 2 and named in result.stderr, result.output
