"""`loomwise practice`: hide, ask, decide, and how it went."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Run


@pytest.fixture
def asked(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Calls `loomwise practice` in a store of its own; the answer as data."""
    monkeypatch.setenv("LOOMWISE_DATA", str(tmp_path))

    def called(*words: str, code: int = 0) -> Any:
        result = run("practice", *words, "--json")
        assert result.exit_code == code, result.stdout
        return json.loads(result.stdout)

    return called


def test_a_practice_from_start_to_end(asked: Any, run: Run) -> None:
    """The vehicle answers in the setup it stands in, and the end compares both paths."""
    begun = asked("start", "horn", "--seed", "14", "--person", "Kim")
    number = str(begun["number"])
    assert begun["complaint"][0] == "H1 sounds"
    assert asked("ask", number, "volts", "F4.1")["steps"][0]["id"] == "R2"
    apart = asked("ask", number, "--undo", "C3 apart")
    assert apart["put_back"] == ["C3 apart"]
    assert len(apart["steps"]) == 1
    both = asked("ask", number, "volts C3.1.a", "--setup", "horn=pressed", "--back", "all")
    assert both["put_back"] == [] and "pressed" in both["steps"][-1]["setup"]
    text = run("practice", "show", number).stdout
    assert "2 tests" in text and "the vehicle stands: horn pressed" in text
    ended = asked("decide", number, "K1", code=1)
    assert ended["debrief"]["own"]["minutes"] == pytest.approx(both["minutes"])
    assert asked("show", number) == ended
    told = run("practice", "show", number).stdout
    assert "not right" in told and "The paths part at test" in told
    listed = asked("list", "--person", "kim")
    assert (listed["decided"], listed["right"]) == (1, 0)
    assert asked("list", "--person", "Ada")["practices"] == []
    assert "decided already" in json.dumps(asked("ask", number, "volts F4.1", code=2))


def test_practice_is_no_job_of_the_shop(asked: Any, tmp_path: Path) -> None:
    """What was practised is not on the list of jobs, but goes into the backup."""
    from loomwise.store import open_store, read_archive, write_archive
    from tests.store.shop import store_in

    number = asked("start", "horn", "--seed", "14")["number"]
    store = open_store()
    assert not store.jobs()
    assert [row.number for row in store.jobs(practice=True)] == [number]
    write_archive(store, str(tmp_path / "all.loomwise"))
    other = store_in(tmp_path)
    assert read_archive(other, str(tmp_path / "all.loomwise")).jobs == (number,)
    other.close()


NOT_TO_BE = (
    (("gaze F4",), "'gaze F4' is no test"),
    (("volts F9.1",), "no place 'F9.1'"),
    (("ohms C3.1.a",), "an ohmmeter shows nonsense on a live circuit"),
    (("watch G1",), "cannot be seen"),
    (("--back", "C3 apart"), "'C3 apart' is not undone"),
    (("--setup", "moon=full"), "moon"),
)


def test_what_cannot_be_asked_is_said(asked: Any) -> None:
    """A test that cannot be made is refused as on a job, and nothing is kept of it."""
    number = str(asked("start", "horn", "--seed", "14")["number"])
    for words, said in NOT_TO_BE:
        problems = asked("ask", number, *words, code=2)["problems"]
        assert said in " ".join(p["text"] for p in problems)
    assert "no unit 'moon'" in str(asked("decide", number, "moon", code=2))
    assert "no difficulty" in str(asked("start", "horn", "--difficulty", "mild", code=2))
    assert asked("show", number)["steps"] == []
