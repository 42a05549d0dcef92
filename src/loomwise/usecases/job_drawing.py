"""The drawing of a job: as the vehicle stands, with the places that were measured."""

from loomwise.drawing import part_of
from loomwise.errors import InputError
from loomwise.evidence import Reading
from loomwise.job import Job
from loomwise.solver.result import loads, plant_of
from loomwise.usecases.draw import VIEWS, Drawing, picture
from loomwise.usecases.predict import solve

MARKED = 12
"""Readings marked on the drawing, the last ones."""


def draw_job(job: Job, view: str = VIEWS[0], load: str = "") -> str:
    """The drawing as SVG text; ``load`` leaves only what concerns it.

    Raises
    ------
    InputError : no such view or load.
    SolveError : the battery is shorted as the vehicle stands.
    """
    named = next((v for v in VIEWS if v == view), None)
    if named is None or (load and load not in loads_of(job)):
        raise InputError("there is no such drawing", "drawing", "load the page again")
    circuit = job.circuit
    shown = part_of(circuit, load) if load else circuit
    points = solve(circuit, plant_of(circuit), job.here, ())
    probes = tuple((p, name) for p, name in probed(job).items() if p in shown.places)
    return picture(shown, job.here, points, (), Drawing(view=view, load=load, probes=probes), named)


def probed(job: Job) -> dict[str, str]:
    """Places that were measured, each with its last reading."""
    taken = [e for e in job.evidence if isinstance(e, Reading) and e.red in job.circuit.places]
    return {e.red: e.id for e in taken[-MARKED:]}


def loads_of(job: Job) -> tuple[str, ...]:
    """The loads whose part of the drawing can be had alone."""
    return tuple(part.id for part in loads(job.circuit))
