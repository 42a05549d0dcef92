"""Finding circuits and jobs by the words a person writes."""

from pathlib import Path

import pytest

from loomwise.errors import FileError, InputError
from loomwise.shelf import shelf_text
from loomwise.usecases.files import find_circuit, find_job, read_text

JOB = "format: 1\ncomplaint: x\nvehicle: {name: y}\ncircuit: own.yaml\n"


def test_a_shelf_name_and_a_file() -> None:
    """A plain word is a circuit on the shelf."""
    assert find_circuit("horn").title.startswith("Horn")


def test_the_circuit_lies_beside_the_job(tmp_path: Path) -> None:
    """A job names its circuit relative to itself, wherever it is called from."""
    (tmp_path / "own.yaml").write_text(shelf_text("horn"), encoding="utf-8")
    (tmp_path / "job.yaml").write_text(JOB, encoding="utf-8")
    assert find_job(str(tmp_path / "job.yaml")).circuit.title.startswith("Horn")


def test_the_circuit_is_not_there(tmp_path: Path) -> None:
    """A circuit file that is missing is told at the line of the job that names it."""
    (tmp_path / "job.yaml").write_text(JOB, encoding="utf-8")
    with pytest.raises(FileError, match=r"line 4: .*own\.yaml: cannot read it: no such file"):
        find_job(str(tmp_path / "job.yaml"))


def test_a_mark_at_the_start_is_skipped(tmp_path: Path) -> None:
    """A byte order mark, which some editors write, does no harm."""
    file = tmp_path / "a.yaml"
    file.write_bytes(b"\xef\xbb\xbfformat: 1\n")
    assert read_text(file) == "format: 1\n"


@pytest.mark.parametrize("word", ["nothing", "horn.yml", "a/b", "x\0y.yaml"])
def test_words_that_name_nothing(word: str) -> None:
    """Whatever is written, the answer is a message."""
    with pytest.raises(InputError):
        find_circuit(word)


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("horn", "horn is a circuit, not a job; worked jobs on it are horn/croaks, "),
        ("horn/slient", "no worked job 'horn/slient' on the shelf; did you mean 'horn/silent'?"),
    ],
)
def test_a_worked_job_that_is_not_there(word: str, says: str) -> None:
    """Who asks for a job that is not on the shelf is told which jobs are."""
    with pytest.raises(InputError) as caught:
        find_job(word)
    assert says in str(caught.value)
