"""The pages of a job's end, of practice and of the figures, as plain forms."""

import re

from starlette.testclient import TestClient

from loomwise.store import Store
from loomwise.usecases import closing, stored


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
    assert "1 decided" in client.get("/practice?person=Kim").text
    assert client.get("/").text.count('class="card"') == 0
    assert client.get("/practice/999").status_code == 404
