"""`loomwise record`: live data from elsewhere becomes signs of a job."""

import json
from pathlib import Path
from typing import Any

import pytest

from loomwise.store import open_store
from loomwise.usecases import stored
from tests.cli.conftest import Run

DRIVE = "time;A/C request;Coolant;Road speed\n0;off;1,1;0\n1;off;1,0;12\n2;on;0,9;20\n"


@pytest.fixture
def number(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A job about fans, in a store of its own; the module's name is that of the circuit."""
    monkeypatch.setenv("LOOMWISE_DATA", str(tmp_path / "data"))
    store = open_store()
    number = stored.new_job(store, {"complaint": "The fan stays off", "vehicle": "Norvik T4"})
    stored.choose_circuit(store, number, "radiator-fans")
    return str(number)


def _file(folder: Path, text: str = DRIVE, coding: str = "utf-8") -> str:
    (folder / "drive.csv").write_bytes(text.encode(coding))
    return str(folder / "drive.csv")


def _module(number: str) -> str:
    (module,) = stored.stored_job(open_store(), int(number)).circuit.parts_of_kind("module")
    return module.id


def _signs(number: str) -> list[tuple[str, str]]:
    job = stored.stored_job(open_store(), int(number))
    return [(e.what, e.seen) for e in job.evidence]  # type: ignore[union-attr]


def test_a_record_becomes_signs(run: Run, number: str, tmp_path: Path) -> None:
    """Matched once, a name stays matched; a value that changes asks for the moment that counts."""
    file, m = _file(tmp_path, coding="utf-16"), _module(number)
    looked = run("record", file, number, "--look", "--json")
    assert all("match it with" in n["hint"] for n in json.loads(looked.stdout)["names"])
    words = ("--name", f"A/C request={m}.AC", "--name", f"Coolant={m}.T1", "--name", "Road speed=")
    result = run("record", file, number, *words, "--value", "Coolant:below 2=warm", "--json")
    assert result.exit_code == 0, result.stdout
    found: dict[str, Any] = {n["name"]: n for n in json.loads(result.stdout)["names"]}
    assert found["Coolant"]["sign"] == "S1"
    assert found["A/C request"]["why_not"] == "it changes"
    assert found["Road speed"]["why_not"] == "left out"
    assert run("record", file, number, "--at", "2").exit_code == 0
    assert _signs(number) == [(f"{m}.T1", "warm"), (f"{m}.AC", "on"), (f"{m}.T1", "warm")]


def test_a_record_that_says_nothing_is_told(run: Run, number: str, tmp_path: Path) -> None:
    """Nothing matched, a pin or name that there is not, no file: said so, and nothing entered."""
    file = _file(tmp_path)
    assert run("record", file, number).exit_code == 1
    for words, said in (
        (("--name", "Coolant=M1.X"), "reports nothing"),
        (("--name", "Coolnt=" + _module(number) + ".T1"), "nothing is called 'Coolnt'"),
        (("--name", "Coolant"), "cannot be read; write it as"),
        (("--value", "Coolant:1=tepid"), "'tepid' is no word of Coolant"),
        (("--time", "when"), "there is no column 'when'"),
    ):
        result = run("record", file, number, *words)
        assert result.exit_code == 2 and said in result.stderr, result.stderr
    assert "cannot read it" in run("record", file + "x", number).stderr
    assert _signs(number) == []
