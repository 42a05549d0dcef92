"""The pages as plain forms: everything can be entered when scripts fail."""

import re
from html import unescape
from io import BytesIO

import pytest
from PIL import Image
from starlette.testclient import TestClient

from loomwise.store import Store
from loomwise.usecases import stored
from tests.store.test_archive import picture
from tests.web.forms import fill, forms

PDF = b"%PDF-1.7 not a photograph"


def test_a_job_from_the_counter_to_the_bench(client: TestClient) -> None:
    """Complaint and vehicle, a circuit from the shelf, and the bench stands there with tests."""
    told = {"complaint": "Horn silent", "vehicle": "Norvik T4", "token": "a"}
    opened = client.post("/new", data=told)
    assert opened.headers["location"] == "/jobs/1/circuit"
    taken = client.post("/jobs/1/circuit", data={"shelf": "horn", "token": "b"})
    assert taken.headers["location"] == "/jobs/1"
    page = client.get("/jobs/1?wait=1").text
    assert "What to do next" in page and page.count('class="test"') == 3


def test_what_is_missing_at_the_counter_is_told_and_kept(client: TestClient) -> None:
    """A form that is not complete comes back with what was written in it."""
    page = client.post("/new", data={"vehicle": "Norvik <b>T4</b>", "vin": "123"})
    assert page.status_code == 422 and "complaint" in page.text
    assert 'value="Norvik &lt;b&gt;T4&lt;/b&gt;"' in page.text, "and nothing in it is run"


def test_a_reading_by_plain_form(client: TestClient, store: Store, job: int) -> None:
    """Choose a place, read what is expected, enter the value: without any script."""
    page = client.get(f"/jobs/{job}/place?red=K1.87").text
    assert "all is sound" in page
    form = next(f for f in forms(page) if f.id == "here-form")
    client.post(form.action, data=fill(form, typed="12.4"))
    reading = stored.stored_job(store, job).evidence[-1]
    assert (reading.red, reading.value) == ("K1.87", 12.4)  # type: ignore[union-attr]


def test_each_filament_can_be_watched(client: TestClient, store: Store) -> None:
    """A tail lamp and a stop lamp in one bulb are two things to see."""
    number = stored.new_job(store, {"complaint": "x", "vehicle": "y"})
    stored.choose_circuit(store, number, "trailer-lights")
    page = client.get(f"/jobs/{number}").text
    assert "two-filament lamp E1.1" in page and "two-filament lamp E1.2" in page


def test_enter_in_a_field_presses_no_answer(client: TestClient, job: int) -> None:
    """The first button of each form with a number, which the key Enter presses, says nothing."""
    page = client.get(f"/jobs/{job}?wait=1").text
    typed = [f for f in page.split("<form") if 'name="typed"' in f]
    assert typed and all("<button hidden>" in f.split("<button name", 1)[0] for f in typed)


def test_a_clamp_round_a_wire(client: TestClient, store: Store, job: int) -> None:
    """A wire is chosen like a place, and read in amperes."""
    address = f"/jobs/{job}/place?instrument=clamp&red=BAT.%2B-F4.1"
    form = next(f for f in forms(client.get(address).text) if f.id == "here-form")
    client.post(form.action, data=fill(form, typed="0.4", unit="A"))
    reading = stored.stored_job(store, job).evidence[-1]
    assert (reading.instrument, reading.value) == ("clamp", 0.4)  # type: ignore[union-attr]
    assert client.get(f"/jobs/{job}/place?instrument=clamp&red=F4.1").status_code == 422


def test_a_unit_can_be_chosen(client: TestClient, store: Store, job: int) -> None:
    """A drop is read in millivolts."""
    form = next(f for f in forms(client.get(f"/jobs/{job}/place?red=K1.87").text)
                if f.id == "here-form")  # fmt: skip
    client.post(form.action, data=fill(form, typed="-85", unit="mV"))
    assert stored.stored_job(store, job).evidence[-1].value == -0.085  # type: ignore[union-attr]


def test_the_first_test_is_answered_by_its_own_form(
    client: TestClient, store: Store, job: int
) -> None:
    """One tap on an answer enters it in the setup of the test, and the vehicle stands there."""
    page = client.get(f"/jobs/{job}?wait=1").text
    form = next(f for f in forms(page) if "answer" in f.classes)
    answer = form.buttons[0]
    client.post(form.action, data=fill(form, value=answer))
    after = stored.stored_job(store, job)
    assert len(after.evidence) == 3 and after.here == after.evidence[-1].setup


def test_a_moved_control_leaves_the_complaint_unsaid(
    client: TestClient, store: Store, job: int
) -> None:
    """Whether the complaint is there was said of the vehicle as it stood before."""
    before = client.get(f"/jobs/{job}").text
    assert re.search(r'id="complaint-yes"[^>]*aria-pressed="true"', before)
    data = {"what": "control", "name": "horn", "state": "free", "token": "t"}
    client.post(f"/jobs/{job}/setup", data=data)
    page = client.get(f"/jobs/{job}").text
    assert re.search(r'id="complaint-unknown"[^>]*aria-pressed="true"', page)


def test_what_is_undone_must_be_put_back(client: TestClient, store: Store, job: int) -> None:
    """A fuse taken out stands on the put-back list until it is back."""
    address = f"/jobs/{job}/setup"
    client.post(address, data={"what": "undo", "name": "F4 out", "token": "a"})
    assert "Put F4 back" in client.get(f"/jobs/{job}").text
    client.post(address, data={"what": "back", "name": "F4 out", "token": "b"})
    assert "Put F4 back" not in client.get(f"/jobs/{job}").text
    assert not stored.stored_job(store, job).here.undone


def test_cannot_plans_anew(client: TestClient, store: Store, job: int) -> None:
    """What cannot be used is in no test any more, until it can."""
    client.post(f"/jobs/{job}/cannot", data={"name": "voltmeter", "token": "a"})
    page = unescape(client.get(f"/jobs/{job}?wait=1").text)
    tests = re.findall(r'<li class="test">\s*<h3>([^<]*)', page)
    assert tests and not any(t.startswith("Volts") for t in tests)
    client.post(f"/jobs/{job}/cannot", data={"name": "voltmeter", "can": "yes", "token": "b"})
    assert not stored.stored_job(store, job).cannot


def test_correcting_and_withdrawing(client: TestClient, job: int) -> None:
    """The old value stays readable, with why it no longer counts."""
    address = f"/jobs/{job}/items/R1"
    data = {"value": "0.2 V", "complaint": "no", "token": "a"}
    client.post(f"{address}/correct", data=data)
    page = client.get(f"/jobs/{job}").text
    assert "corrected by R2" in page and "In place of R1" in page and "clears nothing" in page
    client.post(f"/jobs/{job}/items/R2/withdraw", data={"reason": "clip off", "token": "b"})
    assert "No longer counts: clip off" in client.get(f"/jobs/{job}").text


def test_the_same_form_twice_is_one_entry(client: TestClient, store: Store, job: int) -> None:
    """A double tap enters one reading; the same place read again later enters another."""
    data = {"instrument": "voltmeter", "red": "F4.2", "value": "12 V", "token": "one"}
    for token in ("one", "one", "two"):
        client.post(f"/jobs/{job}/items", data={**data, "token": token})
    assert len(stored.stored_job(store, job).evidence) == 4


@pytest.mark.parametrize(
    ("data", "said"),
    [
        ({"red": "F4.1", "typed": "12,6", "unit": "V"}, "comma"),
        ({"red": "F4.1", "value": "12 ohm"}, "unit"),
        ({"red": "nowhere", "value": "1 V"}, "no place"),
        ({"red": "F4.1", "value": "0 V", "typed": "12.4"}, "was tapped"),
        ({"red": "F4.1", "standing": "{", "value": "1 V"}, "setup of the test"),
        ({"red": "F4.1", "standing": '{"setup": [1]}', "value": "1 V"}, "setup"),
    ],
)
def test_bad_entries_are_told(
    client: TestClient, store: Store, job: int, data: dict[str, str], said: str
) -> None:
    """A comma, a wrong unit, a place that is not there: the page says so, and stores nothing."""
    before = store.newest(job)
    answer = client.post(f"/jobs/{job}/items", data=data)
    assert answer.status_code == 422 and said in answer.text.lower()
    assert store.newest(job) == before


def test_a_circuit_from_a_file(client: TestClient, store: Store) -> None:
    """A file is checked first: what is wrong comes with its line, what is right is kept."""
    from loomwise.shelf import shelf_text

    number = stored.new_job(store, {"complaint": "x", "vehicle": "y"})
    address = f"/jobs/{number}/circuit"
    wrong = client.post(address, files={"file": ("../../etc/x.yaml", b"format: 1\nparts: {K9: 1}")})
    assert wrong.status_code == 422 and "line 2" in wrong.text and "etc" not in wrong.text
    assert client.post(address, files={"file": ("a.pdf", b"\xff\xfe")}).status_code == 422
    text = shelf_text("horn").encode()
    assert client.post(address, files={"file": ("mine.yaml", text)}).status_code == 303
    assert stored.stored_job(store, number).circuit.title.startswith("Horn")


def test_photographs(client: TestClient, store: Store, job: int) -> None:
    """A photograph is kept and shown; a PDF named as one is refused in words."""
    address = f"/jobs/{job}/photos"
    assert client.post(address, files={"photo": ("a.jpg", picture())}).status_code == 303
    refused = client.post(address, files={"photo": ("b.jpg", PDF)})
    assert refused.status_code == 422 and "not a photograph" in refused.text
    shown = re.search(rf'src="({address}/\w+)"', client.get(f"/jobs/{job}/record").text)
    assert shown and client.get(shown[1]).headers["content-type"] == "image/jpeg"


def hundred_megapixels() -> bytes:
    """A small file that unpacks to a huge picture."""
    out = BytesIO()
    Image.new("1", (12_500, 8_000)).save(out, "PNG")
    return out.getvalue()


@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("huge.png", hundred_megapixels(), "too many pixels.*limit is 80 megapixels"),
        ("plug.jpg", PDF, "not a photograph.*page of a PDF"),
        ("none.jpg", b"", "no photograph.*[Cc]hoose one"),
    ],
)
def test_what_is_no_photograph(
    client: TestClient, store: Store, job: int, name: str, data: bytes, said: str
) -> None:
    """A picture too large or none at all is refused on the page of the bench, which stays."""
    before = store.newest(job)
    for more in ({}, {"hx-request": "true"}):
        answer = client.post(f"/jobs/{job}/photos", files={"photo": (name, data)}, headers=more,
                             data={"from": "bench"})  # fmt: skip
        assert answer.status_code == 422 and re.search(said, answer.text)
    assert store.newest(job) == before


def test_how_it_works_and_the_decision(client: TestClient, store: Store, job: int) -> None:
    """The circuit in words, and a decision that can be taken back."""
    assert "K1 is pulled in" in client.get(f"/jobs/{job}/how?wait=1").text
    address = f"/jobs/{job}/decision"
    assert "What to repair" in client.get(address).text
    client.post(address, data={"unit": "horn", "words": "no sound from it", "token": "a"})
    page = client.get(address).text
    assert "no sound from it" in page and "How it is repaired: horn" in page
    client.post(address, data={"unit": "wire BAT.+-F4.1", "token": "c"})
    page = unescape(client.get(address).text)
    assert "Largest fuse" in page and "instructions go before these steps" in page
    assert store.job(job).state == "decided"
    client.post(address, data={"unit": "", "token": "b"})
    assert store.job(job).state == "open"


def test_the_drawing_as_the_vehicle_stands(client: TestClient, job: int) -> None:
    """Every place of the circuit can be tapped, and the setup stands on the drawing."""
    drawing = client.get(f"/jobs/{job}/drawing?look=voltage").text
    assert 'data-place="F4.1"' in drawing and "horn pressed" in drawing
    assert client.get(f"/jobs/{job}/drawing?look=x").status_code == 422


def test_removed_jobs_come_back(client: TestClient, job: int) -> None:
    """A job taken off the list is found among the removed ones."""
    client.post(f"/jobs/{job}/remove", data={"token": "a"})
    assert "Norvik" not in client.get("/").text and "Norvik" in client.get("/?removed=true").text
    client.post(f"/jobs/{job}/return", data={"token": "b"})
    assert "Norvik" in client.get("/?find=silent").text
    assert "No job holds" in client.get("/?find=starter").text


def test_nothing_is_hidden_by_a_high_share(client: TestClient, job: int) -> None:
    """The share that nothing explains stands below the suspects, however sure they look."""
    page = client.get(f"/jobs/{job}?wait=1").text
    assert re.search(r"Not explained by anything known here</span><span[^>]*>[^<]*%", page)


def test_unknown_pages_say_so(client: TestClient) -> None:
    """A job that is not there is a page of ours, too."""
    for address in ("/jobs/99", "/nothing", "/jobs/99/how", "/jobs/abc"):
        answer = client.get(address)
        assert answer.status_code in (404, 422) and "Traceback" not in answer.text
