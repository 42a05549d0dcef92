"""Documents written to files: PDF or HTML by the name of the file."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from loomwise.errors import InputError
from loomwise.report.document import Document, Heading
from loomwise.report.test_sheet import SheetRow, sheet_document
from loomwise.usecases.new_file import check_new, write_new
from loomwise.usecases.sheet import Sheet, expected_text, left_out_text, setup_text

KINDS = (".pdf", ".html")


@dataclass(frozen=True)
class Written:
    """A document that was written: its file, on which paper, and the titles of its sections."""

    file: str
    paper: str
    size_bytes: int
    sections: tuple[str, ...]


def check_file(file: str) -> None:
    """Refuse what could not be written in the end, before the work begins.

    Raises
    ------
    InputError : not a PDF or HTML file by its name, there already, or in no folder.
    """
    if Path(file).suffix.lower() not in KINDS:
        raise InputError("it is not said what to write", file, "end its name in .pdf or .html")
    check_new(file)


def write_document(document: Document, file: str, paper: str) -> Written:
    """Set a document and write it to a new file.

    Raises
    ------
    InputError : as ``check_file``; or no such paper.
    PaperError : what sets the pages is missing.
    """
    from loomwise.paper import to_html, to_pdf

    check_file(file)
    set_as = to_pdf if file.lower().endswith(".pdf") else to_html
    made = set_as(document, paper)
    write_new(file, made)
    return Written(file, paper, len(made), tuple(s.title for s in document.sections))


def document_of_sheet(sheet: Sheet, heading: Heading | None = None) -> Document:
    """A test sheet for paper."""
    rows = [
        SheetRow(r.place, r.title, r.method, tuple(expected_text(e) for e in r.expected))
        for r in sheet.rows
    ]
    setups: Sequence[str] = [setup_text(c) for c in sheet.setups]
    return sheet_document(sheet.circuit, setups, rows, left_out_text(sheet), heading)
