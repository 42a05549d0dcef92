"""`loomwise close`, `reopen`, `similar` and `figures`: a job to its end, and what remains of it."""

import json
from pathlib import Path
from typing import Any

import pytest

from loomwise.store import open_store
from loomwise.usecases import stored
from tests.cli.conftest import Run
from tests.store.shop import INTAKE, PRESSED


@pytest.fixture
def told(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Calls a command in a store of its own; the answer as data."""
    monkeypatch.setenv("LOOMWISE_DATA", str(tmp_path))

    def called(*words: str, code: int = 0) -> Any:
        result = run(*words, "--json")
        assert result.exit_code == code, result.stdout
        return json.loads(result.stdout)

    return called


def _silent(sign: str = "silent") -> str:
    """A job about the horn with full volts at it; its number."""
    store = open_store()
    number = stored.new_job(store, INTAKE)
    stored.choose_circuit(store, number, "horn")
    stored.stand(store, number, PRESSED)
    stored.enter(store, number, "sign", {"what": "H1", "seen": sign})
    for place, value in (("C3.1.b", "12.4 V"), ("C3.2.b", "0.01 V")):
        stored.enter(store, number, "reading", {"red": place, "value": value, "minutes": 6.0})
    stored.stand(store, number, {"setup": {}, "opened": []})
    return str(number)


def test_a_job_to_its_end(told: Any, run: Run) -> None:
    """Repair, checks, closing as proven; the weights say so; reopened they forget it."""
    number = _silent()
    looked = told("close", number, "--repaired", "horn", "--look", code=1)
    assert looked["repaired"] == {"horn": "horn"} and not looked["closed"]
    refused = told("close", number, code=2)
    assert "is not done yet" in refused["problems"][0]["text"]
    answers = []
    for c in looked["checks"]:
        word = c["word"] or f"{(c['low'] + c['high']) / 2:.2f}"
        answers += ["--answer", f"{c['id']}={word}"]
    closed = told("close", number, *answers)
    assert closed["closed"] == "proven" and "counted in the weights" in closed["learned"]
    assert told("weights", "list")["jobs"] == [{"job": number, "found": "load open"}]
    assert "proven" in run("close", number, "--look").stdout
    assert told("reopen", number, "silent again", "--comeback")["comebacks"] == 1
    assert told("weights", "list")["jobs"] == []


def test_figures_by_month(told: Any, run: Run, tmp_path: Path) -> None:
    """Jobs, minutes, share proven and comebacks of the month, as a table and as plots."""
    assert "No job has been closed yet" in run("figures").stdout
    first, second = _silent(), _silent()
    told("close", first, "--unproven", "sold")
    told("close", second, "--unproven", "no time")
    told("reopen", second, "silent again", "--comeback")
    (month,) = told("figures")["months"]
    assert (month["jobs"], month["minutes_a_job"], month["proven_share"]) == (2, 12.0, 0.0)
    assert (month["comebacks"], month["comeback_share"]) == (1, 0.5)
    plots = tmp_path / "plots.svg"
    told("figures", "-o", str(plots))
    text = plots.read_text(encoding="utf-8")
    assert text.startswith("<svg") and "12 min" in text and "50 %" in text and "2 jobs" in text
    assert month["month"] in run("figures").stdout


def test_similar_jobs_are_shown(told: Any, run: Run) -> None:
    """Earlier jobs on the same circuit come first by the signs they share, with what was done."""
    old, other, new = _silent(), _silent("sounds"), _silent()
    told("close", old, "--repaired", "horn", "--unproven", "collected before the check")
    found = told("similar", new)["jobs"]
    assert [str(j["number"]) for j in found] == [old, other]
    assert found[0]["shared"] == ["H1 silent"] and found[0]["likeness"] == 1.0
    assert found[0]["repaired"] == ["horn"] and found[0]["ended"] == "unproven"
    assert found[1]["likeness"] == 0.0
    assert "horn" in run("similar", new).stdout
