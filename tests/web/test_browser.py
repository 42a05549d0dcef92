"""The pages in a real browser: phone, tablet with fingers, desk; by keyboard; for everyone."""

from typing import Any

import pytest

from loomwise.usecases import stored
from tests.store.shop import horn_job
from tests.store.test_archive import picture
from tests.web.bay import PATIENCE_MS, UNIT, Bay
from tests.web.conftest import PICTURES, SIZES, Served
from tests.web.filled import filled_shop, full_job

pytestmark = [pytest.mark.slow, pytest.mark.chromium]
SEEN_WITHIN_MS = 2_000
"""How soon another tablet's entry must show."""
AXE_TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
PAGES = {
    "jobs": "/", "new": "/new", "circuit": "/jobs/{job}/circuit", "bench": "/jobs/{job}?wait=1",
    "place": "/jobs/{job}/place?red=K1.87", "how": "/jobs/{job}/how?wait=1",
    "decided": "/jobs/{ended}/decision",
    "decision": "/jobs/{job}/decision", "record": "/jobs/{job}/record", "not-there": "/jobs/9999",
    "intake": "/jobs/{job}/intake", "end": "/jobs/{ended}/end", "closed": "/jobs/{closed}/end",
    "similar": "/jobs/{job}/similar", "figures": "/figures",
    "menus": "/jobs/{job}/how?wait=1", "live": "/jobs/{fans}/live",
    "live-record": "/jobs/{fans}/live/{csv}?at=2",
    "road": "/jobs/{road}/road",
    "heading": "/heading", "arrange": "/jobs/{fans}/arrange",
    "practices": "/practice", "practice": "/practice/{practice}", "debrief": "/practice/{decided}",
    "standing-draw": "/standing-draw?clamp=0.45&after=45&fuse=F12&rating=10&drop=2.9&feeds=radio",
    "wire": "/wire?current=10&length=5&size=1&fuse=30", "sheet": "/sheet?job={job}",
}  # fmt: skip


@pytest.mark.parametrize("bay", SIZES, indirect=True)
def test_a_whole_job(bay: Bay, served: Served) -> None:
    """From the complaint to the right decision, by someone who only follows the page."""
    bay.open_job()
    bay.complain()
    bay.to_the_end()
    bay.decide()
    number = int(bay.page.url.split("/")[4])
    decided = next(e for e in reversed(served.store.log(number)) if e.kind == "decision")
    assert decided.body["unit"] == UNIT


def test_by_keyboard_alone(bay: Bay, served: Served) -> None:
    """Every step can be taken with Tab, arrows and Enter, and the focus is always seen."""
    page = bay.page
    page.goto(f"{bay.url}/new")
    _tab_to(bay, "#complaint")
    page.keyboard.type("The horn stays silent")
    _tab_to(bay, "#vehicle")
    page.keyboard.type("Norvik T4")
    page.keyboard.press("Enter")
    page.wait_for_url("**/circuit")
    _tab_to(bay, "li:has-text('Horn, relay') button")
    page.keyboard.press("Enter")
    bay.settle()
    for where in ("#c-horn-2", "#complaint-yes", "#entry fieldset:has-text('horn H1') button"):
        _tab_to(bay, where)
        page.keyboard.press("Enter")
        bay.settle()
    _tab_to(bay, "#place-form select[name=red]")
    page.keyboard.type("K1.86")
    _tab_to(bay, "#place-form button")
    page.keyboard.press("Enter")
    _tab_to(bay, "#typed-here")
    page.keyboard.type("12.4")
    page.keyboard.press("Enter")
    bay.page.get_by_text("R1 is entered").wait_for()
    number = int(page.url.split("/")[4].split("?")[0])
    last = stored.stored_job(served.store, number).evidence[-1]
    assert (last.red, last.value) == ("K1.86", 12.4)  # type: ignore[union-attr]


def test_a_wire_from_the_navigation(bay: Bay) -> None:
    """The calculator is one tap from any page, and answers in place with the form still filled."""
    page = bay.page
    page.goto(bay.url)
    page.get_by_role("link", name="Wire").click()
    page.get_by_label("Current [A]").fill("10")
    page.get_by_label("Length [m]").fill("5")
    page.keyboard.press("Enter")
    page.locator("#answer .verdict", has_text="4 mm²").wait_for()
    assert page.get_by_label("Length [m]").input_value() == "5"
    page.get_by_role("button", name="Print this").wait_for()


def _tab_to(bay: Bay, where: str) -> None:
    """Press Tab until the focus is there; its outline must be seen."""
    target = bay.page.locator(where).first
    target.wait_for()
    for _ in range(160):
        bay.page.keyboard.press("Tab")
        if target.evaluate("e => e === document.activeElement"):
            assert target.evaluate("e => getComputedStyle(e).outlineStyle") != "none"
            return
    raise AssertionError(f"Tab does not lead to {where}")


@pytest.fixture(scope="module")
def shown_job(served: Served) -> int:
    """A job with something of everything on its bench."""
    return full_job(served.store)


@pytest.fixture(scope="module")
def filled(served: Served, shown_job: int) -> dict[str, str]:
    """What the addresses of the pages name, so that no page is empty."""
    return {"job": str(shown_job), **filled_shop(served.store)}


def barriers(page: Any, name: str) -> dict[str, list[str]]:
    """What axe finds against WCAG 2.2 AA on a page, with every fold open."""
    from axe_playwright_python.sync_playwright import Axe

    opened = "document.querySelectorAll('details:not(.menu)').forEach(d => { d.open = true; })"
    page.evaluate(opened)
    options = {"runOnly": {"type": "tag", "values": AXE_TAGS}}
    report = Axe().run(page, options=options).response["violations"]
    return {f"{name}: {v['id']}": [n["html"] for n in v["nodes"]][:3] for v in report}


def test_no_barriers_in_the_dark(browser: Any, served: Served, filled: dict[str, str]) -> None:
    """Dark colours are as easy to read."""
    context = browser.new_context(**SIZES["tablet"], color_scheme="dark")
    page, found = context.new_page(), {}
    for name in ("bench", "decision", "new", "wire", "end", "practice"):
        page.goto(served.url + PAGES[name].format(**filled))
        found |= barriers(page, name)
    context.close()
    assert not found


@pytest.mark.parametrize("size", SIZES)
def test_every_page(browser: Any, served: Served, filled: dict[str, str], size: str) -> None:
    """No page is wider than the screen, targets are large, axe finds no barrier; pictures are kept
    for the eye."""
    PICTURES.mkdir(parents=True, exist_ok=True)
    context = browser.new_context(**SIZES[size])
    page, found = context.new_page(), {}
    for name, address in PAGES.items():
        page.goto(served.url + address.format(**filled))
        if name in ("bench", "place"):
            page.locator("#sheet svg").wait_for(timeout=PATIENCE_MS)
        page.wait_for_load_state("networkidle" if name == "record" else "load")
        width = page.evaluate("document.documentElement.scrollWidth")
        assert width <= SIZES[size]["viewport"]["width"], name
        low = page.evaluate(
            "[...document.querySelectorAll('main :is(button, a.button, select, summary)')]"
            ".filter(e => e.offsetHeight && e.offsetHeight < 47).map(e => e.outerHTML)"
        )
        assert not low, name
        if name == "menus":
            for menu in page.locator(".menu summary:visible").all()[-1:]:
                menu.click()
        page.screenshot(path=str(PICTURES / f"{name}-{size}.png"), full_page=True)
        found |= barriers(page, name)
    context.close()
    assert not found


def test_two_tablets(browser: Any, served: Served, shown_job: int) -> None:
    """What one enters shows on the other within two seconds, and neither loses anything."""
    number = horn_job(served.store)
    bays = []
    for _ in range(2):
        context = browser.new_context(**SIZES["tablet"])
        bays.append(Bay(context.new_page(), served.url))
        bays[-1].page.goto(f"{served.url}/jobs/{number}?wait=1")
        bays[-1].settle()
    one, two = bays
    one.page.get_by_text("What I see, hear or feel").click()
    one.page.locator("#entry fieldset", has_text="relay K1").get_by_text("pulled").click()
    row = two.page.locator("#readings .item", has_text="K1 pulled")
    row.wait_for(timeout=SEEN_WITHIN_MS)
    two.page.locator("#setup .switch", has_text="complaint").get_by_text("no", exact=True).click()
    one.page.locator("#complaint-no[aria-pressed=true]").wait_for(timeout=SEEN_WITHIN_MS)
    ids = [e.id for e in stored.stored_job(served.store, number).evidence]
    assert ids == ["S1", "S2", "R1"] and not one.strange and not two.strange
    for some in bays:
        some.page.context.close()


def test_a_lost_connection(bay: Bay, served: Served) -> None:
    """An entry made while the network is away is kept in the page, and sent when it is back."""
    number = horn_job(served.store)
    bay.page.goto(f"{bay.url}/jobs/{number}/place?red=F4.2")
    bay.page.locator("#typed-here").fill("11.9")
    bay.page.context.set_offline(True)
    bay.page.locator("#here-form").get_by_role("button", name="Enter", exact=True).click()
    bay.page.get_by_text("No connection to the server").wait_for()
    assert bay.page.locator("#typed-here").input_value() == "11.9"
    bay.page.context.set_offline(False)
    bay.page.get_by_text("R2 is entered").wait_for()
    assert len(stored.stored_job(served.store, number).evidence) == 3


@pytest.mark.parametrize("bay", ["tablet"], indirect=True)
def test_a_tap_on_the_drawing(bay: Bay, served: Served) -> None:
    """Tap a place, type its value on the large keys, and it stands in the list."""
    number = horn_job(served.store)
    bay.page.goto(f"{bay.url}/jobs/{number}")
    bay.page.locator("#sheet svg").wait_for()
    bay.page.locator("#sheet [data-place='F4.2']").first.dispatch_event("click")
    bay.page.locator("#here").get_by_text("all is sound").wait_for()
    bay.page.locator("#typed-here").tap()
    for key in ("1", "1", "point", "8"):
        bay.page.locator("#here-form .keypad").get_by_role("button", name=key, exact=True).tap()
    bay.page.locator("#here-form").get_by_role("button", name="Enter", exact=True).tap()
    bay.page.locator("#readings .item", has_text="11.80 V at F4.2").wait_for()


@pytest.mark.parametrize("bay", ["phone"], indirect=True)
def test_a_photograph_at_the_bench(bay: Bay, served: Served) -> None:
    """Straight from the camera into the job, without leaving the bench; what is none is refused,
    and its words stay in the form."""
    number = horn_job(served.store)
    page, form = bay.page, bay.page.locator("#camera form")
    page.goto(f"{bay.url}/jobs/{number}?wait=1")
    camera = form.locator("input[type=file]")
    assert camera.get_attribute("capture") == "environment"
    form.get_by_label("What it shows").fill("burnt plug C1")
    for name, data in (("plug.jpg", b"%PDF-1.7"), ("plug.jpg", picture())):
        camera.set_input_files({"name": name, "mimeType": "image/jpeg", "buffer": data})
        form.get_by_role("button", name="Keep it").click()
        said = "not a photograph" if data.startswith(b"%PDF") else "The photograph is kept"
        page.locator("#message").get_by_text(said).wait_for()
    page.locator("#photos img[alt='burnt plug C1']").wait_for()
    assert form.get_by_label("What it shows").input_value() == "" and f"/jobs/{number}" in page.url
