"""A vehicle with a hidden fault, answering what the page asks for; and the way through a job."""

import json
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from loomwise.shelf import read_shelf
from loomwise.usecases.predict import Question, predict

FAULT, UNIT = "BAT.+-F4.1 open", "wire BAT.+-F4.1"
MOST_STEPS = 14
PATIENCE_MS = 60_000


def answer(asked: dict[str, str]) -> str:
    """What the vehicle shows for a test, in the words of its buttons or as a number."""
    there = json.loads(asked["standing"])
    setup = ", ".join(f"{c}={s}" for c, s in there["setup"].items())
    instrument, red = asked["instrument"], asked["red"]
    at = ",".join(p for p in (red, asked["black"]) if p)
    sign = instrument in ("sign", "scan tool", "look")
    question = Question(setup, tuple(there["undone"]), (), (FAULT,), "" if sign else at,
                        "voltmeter" if sign else instrument)  # fmt: skip
    state = predict(read_shelf("horn"), question).states[0]
    if instrument == "look":
        return "intact" if red == "F4" else "good"
    if sign:
        return {**state.devices, **state.loads}[red]
    shown = state.instrument
    assert shown is not None
    if shown.floating:
        return "wandering"
    return shown.text if shown.value is None else f"{shown.value:.3f}"


@dataclass
class Bay:
    """A page on a job, and all it asked for beyond this machine or complained about."""

    page: Any
    url: str
    strange: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page.set_default_timeout(PATIENCE_MS)
        self.page.on("request", self._asked)
        self.page.on("pageerror", lambda e: self.strange.append(str(e)))

    def _asked(self, request: Any) -> None:
        if not request.url.startswith((self.url, "data:")):
            self.strange.append(request.url)

    def settle(self) -> None:
        """Wait until what was sent is answered, and the tests fit it."""
        self.page.wait_for_function(
            "() => { const t = document.querySelector('#tests');"
            " const p = document.querySelector('#poll');"
            " const s = document.querySelector('#suspects');"
            " return t && p && s && t.dataset.newest === p.dataset.newest"
            " && !document.querySelector('form[method=post].htmx-request')"
            " && s.dataset.newest === p.dataset.newest"
            " && !t.classList.contains('htmx-request') && !t.classList.contains('settling'); }"
        )

    def open_job(self) -> None:
        """From the list of jobs to the bench of a new one."""
        page = self.page
        page.goto(self.url)
        page.get_by_role("link", name="New job").first.click()
        page.get_by_label("Complaint").fill("The horn stays silent")
        page.get_by_label("Vehicle").fill("Norvik T4")
        page.get_by_role("button", name="Open the job").click()
        page.locator("li", has_text="Horn, relay").get_by_role("button").click()
        self.settle()

    def complain(self) -> None:
        """Press the horn, say that the complaint is there, and what is heard."""
        page = self.page
        page.locator("#setup").get_by_role("button", name="pressed").click()
        self.settle()
        page.locator("#complaint-yes").click()
        self.settle()
        seen = page.locator("#entry > details")
        if seen.get_attribute("open") is None:
            seen.locator("summary").first.click()
        page.locator("#entry fieldset", has_text="horn H1").get_by_role(
            "button", name="silent"
        ).click()
        self.settle()

    def to_the_end(self, each: Callable[[int], None] = lambda k: None) -> None:
        """Answer the first test again and again until the job asks for the decision."""
        for k in range(MOST_STEPS):
            each(k)
            decide = self.page.get_by_role("link", name="To the decision")
            if decide.count():
                decide.click()
                return
            self._first_test()
            self.settle()
        raise AssertionError("no end in sight")

    def _first_test(self) -> None:
        form = self.page.locator("#tests form.answer").first
        names = ("instrument", "red", "black", "standing")
        asked = {n: form.locator(f"input[name={n}]").input_value() for n in names}
        shown = answer(asked)
        button = form.locator(f"button[name=value][value='{shown}']")
        if button.count():
            button.click()
            return
        field_ = form.locator("input.typed")
        field_.click()
        field_.fill(shown)
        form.get_by_role("button", name="Enter", exact=True).click()

    def decide(self, unit: str = "") -> None:
        """Decide on a unit, or on the one that is proposed."""
        if unit:
            self.page.get_by_label("What to repair").select_option(unit)
        self.page.get_by_role("button", name="Decide").click()
        self.page.get_by_text("Decided: repair").wait_for()

    def repair(self, unit: str, words: str) -> None:
        """Say at the end of the job what was repaired."""
        page = self.page
        page.get_by_role("navigation", name="Job").get_by_role("link", name="End").click()
        page.get_by_label(re.compile("Repaired now|What was repaired")).select_option(unit)
        page.get_by_label("What was done").fill(words)
        page.get_by_role("button", name="It is repaired").click()
        page.get_by_text("The proof: what must be found now").wait_for()

    def prove(self, shown: dict[str, str]) -> None:
        """Tick off checks with what they showed."""
        for name, value in shown.items():
            field_ = self.page.locator(f"[name='check-{name}']")
            if field_.evaluate("e => e.tagName") == "SELECT":
                field_.select_option(value)
            else:
                field_.fill(value)
        self.page.get_by_role("button", name="Keep the answers").click()
        self.page.get_by_text("It showed").first.wait_for()

    def put_back(self) -> None:
        """Empty the put-back list on the bench."""
        self.page.get_by_role("link", name="Bench").click()
        self.settle()
        buttons = self.page.locator("#putback button")
        while buttons.count():
            buttons.first.click()
            self.settle()

    def report(self, file: Path) -> None:
        """Close the job as proven, and take its report with lines to sign on."""
        page = self.page
        page.get_by_role("navigation", name="Job").get_by_role("link", name="End").click()
        page.get_by_role("button", name="Close as proven").click()
        page.get_by_text("Closed as proven").wait_for()
        with page.expect_download() as download:
            page.get_by_role("button", name="PDF").click()
        download.value.save_as(file)
