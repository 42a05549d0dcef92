"""The pages of a job's end, of practice and of the figures, as plain forms."""

import re

import pytest
from starlette.testclient import TestClient

from loomwise.store import Store
from loomwise.usecases import closing, practise, stored
from loomwise.usecases.practice_progress import progress
from loomwise.usecases.practice_words import Asked
from tests.store.shop import horn_job


def test_a_job_is_repaired_proven_and_closed(client: TestClient, store: Store, job: int) -> None:
    """Repair, the checks ticked off with values, the put-back list empty: closed as proven."""
    stored.stand(store, job, {"setup": {}, "undone": ["C3 apart"]})
    address = f"/jobs/{job}/end"
    assert "Nothing has been repaired yet" in client.get(address).text
    client.post(address, data={"what": "repair", "unit": "horn", "words": "New horn", "token": "a"})
    end = closing.end_of(store, job)
    told = {"what": "proof", "token": "b"}
    for c in end.checks:
        told[f"check-{c['id']}"] = c["word"] or f"{(c['low'] + c['high']) / 2:.2f}"
    client.post(address, data=told)
    refused = client.post(address, data={"what": "close", "token": "c"})
    assert refused.status_code == 422 and "still undone" in refused.text
    stored.stand(store, job, {"undone": [], "opened": []})
    assert client.post(address, data={"what": "close", "token": "d"}).status_code == 303
    try:
        assert "Closed as proven" in client.get(address).text
        assert "Closed as proven" in client.get(f"/jobs/{job}/record").text
        assert "New horn" in client.get(f"/jobs/{job}/record").text
        assert "closed" in client.get("/").text
        assert "100 %" in client.get("/figures").text
        assert client.get("/figures.svg").text.startswith("<svg")
    finally:
        client.post(address, data={"what": "reopen", "words": "again", "comeback": "yes"})
    assert store.job(job).state != "closed"


def test_a_job_without_proof_needs_a_reason(client: TestClient, store: Store, job: int) -> None:
    """Unproven it is closed with the reason only; without one the page says what is missing."""
    stored.stand(store, job, {"opened": []})
    address = f"/jobs/{job}/end"
    assert client.post(address, data={"what": "unproven", "words": " "}).status_code == 422
    client.post(address, data={"what": "unproven", "words": "Sold as it is"})
    page = client.get(address).text
    assert "Closed as unproven" in page and "Sold as it is" in page
    assert "No other job on this circuit" in client.get(f"/jobs/{job}/similar").text


def test_a_practice_on_the_pages(client: TestClient, store: Store) -> None:
    """Hide a fault, set up, probe, decide: afterwards both paths stand beside each other."""
    begun = client.post(
        "/practice", data={"circuit": "horn", "difficulty": "easy", "person": "Kim"}
    )
    address = begun.headers["location"]
    page = client.get(address).text
    assert "What its owner shows" in page and "None yet" in page
    client.post(f"{address}/setup", data={"control-horn": "pressed", "undo": "C3 apart"})
    client.post(f"{address}/setup", data={"control-horn": "pressed", "back": "C3 apart"})
    client.post(f"{address}/ask", data={"tool": "volts", "red": "F4.1"})
    bad = client.post(f"{address}/ask", data={"tool": "volts", "red": "F9.9"})
    assert bad.status_code == 422 and "no place" in bad.text.casefold()
    assert "V at F4.1" in client.get(address).text
    client.post(f"{address}/decision", data={"unit": "G1"})
    ended = client.get(address).text
    assert re.search("Right|Not right", ended) and "The advised path" in ended
    assert "How it goes for Kim" in client.get("/practice?person=kim").text
    assert client.get("/").text.count('class="card"') == 0
    assert client.get("/practice/999").status_code == 404


@pytest.fixture
def practice(store: Store) -> int:
    """An easy vehicle with a hidden fault in its horn."""
    return practise.start(store, "horn", "easy", 1, "Kim").number


def test_a_practice_is_no_job(client: TestClient, store: Store, practice: int) -> None:
    """The pages and JSON of jobs refuse a practice: suspects and tests would give it away."""
    for page in ("", "/decision", "/record", "/suspects", "/end", "/road", "/live"):
        answer = client.get(f"/jobs/{practice}{page}")
        assert (answer.status_code, answer.headers["location"]) == (303, f"/practice/{practice}")
    before = store.newest(practice)
    sent = {"instrument": "voltmeter", "red": "F4.1", "value": "12 V"}
    assert client.post(f"/jobs/{practice}/items", data=sent).status_code == 404
    for way in ("advice", "end", "record", "similar"):
        assert client.get(f"/api/jobs/{practice}/{way}").status_code == 404
    assert store.newest(practice) == before
    job = horn_job(store)
    for address in (f"/practice/{job}", f"/api/practice/{job}"):
        assert client.get(address).status_code == 404


def test_progress_by_person(client: TestClient, store: Store, practice: int) -> None:
    """For each person: how many right, in what time beside the advised one, by difficulty."""
    practise.ask(store, practice, Asked("volts F4.1", "horn=pressed"))
    practise.decide(store, practice, "battery")
    other = practise.start(store, "horn", "easy", 2, "Lee").number
    found = progress(store)
    assert [(p.person, p.all.decided, p.all.right, p.open) for p in found.people] == [
        ("Kim", 1, 0, 0), ("Lee", 0, 0, 1),
    ]  # fmt: skip
    kim = found.people[0]
    assert kim.by_difficulty["easy"] == kim.lately == kim.all
    line = next(x for x in found.practices if x.number == practice)
    assert kim.all.time_share == pytest.approx((line.minutes or 0) / (line.advised_minutes or 1))
    page = client.get("/practice").text
    assert "0 of 1" in page and "1 open" in page and f"/practice/{other}" in page
    assert "Lee" not in client.get("/practice?person=Kim").text


def test_a_job_is_closed_by_json(client: TestClient, store: Store, job: int) -> None:
    """Repair, proof and closing as on the page; refused while something is still to be put back."""
    base = f"/api/jobs/{job}"
    assert client.post(f"{base}/proof", json={"answers": {"P1": "sounds"}}).status_code == 422
    told = {"unit": "horn", "words": "New horn", "uid": "r1"}
    end = [client.post(f"{base}/repairs", json=told).json() for _ in range(2)][-1]
    assert list(end["repaired"]) == ["horn"] and end["checks"] and end["put_back"]
    assert len([e for e in store.log(job) if e.kind == "repair"]) == 1
    answers = {c["id"]: c["word"] or f"{(c['low'] + c['high']) / 2:.2f}" for c in end["checks"]}
    proven = client.post(f"{base}/proof", json={"answers": answers}).json()
    assert proven["passed"] and list(proven["shown"]) == list(answers)
    numbers = [c["id"] for c in end["checks"] if not c["word"]]
    assert all(proven["shown"][n].endswith(("V", "A", "ohm")) for n in numbers)
    refused = client.post(f"{base}/closing", json={})
    assert refused.status_code == 422 and "still undone" in refused.json()["problems"][0]["what"]
    client.post(f"{base}/standing", json={"undone": [], "opened": []})
    assert client.post(f"{base}/closing", json={}).json()["closed"] == "proven"
    assert client.get("/api/figures").json()["months"][-1]["jobs"] == 1
    told = {"reason": "It is silent again", "comeback": True}
    assert client.post(f"{base}/reopening", json=told).json()["comebacks"] == 1
    client.post(f"{base}/road", json={"what": "now", "conditions": ["wet"]})
    assert client.get(f"{base}/road").json()["marks"][0]["conditions"] == ["wet"]
    assert client.get(f"{base}/similar").json()["jobs"] == []


def test_a_practice_by_json(client: TestClient) -> None:
    """Start, ask, decide: the answer holds both paths once it is decided."""
    told = {"circuit": "horn", "difficulty": "easy", "seed": 1, "person": "Kim"}
    begun = client.post("/api/practice", json=told).json()
    base = f"/api/practice/{begun['number']}"
    asked = {"test": "volts F4.1", "setup": "horn=pressed"}
    assert client.post(f"{base}/question", json=asked).json()["steps"][0]["id"]
    assert client.post(f"{base}/question", json={"test": "volts F9.9"}).status_code == 422
    assert client.post(f"{base}/decision", json={"unit": "battery"}).json()["debrief"]["advised"]
    assert client.post(f"{base}/decision", json={"unit": "battery"}).status_code == 422
    assert client.get("/api/practice?person=kim").json()["people"][0]["all"]["decided"] == 1
    told["circuit"] = "/etc/passwd"
    assert client.post("/api/practice", json=told).status_code == 422
