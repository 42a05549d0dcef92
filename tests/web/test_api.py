"""The documented JSON: every operation answers as it says, to sense and to nonsense."""

from pathlib import Path
from typing import cast

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from schemathesis.specs.openapi.checks import positive_data_acceptance, unsupported_method
from starlette.testclient import TestClient

from loomwise.store import Store
from loomwise.usecases import practise, stored
from loomwise.web.app import make_app
from loomwise.web.guard import LOCAL
from tests.store.shop import horn_job, store_in

EXAMPLES = 8
"""Tries of each operation; more are made by raising this."""
LEFT_OUT = [
    unsupported_method,  # the framework's own answer where two methods share an address
    positive_data_acceptance,  # a place must also be one of the job's circuit
]
TWICE = {"red": "F4.2", "value": "12.1 V", "uid": "abc"}


OPERATIONS = [
    (method.upper(), path)
    for path, methods in make_app(cast(Store, None)).openapi()["paths"].items()
    for method in methods
]
"""All that is documented; the document needs no store."""


@pytest.fixture(scope="module")
def schema(tmp_path_factory: pytest.TempPathFactory) -> schemathesis.BaseSchema:
    """The application with two jobs and a practice, described by its own document."""
    store = store_in(tmp_path_factory.mktemp("api"))
    horn_job(store)
    stored.new_job(store, {"complaint": "x", "vehicle": "y"})
    practise.start(store, "horn", "easy", 1)
    app = make_app(store, [*LOCAL, "testserver"])
    return schemathesis.openapi.from_asgi("/api/openapi.json", app)


@pytest.mark.parametrize(("method", "path"), OPERATIONS)
def test_every_operation(schema: schemathesis.BaseSchema, method: str, path: str) -> None:
    """No input makes a fault of ours, and every answer has the shape that is documented."""

    @settings(
        max_examples=EXAMPLES, deadline=None, derandomize=True, database=None,
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @given(case=schema[path][method].as_strategy())
    def tried(case: schemathesis.Case) -> None:
        case.call_and_validate(excluded_checks=LEFT_OUT)

    tried()


def test_a_job_by_json(client: TestClient, store: Store) -> None:
    """The same job as on the pages: open, circuit, setup, sign, reading, advice."""
    told = {"complaint": "Horn silent", "vehicle": "Norvik T4"}
    number = client.post("/api/jobs", json=told).json()["number"]
    base = f"/api/jobs/{number}"
    assert client.get(f"{base}/advice").status_code == 422, "there is no circuit yet"
    client.post(f"{base}/circuit", json={"name": "horn"})
    client.post(f"{base}/standing", json={"setup": {"horn": "pressed"}, "complaint": "yes"})
    client.post(f"{base}/signs", json={"what": "H1", "seen": "silent"})
    for _ in range(2):
        assert client.post(f"{base}/readings", json=TWICE).json()["id"] == "R1"
    advice = client.get(f"{base}/advice").json()
    assert advice["tests"] and advice["tests"][0]["minutes"] > 0
    assert sum(u["share"] for u in advice["units"]) > 0.5
    bench = client.get(base).json()["bench"]
    assert [i["id"] for i in bench["items"]] == ["R1", "S1"]


def test_expecting_stores_nothing(client: TestClient, store: Store, job: int) -> None:
    """Asking what to expect leaves no trace in the record."""
    before = store.newest(job)
    found = client.get(f"/api/jobs/{job}/expected?red=K1.87").json()
    assert found["sound"] and found["expectations"] and store.newest(job) == before


@pytest.mark.parametrize(
    "body",
    [
        {"red": "F4.1", "value": False}, {"red": "F4.1", "value": 12},
        {"red": "F4.1", "value": "12 V", "more": 1}, {"value": "12 V"}, [], "12 V",
    ],
)  # fmt: skip
def test_loose_json_is_refused(client: TestClient, job: int, body: object) -> None:
    """False is not 0 V: what is not as documented is refused with the place of it."""
    answer = client.post(f"/api/jobs/{job}/readings", json=body)
    assert answer.status_code == 422 and answer.json()["problems"][0]["file"]


def test_errors_have_one_shape(client: TestClient, tmp_path: Path) -> None:
    """A job that is not there answers with the same keys as any bad input."""
    answer = client.get("/api/jobs/99")
    assert answer.status_code == 404
    assert list(answer.json()) == ["format", "error", "problems"]
