"""The end of a job: what was repaired, its proof ticked off with values, closing, opening again."""

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from loomwise.errors import LoomwiseError
from loomwise.usecases import closing
from loomwise.usecases.figures import figures_of, plots_of
from loomwise.usecases.items import UNITS
from loomwise.usecases.problems import problems_of
from loomwise.usecases.similar import similar_jobs
from loomwise.web.deps import Form, OneJob, Shop, Thinker, go
from loomwise.web.errors import status_of
from loomwise.web.forms import uid_of, words
from loomwise.web.reason import Reasoner, View
from loomwise.web.show import render

router = APIRouter()


@router.get("/jobs/{number}/end")
def show_end(request: Request, shop: Shop, reasoner: Thinker, view: OneJob) -> Response:
    """What stands between the job and its closing."""
    return _shown(request, reasoner, view, None)


def _shown(
    request: Request, reasoner: Reasoner, view: View, error: LoomwiseError | None
) -> Response:
    if view.job is None:
        return RedirectResponse(f"/jobs/{view.number}/circuit", 303)
    with reasoner.alone(view.job.circuit.digest):
        end = closing.end_of(reasoner.store, view.number)
    problems = problems_of(error) if error else ()
    status = status_of(error) if error else 200
    return render(request, "end.html", status, view=view, job=view.job, end=end,
                  problems=problems, units=UNITS)  # fmt: skip


@router.post("/jobs/{number}/end")
def take_end(request: Request, shop: Shop, reasoner: Thinker, view: OneJob, form: Form) -> Response:
    """A repair, answers to the proof, the closing, or opening again: as the form says."""
    if view.job is None:
        return RedirectResponse(f"/jobs/{view.number}/circuit", 303)
    try:
        with reasoner.alone(view.job.circuit.digest):
            _take(shop, view, form)
    except LoomwiseError as error:
        return _shown(request, reasoner, reasoner.view(view.number), error)
    return go(request, f"/jobs/{view.number}/end")


def _take(shop: Shop, view: View, form: Form) -> None:
    number, uid, said = view.number, uid_of(form), words(form, "words")
    match words(form, "what"):
        case "repair":
            closing.repair(shop, number, words(form, "unit"), said, uid)
        case "proof":
            closing.answer(shop, number, _answers(form), uid)
        case "close":
            closing.close(shop, number, uid=uid)
        case "unproven":
            closing.close(shop, number, said or " ", uid=uid)
        case "reopen":
            back = words(form, "comeback") == "yes"
            closing.reopen(shop, number, said, back, uid)


def _answers(form: Form) -> list[str]:
    """The checks that were filled in; a bare number has the unit of its field."""
    found = []
    for name, value in form.multi_items():
        if name.startswith("check-") and isinstance(value, str) and value.strip():
            check = name.removeprefix("check-")
            found.append(f"{check}={value.strip()}")
    return found


@router.get("/jobs/{number}/similar")
def show_similar(request: Request, shop: Shop, view: OneJob) -> Response:
    """Earlier jobs on the same circuit."""
    if view.job is None:
        return RedirectResponse(f"/jobs/{view.number}/circuit", 303)
    found = similar_jobs(shop, view.number)
    return render(request, "similar.html", view=view, job=view.job, found=found)


@router.get("/figures")
def show_figures(request: Request, shop: Shop) -> Response:
    """The months in figures."""
    return render(request, "figures.html", months=figures_of(shop).months)


@router.get("/figures.svg")
def draw_figures(shop: Shop) -> Response:
    """The same as plots."""
    return Response(plots_of(figures_of(shop)), media_type="image/svg+xml")
