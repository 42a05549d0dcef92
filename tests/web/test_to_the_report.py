"""Whole jobs in a browser, from the complaint to the signed report: straight, and with a first
repair that did not cure."""

import subprocess
from pathlib import Path

import pytest

from loomwise.job.log import fold
from loomwise.usecases import closing
from tests.web.bay import UNIT, Bay
from tests.web.conftest import PICTURES, Served

pytestmark = [pytest.mark.slow, pytest.mark.chromium, pytest.mark.poppler]
WIRE = "New wire let in between battery and F4"


def _number(bay: Bay) -> int:
    return int(bay.page.url.split("/")[4].split("?")[0])


def _healthy(served: Served, number: int) -> dict[str, str]:
    """What the checks of the proof show on a vehicle whose fault is gone."""
    checks = closing.end_of(served.store, number).checks
    return {c["id"]: c["word"] or f"{(c['low'] + c['high']) / 2:.2f}" for c in checks}


def _text(file: Path, name: str) -> str:
    """The words of a report, as they run; its pages are kept for the eye, in colour and in grey."""
    PICTURES.mkdir(parents=True, exist_ok=True)
    for grey in ((), ("-gray",)):
        to = PICTURES / f"report-{name}{'-grey' if grey else ''}"
        subprocess.run(["pdftoppm", *grey, "-r", "60", "-png", file, to], check=True)
    out = subprocess.run(["pdftotext", "-layout", file, "-"], capture_output=True, check=True)
    return " ".join(out.stdout.decode("utf-8").split())


def _finish(bay: Bay, served: Served, file: Path) -> str:
    """Prove, put back, close, and take the report away; the job stays open for other tests."""
    number = _number(bay)
    bay.prove(_healthy(served, number))
    bay.put_back()
    try:
        bay.report(file)
    finally:
        if fold(served.store.log(number)).closing:
            closing.reopen(served.store, number, "what it taught is for this test only")
    return _text(file, file.stem)


@pytest.mark.parametrize("bay", ["tablet"], indirect=True)
def test_straight(bay: Bay, served: Served, poppler: None, tmp_path: Path) -> None:
    """Complaint, tests, decision, repair, proof, put-back list, closing, report to be signed."""
    bay.open_job()
    bay.complain()
    bay.to_the_end()
    bay.decide()
    bay.repair(UNIT, WIRE)
    text = _finish(bay, served, tmp_path / "straight.pdf")
    for said in (
        "The horn stays silent", f"Repaired: {UNIT.removesuffix(' BAT.+-F4.1')}", WIRE,
        "Proven: every check is as expected", "as proven", "Technician: date, signature",
    ):  # fmt: skip
        assert said in text, said
    assert "First repaired" not in text


@pytest.mark.parametrize("bay", ["phone"], indirect=True)
def test_with_a_first_repair_that_did_not_cure(
    bay: Bay, served: Served, poppler: None, tmp_path: Path
) -> None:
    """The horn is renewed on a guess and stays silent: the same job goes on to the wire, and the
    report tells both."""
    page = bay.page
    bay.open_job()
    bay.complain()
    number = _number(bay)
    page.goto(f"{bay.url}/jobs/{number}/decision")
    bay.decide("horn")
    bay.repair("horn", "New horn")
    bay.prove({"P1": "silent"})
    page.get_by_text("P1 failed").first.wait_for()
    page.get_by_role("button", name="Close as proven").click()
    page.get_by_text("It cannot be closed as proven").wait_for()
    page.get_by_role("navigation", name="Job").get_by_role("link", name="Bench").click()
    bay.settle()
    bay.complain()
    bay.to_the_end()
    page.get_by_role("button", name="Take the decision back").click()
    bay.decide(UNIT)
    bay.repair(UNIT, WIRE)
    text = _finish(bay, served, tmp_path / "second.pdf")
    for said in (
        "First repaired: horn; the complaint was still there", "horn: New horn.", f": {WIRE}.",
        "Proven: every check is as expected", "Technician: date, signature",
    ):  # fmt: skip
        assert said in text, said
