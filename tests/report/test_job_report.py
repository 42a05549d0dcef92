"""What a job's report says: each section exactly when it has something to say, and nothing lost."""

from dataclasses import replace
from functools import cache

import pytest

from loomwise.report.case import Case, Closing, Wanted
from loomwise.report.document import Document, Facts, Photo, Points, Section, Table, Words
from loomwise.report.job_report import job_report
from loomwise.report.shop import Shop
from loomwise.usecases.report import case_of
from loomwise.usecases.report_sources import read_source
from tests.report.jobs import HEAD, REPAIRED, UNIT, WIRE, job_of


@cache
def case(text: str) -> Case:
    """The case of a job; a job with readings after a repair knows what was repaired."""
    done = Closing(repaired=(UNIT,), done="New wire let in.") if "repaired" in text else Closing()
    return case_of(job_of(text), done)


def titles(document: Document) -> list[str]:
    """The titles of its sections."""
    return [s.title for s in document.sections]


def words(section: Section) -> str:
    """All text of a section."""
    found: list[str] = []
    for b in section.blocks:
        match b:
            case Words(text=text):
                found.append(text)
            case Points(items=items):
                found += items
            case Facts(rows=rows) | Table(rows=rows):
                found += [cell for row in rows for cell in row]
    return "\n".join(found)


def part(document: Document, title: str) -> str:
    """All text of the section that begins so."""
    return words(next(s for s in document.sections if s.title.startswith(title)))


ALWAYS = ["The job", "Complaint", "Cause", "Correction", "What it can be"]


def test_a_bare_complaint() -> None:
    """With the complaint alone the report holds the job, what it can be, and the drawing."""
    found = titles(job_report(case(f"{HEAD}signs:\n  - H1 silent, horn=pressed, complaint yes\n")))
    assert found[:5] == ALWAYS and found[-1] == "Drawing"
    for title in ("Proof", "Photographs", "Notes", "Price", "Signed", "Readings in doubt"):
        assert title not in found
    assert "What was ruled out" not in found


def test_a_whole_job() -> None:
    """Cause, evidence, what was ruled out and the proof stand in the order a reader needs them."""
    report = job_report(case(REPAIRED))
    found = titles(report)
    assert found[:5] == ALWAYS
    order = ["How it was found", "What was ruled out", "All signs and readings", "Repair: wire",
             "Proof", "Times", "About these figures", "Drawing"]  # fmt: skip
    at = [next(n for n, t in enumerate(found) if t.startswith(o)) for o in order]
    assert at == sorted(at)
    assert "Wire C1.3 to C3.1" in part(report, "Cause") and "1.5 mm²" in part(report, "Cause")
    assert "Repaired: wire C1.3 to C3.1" in part(report, "Correction")
    assert "New wire let in." in part(report, "Correction")
    assert "14 min" in part(report, "Times")


def test_the_complaint_and_every_item_are_there_as_they_were_said() -> None:
    """Nothing of the record is lost, what was withdrawn neither, and the complaint is verbatim."""
    report = job_report(case(REPAIRED))
    assert part(report, "Complaint") == "The horn is silent <b> #strong[now]"
    table = part(report, "All signs and readings").splitlines()
    job = case(REPAIRED).job
    for name in (*(e.id for e in job.evidence), *(i for i, _ in job.withdrawn)):
        assert name in table
    assert "the clip had come off" in table and "key" not in table
    assert "a new horn last year" in part(report, "The job")


def test_what_was_ruled_out_names_its_reading() -> None:
    """A unit the complaint pointed to is ruled out by a reading that is named with its weight."""
    text = part(job_report(case(REPAIRED)), "What was ruled out")
    assert "steering wheel" in text and "times against" in text
    assert "At first" in text.split("\n")[0] and "fuse F4" in text


def test_the_proof_takes_what_was_seen_after_the_repair() -> None:
    """A check that was made and entered as a sign counts; those not made are said."""
    text = part(job_report(case(REPAIRED)), "Proof")
    assert "sounds" in text
    proven = case(REPAIRED).proven
    assert proven and proven.judged
    if not proven.judged.passed:
        assert "is not done yet" in text


def test_a_failed_check_stands_out() -> None:
    """A check that shows the fault is still there is marked, and the repair is not proven."""
    found = case_of(job_of(WIRE), Closing(repaired=(UNIT,)), answers=("P1=silent",))
    text = part(job_report(found), "Proof")
    assert "Not proven" in text and "failed" in text


def test_a_first_repair_that_did_not_cure_is_told() -> None:
    """Two repairs: the first is told as one after which the complaint was still there."""
    found = replace(case(REPAIRED), closing=Closing(repaired=("horn", UNIT)))
    text = part(job_report(found), "Correction")
    assert "First repaired: horn; the complaint was still there." in text


def test_prices_signatures_photographs_and_notes_on_request() -> None:
    """Price lines with tax, lines to sign and photographs are there when asked for."""
    shop = Shop(currency="EUR", labour_per_hour=60.0, tax_share=0.2, roles=("Fitter",))
    found = replace(
        case(REPAIRED), shop=shop, wanted=Wanted(prices=True, sign=True),
        photos=(Photo(b"x", 4, 3, "seen"),), closing=Closing(repaired=(UNIT,), notes=("rusty",)),
    )  # fmt: skip
    report = job_report(found)
    assert {"Price", "Signed", "Photographs"} <= set(titles(report))
    price = next(s for s in report.sections if s.title == "Price").blocks[0]
    assert isinstance(price, Table) and price.head[1] == "amount, EUR"
    amounts = {text: float(amount) for text, amount in price.rows}
    net = amounts["Sum without tax"]
    assert amounts["Testing, 14 min at 60 an hour"] == pytest.approx(14.0)
    assert amounts["To pay"] == pytest.approx(1.2 * net, abs=0.011)
    assert "rusty" in part(report, "Notes")


def test_the_repair_of_a_wire_has_its_figures() -> None:
    """A wire's size, length, current, drop and the fuse before it are worked out."""
    text = part(job_report(case(REPAIRED)), "Repair")
    assert "1.5 mm², 1.3 m" in text and "F4, 15 A" in text
    assert "5" in text and "% of the supply" in text
    assert "The drawn size does it." in text


def test_an_exchange_is_worded_for_another_workshop() -> None:
    """Labels exchanged: what was found where, on which edition and vehicle, and what to read."""
    whole = case(REPAIRED)
    ranking = replace(whole.diagnosis.ranking, doubted={"C4.1/C4.2": 0.93})
    told = part(
        job_report(replace(whole, diagnosis=replace(whole.diagnosis, ranking=ranking))),
        "Doubts about the diagram",
    )
    assert (
        "On this vehicle, as against the diagram: cavities 1 and 2 of C4 exchanged (93 %)" in told
    )
    assert "What the diagram calls C4.1 was found at C4.2, and the other way round." in told
    assert "workshop sheet 31" in told and "Norvik T4" in told
    assert "Before you rely on C4.1 or C4.2 on another vehicle" in told


def test_a_sound_drawing_is_not_doubted() -> None:
    """Where the readings agree with the drawing nothing is said against it."""
    found = titles(job_report(case(REPAIRED)))
    assert "Doubts about the diagram" not in found


def test_a_doubted_reading_is_told_with_its_share() -> None:
    """A reading that fits nothing else is named, to be taken again."""
    whole = case(REPAIRED)
    ranking = replace(whole.diagnosis.ranking, bad={"R4": 0.97, "R1": 0.01})
    found = job_report(replace(whole, diagnosis=replace(whole.diagnosis, ranking=ranking)))
    told = part(found, "Readings in doubt")
    assert told.startswith("R4, 0.00 V at C3.1.a") and "97 %" in told and "R1" not in told
    assert "did not touch, or was taken elsewhere" in part(found, "All signs and readings")


def test_what_nothing_explains_is_never_hidden() -> None:
    """However high a suspect stands, the share that nothing explains is printed beside it."""
    assert "not explained by anything" in part(job_report(case(REPAIRED)), "What it can be")


def test_repaired_units_are_read_from_the_items(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Items taken after a repair tell what was repaired, the first repair first."""
    file = tmp_path_factory.mktemp("job") / "job.yaml"
    text = REPAIRED.replace("repaired: [wire", "repaired: [horn, wire")
    text = text.replace("readings:", "  - {what: H1, seen: silent, setup: horn=pressed,"
                        " repaired: [horn], complaint: yes}\nreadings:")  # fmt: skip
    file.write_text(text, encoding="utf-8")
    assert read_source(str(file)).closing.repaired == ("horn", UNIT)
