"""Symbols moved on the page: by plain form, by mouse, by finger, by keyboard."""

from typing import Any

import pytest
from starlette.testclient import TestClient

from loomwise.store import Store
from loomwise.usecases import stored
from tests.store.shop import horn_job
from tests.web.bay import Bay
from tests.web.conftest import Served

BY_SCRIPT = {"hx-request": "true"}


def places(store: Store, number: int) -> dict[str, tuple[float, float]]:
    """Where symbols of a job were moved to."""
    return dict(stored.stored_job(store, number).circuit.positions)


def test_by_plain_form(client: TestClient, store: Store, job: int) -> None:
    """Without scripts a symbol is moved by numbers, put back, and a move is undone."""
    address = f"/jobs/{job}/arrange"
    assert "H1 (194, 430)" in client.get(address).text
    sent = client.post(address, data={"part": "H1", "x": "0", "y": "430"})
    assert sent.status_code == 303 and places(store, job) == {"H1": (0, 430)}
    assert "Put H1 back" in client.get(address).text
    client.post(address, data={"what": "back", "part": "H1"})
    assert places(store, job) == {}
    client.post(address, data={"what": "undo"})
    assert places(store, job) == {"H1": (0, 430)}
    assert "Drawing: H1 moved" in client.get(f"/jobs/{job}/record").text


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"part": "H9", "x": "1", "y": "2"}, "no part &#39;H9&#39;"),
        ({"part": "H1", "x": "", "y": "2"}, "is no place"),
        ({"part": "H1", "x": "nan", "y": "2"}, "is no place"),
        ({"part": "H1", "x": "9000", "y": "2"}, "outside the drawing"),
        ({"part": "H1", "x": "76", "y": "431"}, "would lie on S1"),
    ],
)
def test_a_place_that_cannot_be(
    client: TestClient, store: Store, job: int, sent: dict[str, str], said: str
) -> None:
    """What is wrong is told in words, and nothing is stored."""
    before = store.newest(job)
    answer = client.post(f"/jobs/{job}/arrange", data=sent, headers=BY_SCRIPT)
    assert answer.status_code == 422 and said in answer.text
    assert store.newest(job) == before


def test_as_json(client: TestClient, store: Store, job: int) -> None:
    """Another program moves a symbol and undoes it."""
    address = f"/api/jobs/{job}/drawing/moves"
    assert client.post(address, json={"part": "H1", "spot": [0, 430]}).json()["added"] == 1
    assert places(store, job) == {"H1": (0, 430)}
    assert client.delete(address).json()["part"] == "H1"
    assert places(store, job) == {}
    assert client.delete(address).status_code == 422


def _opened(bay: Bay, served: Served) -> tuple[int, Any]:
    number = horn_job(served.store)
    bay.page.goto(f"{bay.url}/jobs/{number}/arrange")
    bay.page.set_default_timeout(6_000)
    hit = bay.page.locator("#sheet rect[data-part=H1]")
    hit.wait_for()
    hit.scroll_into_view_if_needed()
    return number, hit


@pytest.mark.slow
@pytest.mark.chromium
def test_by_mouse(bay: Bay, served: Served) -> None:
    """A symbol dragged past its neighbour stands there in the new drawing; undo brings it back."""
    page = bay.page
    number, hit = _opened(bay, served)
    box, other = hit.bounding_box(), page.locator("#sheet rect[data-part=S1]").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(other["x"] - 30, y, steps=6)
    page.mouse.up()
    page.get_by_text("H1 is moved").wait_for()
    assert list(places(served.store, number)) == ["H1"]
    page.wait_for_function(
        "() => { const [h, s] = ['H1', 'S1'].map(n => document.querySelector("
        "`#sheet rect[data-part=${n}]`).getBoundingClientRect().x); return h < s; }"
    )
    page.get_by_role("button", name="Undo the last move").click()
    page.get_by_text("The last move is undone").wait_for()
    assert places(served.store, number) == {}


@pytest.mark.slow
@pytest.mark.chromium
@pytest.mark.parametrize("bay", ["tablet"], indirect=True)
def test_by_finger(bay: Bay, served: Served) -> None:
    """A finger drags the symbol, not the sheet under it."""
    page = bay.page
    number, hit = _opened(bay, served)
    box, other = hit.bounding_box(), page.locator("#sheet rect[data-part=S1]").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    touch = page.context.new_cdp_session(page)

    def send(kind: str, *points: dict[str, float]) -> None:
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": list(points)})

    send("touchStart", {"x": x, "y": y})
    for k in range(1, 7):
        send("touchMove", {"x": x + (other["x"] - 30 - x) * k / 6, "y": y})
    send("touchEnd")
    page.get_by_text("H1 is moved").wait_for()
    assert list(places(served.store, number)) == ["H1"]


@pytest.mark.slow
@pytest.mark.chromium
def test_by_keyboard(bay: Bay, served: Served) -> None:
    """Tab leads to a symbol; arrows move it, Escape gives back, Enter keeps; focus stays there."""
    page = bay.page
    number, hit = _opened(bay, served)
    page.locator("#sheet").focus()
    for _ in range(20):
        page.keyboard.press("Tab")
        if hit.evaluate("e => e === document.activeElement"):
            break
    page.keyboard.press("Shift+ArrowLeft")
    assert hit.get_attribute("transform") == "translate(-100 0)"
    page.keyboard.press("Escape")
    assert hit.get_attribute("transform") is None
    page.keyboard.press("Enter")
    assert places(served.store, number) == {}
    for key in ("Shift+ArrowLeft", "Shift+ArrowLeft", "ArrowLeft", "Enter"):
        page.keyboard.press(key)
    page.get_by_text("H1 is moved").wait_for()
    page.wait_for_function("() => document.activeElement.dataset.part === 'H1'")
    assert list(places(served.store, number)) == ["H1"]


@pytest.mark.slow
@pytest.mark.chromium
def test_what_is_refused_goes_back(bay: Bay, served: Served) -> None:
    """A symbol dropped on another one goes back, and the page says why."""
    page = bay.page
    number, hit = _opened(bay, served)
    hit.focus()
    page.keyboard.press("Shift+ArrowLeft")
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Enter")
    page.get_by_text("would lie on S1").wait_for()
    assert hit.get_attribute("transform") is None
    assert places(served.store, number) == {}
