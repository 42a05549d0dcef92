"""A page of another site that is open in the same browser can do nothing here."""

import pytest
from starlette.testclient import TestClient

from loomwise.store import Store
from loomwise.web.guard import MAX_FILE, MAX_FORM

NOTE = {"words": "forged", "token": "x"}


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:9999"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site", "origin": "http://127.0.0.1"},
    ],
)
def test_forged_requests(
    client: TestClient, store: Store, job: int, headers: dict[str, str]
) -> None:
    """A form sent from another site is refused, and nothing is stored."""
    before = store.newest(job)
    for address in (f"/jobs/{job}/notes", f"/api/jobs/{job}/notes"):
        assert client.post(address, data=NOTE, headers=headers).status_code == 403
    assert store.newest(job) == before


def test_our_own_forms(client: TestClient, job: int) -> None:
    """A form of our own page goes through."""
    ours = {"origin": "http://127.0.0.1", "sec-fetch-site": "same-origin"}
    assert client.post(f"/jobs/{job}/notes", data=NOTE, headers=ours).status_code == 303


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "", "10.0.0.5:80"])
def test_other_names_for_this_machine(client: TestClient, host: str) -> None:
    """A site that has its name point to this machine gets no answer."""
    assert client.get("/", headers={"host": host}).status_code == 400


def test_nothing_but_our_own_files_runs(client: TestClient, job: int) -> None:
    """Pages forbid scripts and styles that are written into them, and contain none."""
    answer = client.get(f"/jobs/{job}?wait=1")
    policy = answer.headers["content-security-policy"]
    assert "script-src 'self'" in policy and "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    for forbidden in ("<script>", " style=", " onclick=", "javascript:", "hx-on", "http://"):
        assert forbidden not in answer.text, forbidden
    assert answer.headers["cache-control"] == "no-store"


@pytest.mark.parametrize(("address", "limit"), [("notes", MAX_FORM), ("photos", MAX_FILE)])
def test_what_is_too_large(client: TestClient, job: int, address: str, limit: int) -> None:
    """A body over the limit is refused before it is read, with the limit."""
    answer = client.post(f"/jobs/{job}/{address}", content=b"x" * (limit + 1))
    assert answer.status_code == 413 and "MB" in answer.text


def test_a_body_without_a_length(client: TestClient, job: int) -> None:
    """A body that goes on and on is cut off where it gets too large."""
    pieces = (b"x" * 1_000_000 for _ in range(MAX_FORM // 1_000_000 + 2))
    headers = {"content-type": "application/x-www-form-urlencoded"}
    answer = client.post(f"/jobs/{job}/notes", content=pieces, headers=headers)
    assert answer.status_code == 413


def test_words_are_shown_not_run(client: TestClient, store: Store) -> None:
    """What a customer says is text, whatever is in it."""
    evil = "<script>alert(1)</script>"
    client.post("/new", data={"complaint": evil, "vehicle": evil, "token": "a"})
    assert evil not in client.get("/").text and "&lt;script&gt;" in client.get("/").text
