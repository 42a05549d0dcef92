"""The worked jobs at hand: what somebody complained about, and how it ended."""

from dataclasses import dataclass

from loomwise.evidence import Sign
from loomwise.job import Ending, Job, read_job
from loomwise.shelf import read_shelf, shelf_jobs, shelf_text


@dataclass(frozen=True)
class ShelfJob:
    """One worked job. ``verdict``, ``units`` to repair and ``found`` are how it ended."""

    name: str
    complaint: str
    vehicle: str
    signs: int
    readings: int
    verdict: str
    units: tuple[str, ...]
    found: str


@dataclass(frozen=True)
class ShelfJobs:
    """All worked jobs on one circuit at hand."""

    circuit: str
    title: str
    jobs: tuple[ShelfJob, ...]


def read_shelf_job(name: str) -> Job:
    """A worked job at hand, such as ``horn/silent``.

    Raises
    ------
    InputError : nothing on the shelf has that name.
    """
    return read_job(shelf_text(name), name, read_shelf)


def list_shelf_jobs(circuit: str) -> ShelfJobs:
    """The worked jobs on a circuit at hand.

    Raises
    ------
    InputError : nothing on the shelf has that name.
    """
    jobs = tuple(_job(name) for name in shelf_jobs(circuit))
    return ShelfJobs(circuit, read_shelf(circuit).title, jobs)


def _job(name: str) -> ShelfJob:
    job = read_shelf_job(name)
    ending = job.ending or Ending("")
    signs = sum(isinstance(item, Sign) for item in job.evidence)
    titles = tuple(job.circuit.units[unit].title for unit in ending.units)
    return ShelfJob(
        name, job.complaint, job.vehicle.name, signs, len(job.evidence) - signs,
        ending.verdict, titles, ending.found,
    )  # fmt: skip
