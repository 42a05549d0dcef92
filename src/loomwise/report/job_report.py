"""The report of a job: complaint, cause, correction, and all that leads from one to the other."""

from collections.abc import Iterator

from loomwise.report import done, doubts, found
from loomwise.report.case import Case
from loomwise.report.document import Document, Facts, Section, Signatures, Words, section
from loomwise.report.words import pretty, unit_words

TITLE = "Diagnosis and repair report"
ADVICE = (
    "Shares are degrees of belief worked out from the circuit's model and what was seen and read;"
    " no reading makes them certain. The maker's instructions go before everything said here."
)


def job_report(case: Case) -> Document:
    """The report; a section stands in it exactly when there is something to say."""
    vehicle = case.job.vehicle.name
    sections = (
        *section("The job", Facts(tuple(_head(case)))),
        *section("Complaint", Words(case.job.complaint, "quote")),
        *_cause(case),
        *done.correction(case),
        *found.suspects(case),
        *found.found(case),
        *found.ruled_out(case),
        *doubts.drawing_doubts(case),
        *doubts.reading_doubts(case),
        *found.evidence_table(case),
        *done.road_test(case),
        *done.repair(case),
        *done.proof(case),
        *done.notes(case),
        *done.times(case),
        *done.prices(case),
        *section("About these figures", Words(ADVICE, "small")),
        *_signed(case),
        *section("Drawing", *case.drawings),
        *done.photographs(case),
    )
    foot = ", ".join([vehicle, *([f"job {case.number}"] if case.number else [])])
    return Document(TITLE, foot, case.shop.heading, sections, foot)


def _head(case: Case) -> Iterator[tuple[str, str]]:
    job = case.job
    if case.number:
        yield "Job", case.number
    yield "Vehicle", job.vehicle.name
    if job.vehicle.vin:
        yield "VIN", job.vehicle.vin
    if job.vehicle.mileage_km is not None:
        yield "Mileage", f"{job.vehicle.mileage_km:,.0f} km".replace(",", "\u202f")
    yield "Circuit", job.circuit.title
    for source in job.circuit.sources:
        drawn = source.drawn if source.drawn == "redrawn" else f"drawn {source.drawn}"
        yield "Diagram", f"{source.name}, {drawn}"
    if job.earlier:
        yield "Work done before", job.earlier
    if job.added:
        yield "Added to its wiring", job.added
    if job.withdrawn:
        yield "Withdrawn", f"{len(job.withdrawn)} of its signs and readings do not count"


def _cause(case: Case) -> Iterator[Section]:
    """The unit and the fault in it, and how sure that is, in words."""
    d = case.diagnosis
    lead = "Not found yet."
    if d.unit:
        title = unit_words(case.expert, d.unit)
        faults = [pretty(f.title).removeprefix(f"{title}: ") for f in d.faults]
        lead = f"{title[:1].upper()}{title[1:]}" + (f": {'; '.join(faults)}" if faults else "")
    yield from section(
        "Cause", Words(f"{lead.rstrip('.')}.", "lead"), Words(pretty(d.verdict_text))
    )


def _signed(case: Case) -> tuple[Section, ...]:
    return section("Signed", Signatures(case.shop.roles if case.wanted.sign else ()))
