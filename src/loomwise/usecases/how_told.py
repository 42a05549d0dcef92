"""How a circuit works, as the pages tell it: sentences, and what would start or stop each load."""

from dataclasses import dataclass

from loomwise.explain.explanation import Cause
from loomwise.job import Job
from loomwise.usecases.how import grouped, how_circuit


@dataclass(frozen=True)
class LoadTold:
    """One load: how it works in sentences, what runs it unasked, and by unit what stops it."""

    load: str
    title: str
    text: tuple[str, ...]
    unasked: tuple[Cause, ...]
    stops: tuple[tuple[str, str], ...]


def tell(job: Job) -> list[LoadTold]:
    """How the circuit of a job works, load by load."""
    found = how_circuit(job.circuit)
    return [
        LoadTold(one.load, one.title, one.text, one.unasked, tuple(grouped(one.stops)))
        for one in found.loads
    ]  # fmt: skip
