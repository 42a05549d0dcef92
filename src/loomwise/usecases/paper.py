"""Documents written to files: PDF or HTML by the name of the file."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from loomwise.advice.ahead import Step
from loomwise.errors import InputError
from loomwise.report.document import Document, Heading
from loomwise.report.test_plan import plan_document
from loomwise.report.test_sheet import SheetRow, sheet_document
from loomwise.usecases.files import find_job
from loomwise.usecases.heading import find_shop
from loomwise.usecases.new_file import check_new, write_new
from loomwise.usecases.rank import PLAN_LEAVES, Time, plan_of
from loomwise.usecases.sheet import Sheet, expected_text, left_out_text, setup_text
from loomwise.usecases.wording import verdict_text

KINDS, PAPERS = (".pdf", ".html"), ("A4", "letter")


@dataclass(frozen=True)
class Written:
    """A document that was written: its file, on which paper, and the titles of its sections."""

    file: str
    paper: str
    size_bytes: int
    sections: tuple[str, ...]


@dataclass(frozen=True)
class Output:
    """Where a document goes: the new file, the paper, and the heading's file (none: the shop's)."""

    file: str
    paper: str = "A4"
    heading: str = ""


def check_file(file: str) -> None:
    """Refuse what could not be written in the end, before the work begins.

    Raises
    ------
    InputError : not a PDF or HTML file by its name, there already, or in no folder.
    """
    if Path(file).suffix.lower() not in KINDS:
        raise InputError("it is not said what to write", file, "end its name in .pdf or .html")
    check_new(file)


def check_paper(paper: str) -> None:
    """Refuse a paper that is not known.

    Raises
    ------
    InputError : neither A4 nor letter.
    """
    if paper not in PAPERS:
        raise InputError(f"no paper '{paper[:20]}'", "--paper", f"use {' or '.join(PAPERS)}")


def write_document(document: Document, file: str, paper: str) -> Written:
    """Set a document and write it to a new file.

    Raises
    ------
    InputError : as ``check_file``; or no such paper.
    PaperError : what sets the pages is missing.
    """
    check_file(file)
    made = set_document(document, Path(file).suffix.lower(), paper)
    write_new(file, made)
    return Written(file, paper, len(made), tuple(s.title for s in document.sections))


def set_document(document: Document, kind: str, paper: str) -> bytes:
    """A document as the bytes of a file of a kind, ``.pdf`` or ``.html``.

    Raises
    ------
    InputError : no such paper.
    PaperError : what sets the pages is missing.
    """
    from loomwise.paper import to_html, to_pdf

    check_paper(paper)
    return (to_pdf if kind == ".pdf" else to_html)(document, paper)


def document_of_sheet(sheet: Sheet, heading: Heading | None = None) -> Document:
    """A test sheet for paper."""
    rows = [
        SheetRow(r.place, r.title, r.method, tuple(expected_text(e) for e in r.expected))
        for r in sheet.rows
    ]
    setups: Sequence[str] = [setup_text(c) for c in sheet.setups]
    return sheet_document(sheet.circuit, setups, rows, left_out_text(sheet), heading)


def write_sheet(sheet: Sheet, file: str, paper: str, heading: str = "") -> Written:
    """A test sheet as PDF or HTML, with the heading of a file or the shop's own."""
    return write_document(document_of_sheet(sheet, find_shop(heading).heading), file, paper)


def write_plan(name: str, time: Time, file: str, paper: str, heading: str = "") -> Written | None:
    """The tree of tests of a job from here as PDF or HTML; None if there is nothing left to test.

    Raises
    ------
    InputError : anything wrong with the job, the heading or the file.
    """
    check_file(file)
    check_paper(paper)
    shop, job = find_shop(heading), find_job(name)
    verdict, found = plan_of(job, PLAN_LEAVES, time)
    if not isinstance(found, Step):
        return None
    head = (
        ("Vehicle", job.vehicle.name), ("Complaint", job.complaint),
        ("Circuit", job.circuit.title), ("It stands", str(job.here)),
    )  # fmt: skip
    document = plan_document(found, head, verdict_text(verdict), shop.heading)
    return write_document(document, file, paper)
