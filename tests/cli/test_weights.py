"""`loomwise weights`: what finished jobs teach, and taking it back."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Run

JOB = """\
format: 1
complaint: The horn is silent
vehicle: {name: Norvik T4}
circuit: horn
here: horn=pressed
signs:
  - H1 silent, horn=pressed, complaint yes
"""
PROOF = """\
  - H1 silent, horn=pressed, complaint yes
  - K1 pulled, horn=pressed, complaint yes
readings:
  - volts C3.1.a 12.35 V, horn=pressed
  - volts C3.1.b 12.35 V, horn=pressed
  - volts C3.1.b 12.34 V, horn=pressed
  - volts C3.2.a 0.01 V, horn=pressed
  - volts C3.2.b 0.01 V, horn=pressed
  - volts C3.2.b 0.02 V, horn=pressed
"""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A data folder of its own."""
    monkeypatch.setenv("LOOMWISE_DATA", str(tmp_path / "data"))
    return tmp_path


def _job(folder: Path, text: str, name: str = "job.yaml") -> str:
    (folder / name).write_text(text, encoding="utf-8")
    return str(folder / name)


def _classes(run: Run) -> dict[str, Any]:
    answer = json.loads(run("weights", "--json").stdout or run("weights", "list", "--json").stdout)
    return {c["title"]: c for c in answer["classes"]}


def test_a_proven_job_teaches_by_itself(run: Run, folder: Path) -> None:
    """Full volts on the horn and a good ground: the horn is open; such faults count one more."""
    result = run("weights", "count", _job(folder, JOB + PROOF), "--json")
    assert result.exit_code == 0, result.stderr
    answer = json.loads(result.stdout)
    assert [(j["job"], j["found"]) for j in answer["jobs"]] == [("job.yaml", "load open")]
    rows = {c["title"]: c for c in answer["classes"]}
    assert rows["load open"]["jobs"] == 1
    assert rows["load open"]["now_percent"] > rows["load open"]["table_percent"]
    assert rows["battery"]["now_percent"] < rows["battery"]["table_percent"]
    assert sum(c["now_percent"] for c in answer["classes"]) == pytest.approx(100.0)


def test_what_was_learned_moves_the_suspects(run: Run, folder: Path) -> None:
    """After forty jobs with a bad switch the switch is suspected more, and forgotten less again."""
    job = _job(folder, JOB)

    def share() -> float:
        units = json.loads(run("rank", job, "--json").stdout)["units"]
        return float(next(u["share"] for u in units if u["unit"] == "steering wheel"))

    before = share()
    for k in range(40):
        run("weights", "count", _job(folder, JOB, f"j{k}.yaml"), "--found", "switch")
    assert share() > 1.3 * before
    for k in range(40):
        run("weights", "forget", f"j{k}.yaml")
    assert share() == pytest.approx(before)


def test_bad_input_is_named(run: Run, folder: Path) -> None:
    """A job that proves nothing, a class or job there is not, a record that is none: said so."""
    job = _job(folder, JOB)
    for words, said in (
        (("count", job), "proves no unit"),
        (("count", job, "--found", "gremlins"), "there is no class 'gremlins'"),
        (("count", str(folder / "none.yaml"), "--found", "switch"), "none.yaml"),
        (("forget", "job.yaml"), "has not been counted"),
    ):
        result = run("weights", *words)
        assert result.exit_code == 2
        assert said in result.stderr
    (folder / "data").mkdir()
    (folder / "data" / "weights.json").write_text("{", encoding="utf-8")
    result = run("weights", "list")
    assert result.exit_code == 2
    assert "no record of learned weights" in result.stderr
