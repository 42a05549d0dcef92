"""Practice as JSON: hide a fault, ask, decide, and see how it goes by person."""

from typing import Annotated, Any

from fastapi import APIRouter, Query
from pydantic import BaseModel, ConfigDict, Field

from loomwise.usecases import practise
from loomwise.usecases.practice_progress import progress
from loomwise.usecases.practice_words import Asked
from loomwise.usecases.shape import to_json
from loomwise.usecases.shelf import shelf_circuit
from loomwise.web import models as m
from loomwise.web.deps import OnePractice, Shop, Thinker
from loomwise.web.reason import View

router = APIRouter(prefix="/practice")
MOST_SEED = 10**9


class _Taken(BaseModel):
    """Base of all: unknown words are errors."""

    model_config = ConfigDict(strict=True, extra="forbid")


class StartIn(_Taken):
    """A circuit of the shelf; the same ``seed`` hides the same fault."""

    circuit: m.Name
    difficulty: m.Short = "easy"
    seed: int | None = Field(None, ge=0, le=MOST_SEED)
    person: m.Short = ""


class QuestionIn(_Taken):
    """One test, and how the vehicle is set up before it."""

    test: m.Short = Field(
        "", description="'volts F1.2', 'lamp F1.2 to G1.1', 'watch M1', 'look F1'"
    )
    setup: m.Long = Field("", description="'key=run, AC=on'; 'rest': all controls at rest")
    undo: list[m.Short] = Field([], max_length=40, description="'F1 out', 'C2 apart'")
    back: list[m.Short] = Field([], max_length=40, description="what is put back; 'all'")


class UnitIn(_Taken):
    """The unit to repair: the practice ends with it."""

    unit: m.Name


@router.get("")
def practices(shop: Shop, person: Annotated[str, Query(max_length=60)] = "") -> dict[str, Any]:
    """What was practised, by one person or by all, and how it goes by person."""
    return to_json(progress(shop, person))


@router.post("", status_code=201)
def start(shop: Shop, reasoner: Thinker, given: StartIn) -> dict[str, Any]:
    """Hide a fault; takes some seconds."""
    with reasoner.alone(shelf_circuit(given.circuit).digest):
        told = given.circuit, given.difficulty, given.seed, given.person
        return to_json(practise.start(shop, *told))


@router.get("/{number}")
def one(shop: Shop, view: OnePractice) -> dict[str, Any]:
    """A practice as it stands; with both paths once it is decided."""
    return to_json(practise.show(shop, view.number))


@router.post("/{number}/question")
def ask(shop: Shop, reasoner: Thinker, view: OnePractice, given: QuestionIn) -> dict[str, Any]:
    """Set the vehicle up, and make one test if one is named."""
    asked = Asked(given.test, given.setup, tuple(given.undo), tuple(given.back))
    with reasoner.alone(_digest(view)):
        return to_json(practise.ask(shop, view.number, asked))


@router.post("/{number}/decision")
def decide(shop: Shop, reasoner: Thinker, view: OnePractice, given: UnitIn) -> dict[str, Any]:
    """Name the unit to repair."""
    with reasoner.alone(_digest(view)):
        return to_json(practise.decide(shop, view.number, given.unit))


def _digest(view: View) -> str:
    assert view.job is not None  # a practice begins with its circuit
    return view.job.circuit.digest
