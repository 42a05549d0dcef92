"""Jobs in and out of the store as files: one job, the whole shop, or a job file in YAML."""

from pathlib import Path

from loomwise.circuit.document import read_document
from loomwise.job import Job
from loomwise.job.entries import job_entry
from loomwise.store import Archive, Store, open_store, read_archive, write_archive
from loomwise.usecases.drawings import declared
from loomwise.usecases.files import find_job, read_text
from loomwise.usecases.items import fields_of, standing_of
from loomwise.usecases.other_drawing import keep_other
from loomwise.usecases.stored import choose_circuit, enter, new_job, rule_out, stand


def export_job(number: int, file: str) -> Archive:
    """Write a job to one file."""
    return write_archive(open_store(), file, [number])


def backup_shop(file: str) -> Archive:
    """Write all jobs to one file, after the database has looked itself over."""
    store = open_store()
    store.check()
    return write_archive(store, file)


def read_back(file: str) -> Archive:
    """Add what an exported or backup file holds; nothing that is there is changed or lost."""
    return read_archive(open_store(), file)


def import_job(file: str) -> Archive:
    """The same, or a job file in YAML with the circuit it names."""
    if file.endswith((".yaml", ".yml")):
        return _from_yaml(open_store(), file)
    return read_back(file)


def _from_yaml(store: Store, file: str) -> Archive:
    """A job file as a stored job: its items are entered one by one."""
    job = find_job(file)
    document = read_document(read_text(Path(file)), file)
    entry = job_entry(document)
    declared(job)  # what the other drawing has otherwise can be taken up
    intake = {
        "complaint": job.complaint, "vehicle": job.vehicle.name, "vin": job.vehicle.vin or None,
        "mileage_km": job.vehicle.mileage_km, "authorised_minutes": job.authorised_minutes,
        "earlier": job.earlier or None, "added": job.added or None,
        "instruments": list(entry.instruments) or None,
    }  # fmt: skip
    number = new_job(store, intake)
    choose_circuit(store, number, job.circuit_name, job.circuit.text)
    if job.other_drawing is not None or job.differs:
        text = job.other_drawing.text if job.other_drawing is not None else ""
        keep_other(store, number, entry.other_drawing or "", text, job.differs)
    _items_from(store, number, job)
    return Archive(file, (number,), len(store.log(number)))


def _items_from(store: Store, number: int, job: Job) -> None:
    for item in job.evidence:
        kind, fields = fields_of(item)
        enter(store, number, kind, fields)
    for name in sorted(job.cannot):
        rule_out(store, number, name)
    stand(store, number, {**standing_of(job.here), "opened": sorted(job.opened)})
