"""The drawing of a report: how the vehicle stood, with the fault and the probed places marked."""

from collections import Counter
from collections.abc import Sequence

from loomwise.circuit.model import Circuit
from loomwise.drawing import part_of
from loomwise.evidence import Evidence, Reading, Sign
from loomwise.faults import Fault
from loomwise.job import Job
from loomwise.report.document import Picture
from loomwise.setups import Setup
from loomwise.solver.result import loads, plant_of
from loomwise.usecases.draw import Drawing, fault_places, pictures, size_of
from loomwise.usecases.predict import solve

WHOLE_PARTS = 45
"""Circuits of more parts are drawn by the load that is complained of: the rest would be too small
to read on paper. Engineering judgement."""
TALLEST = 1.5
"""Height of a part of the drawing over its width: then it fills an upright page."""


def report_drawings(
    job: Job, evidence: Sequence[Evidence], faults: tuple[Fault, ...], grey: bool = False
) -> tuple[Picture, ...]:
    """The drawing in parts that fit a page.

    Raises
    ------
    SolveError : the battery is shorted.
    LayoutError : the layout library is missing or cannot do it.
    """
    setup = telling_setup(job, evidence)
    load = _load(job, evidence, faults)
    shown = part_of(job.circuit, load) if load else job.circuit
    marked = tuple((p, name) for p, name in probed(job, evidence).items() if p in shown.places)
    points = solve(job.circuit, plant_of(job.circuit), setup, faults)
    wanted = Drawing(load=load, grey=grey, probes=marked)
    parts = pictures(shown, setup, points, faults, wanted, TALLEST)
    title = f"{job.circuit.title}, {setup}"
    return tuple(_picture(svg, title, n, len(parts)) for n, svg in enumerate(parts, 1))


def _picture(svg: str, title: str, number: int, parts: int) -> Picture:
    width, height = size_of(svg)
    which = f", part {number} of {parts}" if parts > 1 else ""
    goes_on = "; wires lettered at the edge go on in the next part" if parts > 1 else ""
    about = f"Wiring diagram of {title}{which}, with the fault and the probed places marked"
    marks = "; the flash marks the fault, R with a number where a reading was taken"
    return Picture(svg, width, height, about, f"{title}{which}{marks}{goes_on}")


def telling_setup(job: Job, evidence: Sequence[Evidence]) -> Setup:
    """The setup most was taken in with the complaint there; else most of all; else the present."""
    present = [e.setup for e in evidence if e.complaint == "yes"]
    counted = Counter(present or [e.setup for e in evidence])
    return counted.most_common(1)[0][0] if counted else job.here


def probed(job: Job, evidence: Sequence[Evidence]) -> dict[str, str]:
    """Places that were measured with the readings there: R5, or R5 R9."""
    names: dict[str, list[str]] = {}
    for e in evidence:
        if isinstance(e, Reading) and e.red in job.circuit.places:
            names.setdefault(e.red, []).append(e.id)
    return {place: " ".join(ids) for place, ids in names.items()}


def _load(job: Job, evidence: Sequence[Evidence], faults: Sequence[Fault]) -> str:
    """The load whose part of a large circuit is drawn: one that shows the fault, or was watched."""
    circuit = job.circuit
    if len(circuit.parts) <= WHOLE_PARTS:
        return ""
    names = [p.id for p in loads(circuit)]
    watched = [e.what for e in evidence if isinstance(e, Sign) and e.what in names]
    tries = list(dict.fromkeys([*watched, *names]))
    with_fault = [n for n in tries if all(_has(part_of(circuit, n), f) for f in faults)]
    return next(iter([*with_fault, *tries]), "")


def _has(circuit: Circuit, fault: Fault) -> bool:
    return any(name in circuit.parts or name in circuit.segments
               for name in fault_places(circuit, fault))  # fmt: skip
