"""What somebody is typing at the bench stays there, whatever comes in from another tablet."""

import pytest

from loomwise.usecases import stored
from tests.store.shop import horn_job
from tests.web.bay import Bay
from tests.web.conftest import SIZES, Served

pytestmark = [pytest.mark.slow, pytest.mark.chromium]
FIELD = "#tests form.answer input.typed"


def opened(bay: Bay, served: Served) -> int:
    """A job on its bench, with tests to answer."""
    number = horn_job(served.store)
    bay.page.goto(f"{bay.url}/jobs/{number}?wait=1")
    bay.settle()
    bay.page.set_default_timeout(15_000)
    return number


def newest(bay: Bay) -> str:
    """The state that the tests on the page are of."""
    return str(bay.page.locator("#tests").get_attribute("data-newest"))


def test_a_typed_value_outlives_new_tests(bay: Bay, served: Served) -> None:
    """A note by another tablet renews the tests: value, unit and focus stay in the same test."""
    page, number = bay.page, opened(bay, served)
    before, field = newest(bay), page.locator(FIELD).first
    field.click()
    field.press_sequentially("12.3")
    stored.note(served.store, number, "seen from the other tablet")
    page.wait_for_function(f"() => document.querySelector('#tests').dataset.newest !== '{before}'")
    assert page.locator(FIELD).first.input_value() == "12.3"
    assert page.locator(FIELD).first.evaluate("e => e === document.activeElement")
    page.keyboard.type("4")
    assert page.locator(FIELD).first.input_value() == "12.34"
    page.keyboard.press("Enter")
    page.get_by_text("R2 is entered").wait_for()
    bay.settle()
    assert page.locator(FIELD).first.input_value() == ""


def test_a_test_that_is_gone_waits_for_its_value(bay: Bay, served: Served) -> None:
    """If the test being answered is no longer among the new ones, the new ones wait for it."""
    page, number = bay.page, opened(bay, served)
    form = page.locator("#tests form.answer", has=page.locator("input.typed")).first
    red = form.locator("input[name=red]").input_value()
    form.locator("input.typed").fill("5.5")
    stored.rule_out(served.store, number, red)
    page.locator("#tests .waits").wait_for()
    assert form.locator("input.typed").input_value() == "5.5"
    form.locator("input.typed").fill("")
    page.locator("#tests .waits").wait_for(state="detached")
    bay.settle()
    assert red not in [e.input_value() for e in page.locator("#tests input[name=red]").all()]


def test_a_condition_being_typed_stays(bay: Bay, served: Served) -> None:
    """The pieces that come with another tablet's entry leave the condition as it is typed."""
    page, number = bay.page, opened(bay, served)
    page.locator("#condition").click()
    page.keyboard.type("on a bumpy ro")
    stored.enter(served.store, number, "reading", {"red": "K1.86", "value": "12.2 V"})
    page.locator("#readings").get_by_text("R2", exact=True).wait_for()
    page.keyboard.type("ad")
    assert page.locator("#condition").input_value() == "on a bumpy road"


@pytest.mark.parametrize("bay", ["phone"], indirect=True)
def test_on_a_phone_the_next_test_comes_into_sight(bay: Bay, served: Served) -> None:
    """After each answer the new tests stand at the top of the page, not above it."""
    page = bay.page
    opened(bay, served)
    for _ in range(2):
        before = newest(bay)
        page.locator("#tests form.answer button[name=value]").first.click()
        page.wait_for_function(f"() => document.querySelector('#tests').dataset.newest > {before}")
        bay.settle()
        top = page.locator("#tests-title").evaluate("e => e.getBoundingClientRect().top")
        assert 0 <= top < SIZES["phone"]["viewport"]["height"] / 2
