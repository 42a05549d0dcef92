"""`loomwise report`, and what is printed of any document that was written."""

from loomwise.cli.show import lines, patience, print_json
from loomwise.usecases.paper import Written
from loomwise.usecases.report import ReportWanted, write_report


def run(job: str, wanted: ReportWanted, as_json: bool) -> None:
    """Write the report of a job."""
    with patience("writing the report"):
        written = write_report(job, wanted)
    say(written, "the report", as_json)


def say(written: Written, what: str, as_json: bool) -> None:
    """Where a document is now."""
    if as_json:
        print_json(written)
    else:
        lines(f"{what} is now in {written.file}, {written.size_bytes / 1000:.0f} kB")
