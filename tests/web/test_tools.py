"""What stands outside jobs: standing draw, wire and test sheet, as pages and as JSON."""

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from loomwise.store import Store
from loomwise.usecases import stored

READ = {"clamp": ["0.45"], "after": ["45"], "fuse": ["F12", "F3", ""], "rating": ["10", "15", ""],
        "drop": ["2.9", "0.1", ""], "type": ["mini"] * 3, "behind": [""] * 3,
        "feeds": ["radio", "", ""], "battery": "70", "charge": "80"}  # fmt: skip


def test_a_standing_draw_is_named(client: TestClient) -> None:
    """From the clamp and two fuses to the branch, what to do next, and how long the battery lasts;
    what was filled in stays in the form."""
    page = unescape(client.get("/standing-draw", params=READ).text)
    assert "It draws by F12 (radio)" in page and "unplug one consumer" in page
    assert "down to half its charge in" in page
    assert 'value="F12"' in page and 'value="80"' in page


def test_page_and_json_judge_alike(client: TestClient) -> None:
    """The same readings give the same figures on the page and as JSON."""
    told = {"clamps": ["0.45 A after 45 min"], "fuses": ["F12 10 A 2.9 mV", "F3 15 A 0.1 mV"]}
    found = client.post("/api/standing-draw", json=told).json()
    assert found["verdict"] == "found" and found["suspects"] == ["F12"]
    shown = f"{1000 * found['draws'][0]['current_a']:.3g} mA"
    assert shown in unescape(client.get("/standing-draw", params=READ).text).replace("\xa0", " ")


def test_bare_numbers_have_the_unit_of_their_label(client: TestClient) -> None:
    """50 under "Usual asleep [mA]" is 50 mA, not 50 A: a large draw never passes as usual."""
    page = client.get("/standing-draw", params={**READ, "allowed": "50"}).text
    assert "It draws by" in page
    page = client.get("/standing-draw", params={**READ, "allowed": "500"}).text
    assert "within the 500 mA" in page


def test_every_bad_line_is_told_at_once(client: TestClient) -> None:
    """A comma at the clamp, letters for a drop and a nameless fuse come back together, with their
    lines and with what was written."""
    bad = {"clamp": "0,45", "fuse": ["F1", ""], "rating": ["10", "10"], "drop": ["x", "1"]}
    answer = client.get("/standing-draw", params=bad)
    page = unescape(answer.text)
    assert answer.status_code == 422 and 'value="0,45"' in page
    for said in ("clamp readings, line 1", "fuses, line 1", "fuses, line 2", "has no name"):
        assert said in page


def test_a_wire_is_chosen_or_judged(client: TestClient) -> None:
    """A size and its fuse with the cautions; a given wire that will not do is refused in words."""
    page = client.get("/wire?current=10&length=5").text
    assert "4 mm²: decided by the drop" in page and "Never fit a larger fuse" in page
    page = client.get("/wire?current=10&length=5&size=1&fuse=30").text
    assert "does not protect" in page
    json = client.post("/api/wire", json={"current": "10 A", "length": "5 m"}).json()
    assert json["answer"]["wire"]["size"] == "4 mm²".replace(" ", " ")


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("current=10", "length is missing"), ("current=1,5&length=5", "comma"),
        ("current=10&length=5&bundle=x", "no number of wires"),
        ("current=10&length=5&fuse=10", "judged with its wire"),
        ("current=10&length=5&supply=400", "high voltage"),
    ],
)  # fmt: skip
def test_bad_wires_are_told(client: TestClient, query: str, said: str) -> None:
    """What is missing or makes no sense is said above the form, which stays filled in."""
    answer = client.get(f"/wire?{query}")
    assert answer.status_code == 422 and said in unescape(answer.text)
    assert re.search(r'name="current" value="1(0|,5)"', answer.text)


def test_a_sheet_of_the_shelf_and_of_a_job(client: TestClient, store: Store, job: int) -> None:
    """The sheet has a row for each place, the circuit's cautions, and the setups asked for."""
    page = client.get("/sheet?circuit=headlamps&setups=lights%3Dhead&undo=F1+out").text
    assert "F1 out" in page and 'scope="row">K1.30' in page and "never the glass" in page
    assert "Horn" in client.get(f"/sheet?job={job}").text
    bare = stored.new_job(store, {"complaint": "x", "vehicle": "y"})
    assert "no circuit yet" in client.get(f"/sheet?job={bare}").text


@pytest.mark.parametrize("name", ["/etc/hostname", "../x.yaml", "nothing", "x" * 500])
def test_a_sheet_is_never_made_of_a_file(client: TestClient, name: str) -> None:
    """A name from outside is looked for on the shelf, and nowhere on the disk."""
    for answer in (
        client.get("/sheet", params={"circuit": name}),
        client.post("/api/sheet", json={"circuit": name[:60]}),
    ):
        assert answer.status_code == 422 and "shelf" in answer.text
