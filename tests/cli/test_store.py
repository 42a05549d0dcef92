"""Stored jobs on the command line: the same commands, and files to carry them in."""

import json
from pathlib import Path

import pytest

from loomwise.store.where import VARIABLE
from tests.cli.conftest import Run

JOB = """\
format: 1
complaint: The horn stays silent
vehicle: {name: Norvik T4, vin: 11111111111111111}
circuit: horn
here: horn=pressed
opened: [C1]
cannot: [clamp]
authorised: 60 min
signs:
  - H1 silent, horn=pressed, complaint yes
readings:
  - volts F4.1 12.6 V, horn=pressed, complaint yes
  - volts C1.3.a 12.5 V, horn=pressed, C1 apart, open, complaint yes
  - {instrument: ohmmeter, red: H1.1, black: H1.2, value: OL, undone: [BAT off]}
"""


@pytest.fixture
def job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A job file, beside an empty store."""
    monkeypatch.setenv(VARIABLE, str(tmp_path / "data"))
    monkeypatch.chdir(tmp_path)
    (tmp_path / "job.yaml").write_text(JOB, encoding="utf-8")
    return "job.yaml"


def test_a_job_file_in_the_store_means_the_same(run: Run, job: str) -> None:
    """The same job ranks the same from its file and from the store."""
    assert run("import", job).stdout.startswith("job 1 read")
    ranked = [json.loads(run("rank", name, "--json").stdout) for name in (job, "1")]
    assert ranked[0] == ranked[1]
    asked = [
        json.loads(run("next", name, "--json").stdout)["tests"][0]["title"] for name in (job, "1")
    ]
    assert asked[0] == asked[1]


def test_a_job_goes_to_another_shop(run: Run, job: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Export here, import there; nothing is overwritten, and twice is once."""
    run("import", job)
    assert run("export", "1", "-o", "one.loomwise").exit_code == 0
    assert run("export", "1", "-o", "one.loomwise").exit_code == 2, "the file is there already"
    monkeypatch.setenv(VARIABLE, "other")
    assert json.loads(run("import", "one.loomwise", "--json").stdout)["jobs"] == [1]
    assert "nothing was new" in run("import", "one.loomwise").stdout
    assert run("proof", "1", "--repaired", "horn").exit_code == 0


def test_backup_and_restore(run: Run, job: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A shop written to one file stands again in an empty data folder."""
    run("import", job), run("import", job)
    assert run("backup", "shop.loomwise").exit_code == 0
    monkeypatch.setenv(VARIABLE, "empty")
    assert run("restore", "shop.loomwise").stdout.startswith("2 jobs read")
    assert run("rank", "2").exit_code == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("rank", "7"), "there is no job 7"),
        (("export", "7", "-o", "x.loomwise"), "there is no job 7"),
        (("import", "job.loomwise"), "cannot read it"),
        (("restore", "job.yaml"), "not a whole file of ours"),
    ],
)
def test_what_is_not_there(run: Run, job: str, words: tuple[str, ...], said: str) -> None:
    """A job or file that is not there, or is not ours, is bad input with a hint."""
    result = run(*words)
    assert result.exit_code == 2 and said in result.stderr


def test_a_folder_that_cannot_be_made(
    run: Run, job: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A data folder in the place of a file is told with what to do."""
    monkeypatch.setenv(VARIABLE, str(tmp_path / job / "data"))
    result = run("rank", "1")
    assert result.exit_code == 3 and VARIABLE in result.stderr
