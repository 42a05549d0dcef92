"""A circuit of 150 parts on the bench: what to enter first stands where the suspects would."""

from functools import cache
from typing import Any

import pytest
from starlette.testclient import TestClient

from loomwise.circuit.loads import loads
from loomwise.circuit.reader import read_circuit
from loomwise.generate import generate_circuit
from loomwise.store import Store
from loomwise.store.store import new_entry
from loomwise.usecases import stored
from tests.web.bay import Bay
from tests.web.conftest import LOCAL, PICTURES, SIZES, Served

FIRST = "Enter first what a load does"
BY_SCRIPT = {"hx-request": "true"}


@cache
def invented() -> str:
    """The text of a circuit of 150 parts."""
    return generate_circuit(150, 1)


def large_job(store: Store) -> int:
    """A job on it, of which nothing has been seen yet."""
    number = stored.new_job(store, {"complaint": "A lamp stays dark", "vehicle": "Norvik T4"})
    body = {"name": "invented.yaml", "title": "Invented", "digest": ""}
    body["digest"] = store.keep_circuit("invented.yaml", invented())
    store.append(number, new_entry("circuit", body))
    return number


@pytest.mark.parametrize("piece", ["suspects", "tests"])
def test_what_to_enter_first(client: TestClient, store: Store, piece: str) -> None:
    """Suspects and tests say what is missing, once, and are not asked for again and again."""
    number = large_job(store)
    answer = client.get(f"/jobs/{number}/{piece}", headers=BY_SCRIPT)
    assert answer.status_code == 200 and FIRST in answer.text
    assert f'data-newest="{store.newest(number)}"' in answer.text
    assert "load" not in answer.text.partition('hx-trigger="')[2].partition('"')[0]


def test_without_scripts(client: TestClient, store: Store) -> None:
    """The whole page, a place that is asked for and the decision lead there too."""
    number = large_job(store)
    for address in ("?wait=1", "/place?red=BAT.%2B"):
        answer = client.get(f"/jobs/{number}{address}")
        assert answer.status_code == 200 and FIRST in answer.text
    assert client.get(f"/jobs/{number}/decision").headers["location"].endswith("?wait=1")


def test_the_end_is_shown(client: TestClient, store: Store) -> None:
    """What stands between the job and its closing is told although nothing was seen yet."""
    assert client.get(f"/jobs/{large_job(store)}/end").status_code == 200


def test_an_impossible_place_is_still_refused(client: TestClient, job: int) -> None:
    """A place that is not there is no matter of what was seen."""
    assert client.get(f"/jobs/{job}/place?red=X9.9").status_code == 422


@pytest.fixture(scope="module")
def large(served: Served) -> int:
    """The job on the running server."""
    return large_job(served.store)


@pytest.mark.slow
@pytest.mark.chromium
@pytest.mark.parametrize("size", SIZES)
def test_the_page(browser: Any, served: Served, large: int, size: str) -> None:
    """At every size: the sentence, the way to enter a sign, and one load's part drawn."""
    context = browser.new_context(**SIZES[size])
    bay = Bay(context.new_page(), served.url)
    page = bay.page
    page.goto(f"{bay.url}/jobs/{large}")
    page.locator("#tests", has_text=FIRST).wait_for()
    page.locator("#suspects", has_text=FIRST).wait_for()
    page.locator("#sheet svg").wait_for()
    circuit = read_circuit(invented(), "invented")
    assert page.locator("#drawing-form [name=load]").input_value() == loads(circuit)[0].id
    assert page.locator("#sheet g.part").count() < len(circuit.parts) / 3
    wide = page.evaluate("() => document.documentElement.scrollWidth - innerWidth")
    assert wide <= 0
    PICTURES.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=str(PICTURES / f"large-{size}.png"), full_page=False)
    context.close()
    assert not bay.strange and LOCAL in bay.url
