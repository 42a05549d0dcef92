"""Read the text of a job file into a job, or say everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from loomwise.circuit.document import Document, read_document
from loomwise.circuit.model import Circuit
from loomwise.errors import FileError, InputError
from loomwise.evidence.items import AT_HAND
from loomwise.job.record import Job, Vehicle

if TYPE_CHECKING:
    from loomwise.job.schema import JobEntry


def read_job(text: str, name: str, circuit_of: Callable[[str], Circuit]) -> Job:
    """The job that ``text`` describes; ``circuit_of`` finds the circuit it names.

    Raises
    ------
    FileError : with every problem found, each with its line and what would be right; or with
        those of the circuit's own file.
    """
    # pydantic takes 0.1 s to load, so it is loaded only when a file is read.
    from loomwise.job.entries import job_entry

    document = read_document(text, name)
    entry = job_entry(document)
    circuit = _circuit(document, entry.circuit, circuit_of)
    other = None
    if entry.other_drawing is not None:
        other = _circuit(document, entry.other_drawing, circuit_of, "other drawing")
    job = _job(document, entry, circuit, other)
    if document.problems:
        raise FileError(document.problems)
    return job


def _circuit(
    document: Document, word: str, circuit_of: Callable[[str], Circuit], key: str = "circuit"
) -> Circuit:
    try:
        return circuit_of(word)
    except FileError as error:
        raise FileError([*document.problems, *error.problems]) from None
    except InputError as error:
        document.add((key,), error.message, error.hint)
        raise FileError(document.problems) from None


def _job(document: Document, entry: JobEntry, circuit: Circuit, other: Circuit | None) -> Job:
    from loomwise.job.build import Builder

    builder = Builder(document, circuit, entry.setups)
    items = builder.items(entry)
    return Job(
        complaint=entry.complaint,
        vehicle=Vehicle(entry.vehicle.name, entry.vehicle.mileage_km, entry.vehicle.vin or ""),
        circuit_name=entry.circuit,
        circuit=circuit,
        here=builder.here(entry.here),
        evidence=tuple(item for item, why in items if not why),
        withdrawn=tuple((item.id, why) for item, why in items if why),
        instruments=tuple(entry.instruments) or AT_HAND,
        opened=builder.opened(entry.opened),
        cannot=builder.cannot(entry.cannot),
        authorised_minutes=entry.authorised,
        spent_minutes=entry.spent,
        other_drawing=other,
        differs=tuple(entry.differs),
        earlier=entry.earlier,
        added=entry.added,
        ending=builder.ending(entry.ending),
    )
