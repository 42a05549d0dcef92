"""Earlier jobs like this one: on the same circuit, by the signs they share, and how they ended."""

from collections.abc import Iterable
from dataclasses import dataclass

from loomwise.circuit.model import Circuit
from loomwise.errors import InputError
from loomwise.evidence import Evidence, Sign
from loomwise.job import Job
from loomwise.job.log import Folded, fold
from loomwise.setups import Setup
from loomwise.store import JobRow, Store
from loomwise.usecases.files import find_job, is_number
from loomwise.usecases.stored import job_of, stored_job

MOST = 10
Key = tuple[str, str, Setup]


@dataclass(frozen=True)
class SimilarJob:
    """An earlier job. ``likeness`` is the share of signs that both have, of all that either has;
    ``ended`` is proven, unproven, or nothing while it is open; ``repaired`` are units' titles."""

    number: int
    opened: str
    vehicle: str
    complaint: str
    likeness: float
    shared: tuple[str, ...]
    repaired: tuple[str, ...]
    ended: str
    came_back: bool


@dataclass(frozen=True)
class Similar:
    """Jobs like this one, the most alike first; ``circuit`` is the one they share."""

    circuit: str
    jobs: tuple[SimilarJob, ...]


def similar_jobs(store: Store, name: str | int, most: int = MOST) -> Similar:
    """Jobs on the same circuit as a job file, or as a job of this store by its number.

    A circuit is the same by its name or its text, as its file may have been mended since. A sign is
    shared if the same load does the same in the same setup. Signs without the complaint say nothing
    of it and are left out.
    """
    by_number = isinstance(name, int) or is_number(name)
    own = int(name) if by_number else 0
    job = stored_job(store, own) if by_number else find_job(str(name))
    mine = _signs(job.evidence)
    found = [
        _alike(row, folded, other, mine)
        for row, folded, other in _on_circuit(store, job)
        if row.number != own
    ]
    order = sorted(found, key=lambda s: (-s.likeness, -s.number))
    return Similar(job.circuit.title, tuple(order[:most]))


def _on_circuit(store: Store, job: Job) -> Iterable[tuple[JobRow, Folded, Job]]:
    for row in store.jobs(most=1_000_000):
        folded = fold(store.log(row.number))
        if folded.circuit:
            try:
                other = job_of(store, row.number, folded)
            except InputError:
                continue  # its circuit cannot be read any more
            if _same(job.circuit, other.circuit):
                yield row, folded, other


def _same(a: Circuit, b: Circuit) -> bool:
    return a.digest == b.digest or a.title == b.title


def _signs(evidence: Iterable[Evidence]) -> set[Key]:
    """Signs of the complaint before anything was repaired."""
    return {
        (e.what, e.seen, e.setup)
        for e in evidence
        if isinstance(e, Sign) and e.complaint != "no" and not e.repaired
    }


def _alike(row: JobRow, folded: Folded, job: Job, mine: set[Key]) -> SimilarJob:
    theirs = _signs(job.evidence)
    both, either = mine & theirs, mine | theirs
    units = job.circuit.units
    return SimilarJob(
        row.number, row.opened_at.astimezone().strftime("%Y-%m-%d"), row.vehicle, row.complaint,
        len(both) / len(either) if either else 0.0,
        tuple(sorted(f"{what} {seen}" for what, seen, _ in both)),
        tuple(units[u].title for u in folded.repaired if u in units),
        str(folded.closing.get("as", "")), any(c["comeback"] for c in folded.closings),
    )  # fmt: skip
