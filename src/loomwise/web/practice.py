"""Practice: a vehicle with a hidden fault to find, and how it went."""

from typing import Any

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from loomwise.errors import LoomwiseError
from loomwise.usecases import practise
from loomwise.usecases.bench import bench_of_job, places_by_owner, watched, wires
from loomwise.usecases.practice_progress import progress
from loomwise.usecases.practice_words import Asked
from loomwise.usecases.problems import problems_of
from loomwise.usecases.shelf import list_shelf, shelf_circuit
from loomwise.web.deps import Form, OnePractice, Shop, Thinker, go
from loomwise.web.errors import status_of
from loomwise.web.forms import words
from loomwise.web.reason import Reasoner, View
from loomwise.web.show import render

router = APIRouter(prefix="/practice")
TOOLS = (
    ("volts", "Voltmeter"), ("lamp", "Test lamp"), ("ohms", "Ohmmeter"), ("amps", "Clamp"),
    ("look", "Look at it"), ("watch", "Watch, listen, feel"),
)  # fmt: skip


@router.get("")
def show_practices(request: Request, shop: Shop, person: str = "") -> Response:
    """What was practised, and a new one."""
    return _listed(request, shop, person[:60], None)


def _listed(request: Request, shop: Shop, person: str, error: LoomwiseError | None) -> Response:
    problems, status = (problems_of(error), status_of(error)) if error else ((), 200)
    return render(request, "practices.html", status, found=progress(shop, person), person=person,
                  shelf=list_shelf().circuits, difficulties=practise.difficulties(),
                  problems=problems)  # fmt: skip


@router.post("")
def start(request: Request, shop: Shop, reasoner: Thinker, form: Form) -> Response:
    """Hide a fault."""
    person, circuit = words(form, "person")[:60], words(form, "circuit")
    try:
        with reasoner.alone(shelf_circuit(circuit).digest):
            begun = practise.start(shop, circuit, words(form, "difficulty"), None, person)
    except LoomwiseError as error:
        return _listed(request, shop, person, error)
    return go(request, f"/practice/{begun.number}")


@router.get("/{number}")
def show_practice(request: Request, reasoner: Thinker, view: OnePractice) -> Response:
    """A practice as it stands."""
    return _shown(request, reasoner, view, None)


def _shown(
    request: Request, reasoner: Reasoner, view: View, error: LoomwiseError | None
) -> Response:
    found = practise.show(reasoner.store, view.number)
    assert view.job is not None  # a practice begins with its circuit
    problems, status = (problems_of(error), status_of(error)) if error else ((), 200)
    circuit = view.job.circuit
    values: dict[str, Any] = {
        "p": found, "bench": bench_of_job(view.job, view.folded), "watched": watched(circuit),
        "places": places_by_owner(circuit), "wires": wires(circuit),
        "tools": TOOLS, "problems": problems,
    }  # fmt: skip
    return render(request, "practice.html", status, **values)


@router.post("/{number}/ask")
def ask(request: Request, shop: Shop, reasoner: Thinker, view: OnePractice, form: Form) -> Response:
    """One test as the vehicle stands."""
    red, black = words(form, "red"), words(form, "black")
    test = f"{words(form, 'tool')} {red}{f' to {black}' if black else ''}" if red else ""
    return _done(request, shop, reasoner, view, Asked(test), "")


@router.post("/{number}/setup")
def set_up(
    request: Request, shop: Shop, reasoner: Thinker, view: OnePractice, form: Form
) -> Response:
    """Controls, and what is undone or put back."""
    assert view.job is not None
    controls = [(k.removeprefix("control-"), v) for k, v in form.multi_items()
                if k.startswith("control-") and isinstance(v, str)]  # fmt: skip
    setup = ", ".join(f"{name}={state}" for name, state in controls) or "rest"
    asked = Asked("", setup, tuple(filter(None, [words(form, "undo")])), tuple(
        v for v in form.getlist("back") if isinstance(v, str)))  # fmt: skip
    return _done(request, shop, reasoner, view, asked, "")


@router.post("/{number}/decision")
def decide(
    request: Request, shop: Shop, reasoner: Thinker, view: OnePractice, form: Form
) -> Response:
    """Name the unit: the practice ends."""
    return _done(request, shop, reasoner, view, None, words(form, "unit"))


def _done(
    request: Request, shop: Shop, reasoner: Reasoner, view: View, asked: Asked | None, unit: str
) -> Response:
    assert view.job is not None
    try:
        with reasoner.alone(view.job.circuit.digest):
            if asked is None:
                practise.decide(shop, view.number, unit)
            else:
                practise.ask(shop, view.number, asked)
    except LoomwiseError as error:
        return _shown(request, reasoner, view, error)
    return go(request, f"/practice/{view.number}")
