"""A job that knows of another drawing."""

from pathlib import Path

import pytest

from loomwise.errors import InputError
from loomwise.shelf import read_shelf
from loomwise.usecases.drawings import OTHER, declared
from loomwise.usecases.files import find_job
from loomwise.usecases.rank import next_for_job, rank_job

JOB = """
format: 1
complaint: The horn sounds when nobody presses it
vehicle: {name: Norvik T4}
circuit: horn
differs: [K1 contact NC]
here: horn=free
signs:
  - H1 sounds, horn=free, complaint yes
  - H1 silent, horn=pressed, complaint yes
"""


@pytest.fixture
def job(tmp_path: Path) -> str:
    """The job above as a file."""
    file = tmp_path / "job.yaml"
    file.write_text(JOB, encoding="utf-8")
    return str(file)


def test_what_the_other_drawing_has_otherwise_is_a_hypothesis(job: str) -> None:
    """A relay drawn NO and fitted NC: the other drawing explains what no fault does."""
    answer = rank_job(job)
    doubts = {d["id"]: d["share"] for d in answer["drawing_doubts"]}
    assert doubts[OTHER] > 0.5
    assert "K1 contact NC" in next(d["title"] for d in answer["drawing_doubts"] if d["id"] == OTHER)


def test_the_next_test_can_be_about_the_drawing(job: str) -> None:
    """Asked about the drawing, the tests tell the drawings apart."""
    answer = next_for_job(job, drawing=True)
    names = {e["title"] for t in answer["tests"] for e in t["expectations"]}
    assert not names or any("drawing" in n or "contact of K1" in n for n in names)


def test_without_another_drawing_nothing_is_declared(tmp_path: Path) -> None:
    """A plain job has no doubt of its own making."""
    file = tmp_path / "plain.yaml"
    file.write_text(JOB.replace("differs: [K1 contact NC]\n", ""), encoding="utf-8")
    assert declared(find_job(str(file))) == ()


def test_a_change_the_circuit_cannot_have_is_refused(tmp_path: Path) -> None:
    """A relay that is not there, in the words of the job."""
    file = tmp_path / "wrong.yaml"
    file.write_text(JOB.replace("K1 contact NC", "K9 contact NC"), encoding="utf-8")
    with pytest.raises(InputError, match="K9"):
        rank_job(str(file))
    assert "K1" in read_shelf("horn").parts
