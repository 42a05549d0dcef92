"""Records of live data on the page: whatever was sent, it is told, and nothing of it is lost."""

import re

import pytest
from starlette.testclient import TestClient

from loomwise.store import Store
from loomwise.usecases import stored
from tests.web.forms import forms

DRIVE = "time;A/C request;Coolant;Road speed\n0;off;1,1;0\n1;off;1,0;12\n2;on;0,9;20\n"


@pytest.fixture
def fans(store: Store) -> tuple[int, str]:
    """A job about fans, and the name of its module."""
    number = stored.new_job(store, {"complaint": "The fan stays off", "vehicle": "Norvik T4"})
    stored.choose_circuit(store, number, "radiator-fans")
    (module,) = stored.stored_job(store, number).circuit.parts_of_kind("module")
    return number, module.id


def _send(client: TestClient, number: int, data: bytes, name: str = "drive.csv") -> str:
    """Send a record; the address of its page."""
    answer = client.post(f"/jobs/{number}/live", files={"file": (name, data)}, data={"token": "t"})
    assert answer.status_code == 303, answer.text
    return str(answer.headers["location"])


def _form(page: str) -> dict[str, str]:
    """What the form of a record would send as it stands."""
    return next(f.fields for f in forms(page) if "time" in f.fields)


def _said(client: TestClient, number: int, data: bytes) -> str:
    answer = client.post(f"/jobs/{number}/live", files={"file": ("x.csv", data)})
    assert answer.status_code == 422
    (told,) = re.findall(r'<div class="problems".*?</div>', answer.text, re.DOTALL)
    return str(told)


def test_a_record_is_shown_before_it_counts(
    client: TestClient, store: Store, fans: tuple[int, str]
) -> None:
    """Sent, matched, its values told, the moment chosen: only then signs are entered."""
    number, m = fans
    address = _send(client, number, DRIVE.encode("utf-8-sig"))
    page = client.get(address).text
    assert "2.0 s, 3 names" in page and "not matched" in page
    asked = _form(page) | {"is-0": f"{m}.AC", "is-1": f"{m}.T1", "is-2": "-", "what": "match"}
    page = client.get(client.post(address, data=asked).headers["location"]).text
    assert "Off from 0.0 s; on from 2.0 s" in page and "say which moment counts" in page
    assert stored.stored_job(store, number).evidence == ()
    asked = _form(page) | {"below-1-warm": "2", "at": "2,0", "what": "match", "token": "u"}
    page = client.get(client.post(address, data=asked).headers["location"]).text
    assert f"Sign: {m}.AC on" in page and f"Sign: {m}.T1 warm" in page
    for _ in range(2):  # the same form sent again enters nothing again
        answer = client.post(address, data=_form(page) | {"what": "enter", "token": "v"})
    assert "Entered as signs: S1, S2" in client.get(answer.headers["location"]).text
    seen = [(e.what, e.seen) for e in stored.stored_job(store, number).evidence]  # type: ignore[union-attr]
    assert seen == [(f"{m}.AC", "on"), (f"{m}.T1", "warm")]


def test_a_limit_is_taken_away(client: TestClient, fans: tuple[int, str]) -> None:
    """A limit that was a slip is emptied, and no longer counts."""
    number, m = fans
    address = _send(client, number, DRIVE.encode())
    client.post(address, data=_form(client.get(address).text) | {"is-1": f"{m}.T1"})
    client.post(address, data=_form(client.get(address).text) | {"below-1-hot": "2"})
    page = client.get(address).text
    assert f"Sign: {m}.T1 hot" in page
    client.post(address, data=_form(page) | {"below-1-hot": "", "below-1-warm": "3"})
    assert f"Sign: {m}.T1 warm" in client.get(address).text


def test_columns_are_matched_once(client: TestClient, fans: tuple[int, str]) -> None:
    """The next record of the same circuit is understood at once."""
    number, m = fans
    first = _send(client, number, DRIVE.encode())
    client.post(first, data=_form(client.get(first).text) | {"is-0": f"{m}.AC", "what": "match"})
    second = _send(client, number, b"time,A/C request\n0,1\n1,1\n", "next.csv")
    assert f"Sign: {m}.AC on" in client.get(second).text
    listed = client.get(f"/jobs/{number}/live").text
    assert "drive.csv" in listed and "next.csv" in listed


def test_two_columns_of_times(client: TestClient, fans: tuple[int, str]) -> None:
    """With two columns that could be times the page asks which counts; the file is kept."""
    number, _ = fans
    address = _send(client, number, b"time,timestamp,Fan\n0,100,on\n2,107,on\n")
    answer = client.get(address)
    assert answer.status_code == 422 and "2 columns look like times" in answer.text
    answer = client.post(address, data={"time": "timestamp", "what": "match"})
    assert "7.0 s, 2 names" in client.get(answer.headers["location"]).text


def test_what_is_missing_is_told(client: TestClient, fans: tuple[int, str]) -> None:
    """Pauses, empty cells and lines that could not be read are said, and the rest counts."""
    number, _ = fans
    rows = "".join(f"{t};on\n" for t in (*range(10), 30, 31)) + "32;\n33;on;1\n"
    page = client.get(_send(client, number, f"time;Fan\n{rows}".encode("utf-16"))).text
    assert "Nothing from 9.0 s to 30.0 s" in page and "1 cells are empty" in page
    assert "1 line was left out" in page and "3 cells where the header has 2" in page


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "no file|empty"),
        (b"time,name,value\n0,5,Fan,12,4\n", "decimal comma"),
        (b"just words\n", "only one column"),
        (b"\x80\x81,b\n1,2\n", "no Unicode text"),
        (b"time;Fan\n" + b"0;1\n" * 2_100_000, "too large.*limit is 8 MB"),
        (b"%PDF-1.4\n\x00\x00,\n", "not text"),
    ],
)
def test_no_record(client: TestClient, fans: tuple[int, str], data: bytes, said: str) -> None:
    """A file that is no record is refused in words, and not kept."""
    number, _ = fans
    assert re.search(said, _said(client, number, data))
    assert "None yet" in client.get(f"/jobs/{number}/live").text


def test_wrong_words_on_the_form(client: TestClient, fans: tuple[int, str]) -> None:
    """A moment that is none, or a pin that there is not, is told, and the record stays."""
    number, _ = fans
    address = _send(client, number, DRIVE.encode())
    for wrong, said in (({"at": "noon"}, "is no moment"), ({"is-0": "Z9.X"}, "reports nothing")):
        form = _form(client.get(address).text)
        answer = client.post(address, data=form | wrong | {"what": "enter"})
        assert answer.status_code == 422 and said in answer.text and "drive.csv" in answer.text
    assert client.get(f"/jobs/{number}/live/{'0' * 64}").status_code == 404


def test_a_circuit_without_modules(client: TestClient, job: int) -> None:
    """Where nothing reports, the page says so."""
    assert "No module of this circuit reports" in client.get(f"/jobs/{job}/live").text
