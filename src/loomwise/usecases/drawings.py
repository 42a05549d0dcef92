"""What a job says of another drawing of its circuit, as doubts of the first."""

from loomwise.circuit.model import Circuit
from loomwise.compare import as_edits, compare, parse_change
from loomwise.diagnosis.redrawn import as_doubt
from loomwise.faults import Fault
from loomwise.job import Job

OTHER_IS_RIGHT = 0.5
"""Two drawings, and nothing is known of either: engineering judgement."""
OTHER = "the other drawing"


def declared(job: Job) -> tuple[Fault, ...]:
    """The other drawing of a job as one doubt, if it has one that differs in function."""
    edits = [e for line in job.differs for e in parse_change(job.circuit, line).edits]
    titles = list(job.differs)
    if job.other_drawing is not None:
        found = as_edits(job.circuit, compare(job.circuit, job.other_drawing).differences)
        edits += found.edits
        titles.append(job.other_drawing.title)
    if not edits:
        return ()
    return (as_doubt(OTHER, f"{OTHER} is right: {'; '.join(titles)}", edits, OTHER_IS_RIGHT),)


def not_worked_out(circuit: Circuit, other: Circuit) -> tuple[str, ...]:
    """Differences in function that the reasoning cannot take up."""
    found = as_edits(circuit, compare(circuit, other).differences)
    return tuple(d.text for d in found.not_expressed)
