"""The end of a job and the road test as JSON: repair, proof, closing, opening again; the months."""

from typing import Annotated, Any

from fastapi import APIRouter
from pydantic import Field

from loomwise.usecases import closing, road_test
from loomwise.usecases.figures import figures_of
from loomwise.usecases.shape import plain, to_json
from loomwise.usecases.similar import similar_jobs
from loomwise.usecases.stored import without_circuit
from loomwise.web import models as m
from loomwise.web.deps import Number, OneJob, Shop, Thinker
from loomwise.web.reason import Reasoner, View

router = APIRouter()


class RepairIn(m.Taken):
    """The unit that was repaired, and what was done."""

    unit: m.Name
    words: m.Long = ""


class ProofIn(m.Taken):
    """What the checks of the proof showed, by their names: ``{"P1": "slow", "P2": "12.4 V"}``."""

    answers: dict[m.Name, m.Name] = Field(min_length=1, max_length=60)


class ClosingIn(m.Taken):
    """How it is closed: as proven, or with the reason as unproven."""

    unproven: m.Long = Field("", description="why it is closed without its proof")


class ReopeningIn(m.Taken):
    """Why a job is opened again, and whether the vehicle came back with its complaint."""

    reason: m.Said
    comeback: bool = False


class MarkIn(m.Taken):
    """A mark of a road test: ``now`` the complaint is there, ``gone`` again, set ``off``."""

    what: Annotated[str, Field(pattern="^(now|gone|off)$")]
    at: m.Short = Field("", description="ISO 8601 with its offset from UTC; empty: this moment")
    conditions: list[m.Short] = Field([], max_length=12)
    words: m.Long = ""


def _end(reasoner: Reasoner, view: View) -> dict[str, Any]:
    """How far the job is from its closing, worked out while nobody else uses its circuit."""
    with reasoner.alone(_digest(view)):
        return to_json(closing.end_of(reasoner.store, view.number))


def _digest(view: View) -> str:
    if view.job is None:
        raise without_circuit(view.number)
    return view.job.circuit.digest


@router.get("/jobs/{number}/end")
def end(reasoner: Thinker, view: OneJob) -> dict[str, Any]:
    """What stands between a job and its closing: put-back list, proof, what failed of it."""
    return _end(reasoner, view)


@router.post("/jobs/{number}/repairs", status_code=201)
def repair(reasoner: Thinker, view: OneJob, given: RepairIn) -> dict[str, Any]:
    """Say what was repaired; its proof begins."""
    _digest(view)
    closing.repair(reasoner.store, view.number, given.unit, given.words, given.uid)
    return _end(reasoner, view)


@router.post("/jobs/{number}/proof")
def proof(reasoner: Thinker, view: OneJob, given: ProofIn) -> dict[str, Any]:
    """Say what checks of the proof showed."""
    lines = [f"{name}={value}" for name, value in given.answers.items()]
    with reasoner.alone(_digest(view)):
        closing.answer(reasoner.store, view.number, lines, given.uid)
    return _end(reasoner, view)


@router.post("/jobs/{number}/closing")
def close(reasoner: Thinker, view: OneJob, given: ClosingIn) -> dict[str, Any]:
    """Close the job. Refused while something is to be put back."""
    with reasoner.alone(_digest(view)):
        return to_json(closing.close(reasoner.store, view.number, given.unproven, uid=given.uid))


@router.post("/jobs/{number}/reopening")
def reopen(reasoner: Thinker, view: OneJob, given: ReopeningIn) -> dict[str, Any]:
    """Open a closed job again."""
    with reasoner.alone(_digest(view)):
        told = given.reason, given.comeback, given.uid
        return to_json(closing.reopen(reasoner.store, view.number, *told))


@router.get("/jobs/{number}/similar")
def similar(shop: Shop, view: OneJob) -> dict[str, Any]:
    """Earlier jobs on the same circuit."""
    _digest(view)
    return to_json(similar_jobs(shop, view.number))


@router.get("/jobs/{number}/road")
def road(view: OneJob) -> dict[str, Any]:
    """The marks of its road tests."""
    return {"format": 1, "marks": plain(road_test.marks_of(view.folded))}


@router.post("/jobs/{number}/road", status_code=201)
def mark(shop: Shop, number: Number, given: MarkIn) -> dict[str, Any]:
    """Mark a moment of a road test."""
    told = given.what, given.at, given.conditions, given.words, given.uid
    return {"format": 1, "added": road_test.mark(shop, number, *told)}


@router.get("/figures")
def figures(shop: Shop) -> dict[str, Any]:
    """The months in figures."""
    return to_json(figures_of(shop))
