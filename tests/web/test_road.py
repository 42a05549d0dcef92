"""The road-test recorder: moments and what held then, kept whatever the connection does."""

import pytest
from starlette.testclient import TestClient

from loomwise.job.log import fold
from loomwise.store import Store
from loomwise.usecases import road_test, stored
from loomwise.usecases.report_sources import read_source
from tests.store.shop import horn_job
from tests.web.bay import Bay
from tests.web.conftest import Served

AT = "2026-03-01T14:05:{}+01:00"


def _marks(store: Store, job: int) -> tuple[road_test.MarkShown, ...]:
    return road_test.marks_of(fold(store.log(job)))


def test_marks_by_plain_form(client: TestClient, store: Store, job: int) -> None:
    """Without scripts each press is a mark of the server's moment, with what was ticked."""
    told = {"what": "now", "condition": ["wet", "bumps"], "condition-Engine": "warm", "token": "a"}
    for _ in range(2):  # sent twice it is one mark
        assert client.post(f"/jobs/{job}/road", data=told).status_code == 303
    (made,) = _marks(store, job)
    assert set(made.conditions) == {"wet", "bumps", "warm"}
    page = client.get(f"/jobs/{job}/road").text
    assert "Complaint there: wet, bumps, warm" in page and "The driver drives" in page
    assert "Road test, " in client.get(f"/jobs/{job}/record").text


def test_marks_come_late_and_in_any_order(store: Store, job: int) -> None:
    """A mark has the moment it was made, counted from setting off, however late it was sent."""
    road_test.mark(store, job, "now", AT.format("40"), ["warm"])
    road_test.mark(store, job, "gone", AT.format("55"))
    road_test.mark(store, job, "off", AT.format("10"))
    road_test.mark(store, job, "now", "2026-03-01T18:00:00+01:00")
    assert [(m.what, m.after) for m in _marks(store, job)] == [
        ("off", "0:00"), ("now", "0:30"), ("gone", "0:45"), ("now", "0:00"),
    ]  # fmt: skip


def test_a_mark_is_taken_back(client: TestClient, store: Store, job: int) -> None:
    """A mark made by mistake no longer counts, can count again, and its conditions can be those of
    the bench."""
    road_test.mark(store, job, "now", AT.format("40"), ["warm", "wet"], uid="m1")
    client.post(f"/jobs/{job}/road/m1", data={"what": "back", "token": "a"})
    assert _marks(store, job)[0].withdrawn and not read_source_road(store, job)
    client.post(f"/jobs/{job}/road/m1", data={"what": "again", "token": "b"})
    assert not _marks(store, job)[0].withdrawn
    answer = client.post(f"/jobs/{job}/road/m1", data={"what": "bench", "token": "c"})
    assert answer.headers["location"] == f"/jobs/{job}"
    stands = fold(store.log(job)).standing
    assert (stands["condition"], stands["complaint"]) == ("warm, wet", "unknown")
    assert client.post(f"/jobs/{job}/road/zz", data={"what": "back"}).status_code == 422


def read_source_road(store: Store, job: int) -> tuple[tuple[str, str, str, str], ...]:
    """The marks as a report has them."""
    from loomwise.usecases.report_sources import road_of

    return road_of(fold(store.log(job)))


def test_the_report_has_the_marks(store: Store, job: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Times and conditions of the road stand in the report, by the clock of who made them."""
    from loomwise.report.job_report import job_report
    from loomwise.usecases.report import case_of

    monkeypatch.setattr("loomwise.store.open_store", lambda: store)
    road_test.mark(store, job, "off", AT.format("10"))
    road_test.mark(store, job, "now", AT.format("40"), ["warm", "bumps"], "after the bridge")
    monkeypatch.setattr(
        "loomwise.usecases.report_sources.find_job", lambda _: stored.stored_job(store, job)
    )
    source = read_source(str(job))
    (section,) = [s for s in job_report(case_of(source.job, source.closing)).sections
                  if s.title == "Road test"]  # fmt: skip
    rows = section.blocks[0].rows  # type: ignore[union-attr]
    assert rows[1] == (
        "2026-03-01 14:05:40", "0:30", "complaint there", "warm, bumps. after the bridge",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"what": "later"}, "no mark"),
        ({"what": "now", "at": "noon"}, "no moment"),
        ({"what": "now", "at": "2026-03-01T14:05:10"}, "no moment"),
        ({"what": "now", "at": "2999-03-01T14:05:10+01:00"}, "a day to come"),
    ],
)
def test_what_is_no_mark(client: TestClient, job: int, told: dict[str, str], said: str) -> None:
    """A moment that cannot be is told, and nothing is stored."""
    answer = client.post(f"/jobs/{job}/road", data=told)
    assert answer.status_code == 422 and said in answer.text


@pytest.mark.slow
@pytest.mark.chromium
@pytest.mark.parametrize("bay", ["phone"], indirect=True)
def test_on_the_road(bay: Bay, served: Served) -> None:
    """One thumb or one key marks; without a connection, and with the page closed in between,
    every mark is kept and sent later, with the moment it was made."""
    number, page = horn_job(served.store), bay.page
    page.goto(f"{bay.url}/jobs/{number}/road")
    page.get_by_label("wet", exact=True).tap()
    page.get_by_role("button", name="Set off").tap()
    page.locator("#marks").get_by_text("Set off: wet").wait_for()
    large = page.locator(".mark")
    box = large.bounding_box()
    assert box["height"] >= 120 and box["width"] >= 280 and box["y"] + box["height"] <= 740
    page.context.set_offline(True)
    page.wait_for_timeout(600)
    large.tap()
    page.get_by_text("kept here, not sent yet").wait_for()
    page.get_by_text("No connection to the server").wait_for()
    page.wait_for_timeout(1100)  # moments are kept to the second
    large.focus()
    page.keyboard.press("Space")
    assert page.locator("#kept li").count() == 2
    page.goto("about:blank")
    page.context.set_offline(False)
    page.goto(f"{bay.url}/jobs/{number}/road")
    page.locator("#kept li").first.wait_for(state="hidden")
    page.locator("#marks li").nth(2).wait_for()
    marks = _marks(served.store, number)
    assert [m.what for m in marks] == ["off", "now", "now"]
    assert marks[1].at < marks[2].at and marks[1].conditions == ("wet",)
