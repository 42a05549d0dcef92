"""Choosing a job's circuit, and how it works."""

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from loomwise.circuit.document import MAX_BYTES
from loomwise.errors import FileError, LoomwiseError, Problem
from loomwise.usecases.problems import problems_of
from loomwise.usecases.shelf import list_shelf
from loomwise.usecases.stored import choose_circuit, without_circuit
from loomwise.web.deps import Form, OneJob, Shop, Thinker, by_script, go
from loomwise.web.forms import file_in, uid_of, words
from loomwise.web.reason import View
from loomwise.web.show import render

router = APIRouter()


@router.get("/jobs/{number}/circuit")
def ask_circuit(request: Request, view: OneJob) -> Response:
    """The shelf, and a place to send a file."""
    return _asked(request, view, ())


@router.post("/jobs/{number}/circuit")
def take_circuit(request: Request, shop: Shop, view: OneJob, form: Form) -> Response:
    """Give the job its circuit."""
    try:
        name, text = _sent(form)
        choose_circuit(shop, view.number, name, text, uid_of(form))
    except LoomwiseError as error:
        return _asked(request, view, problems_of(error), 422)
    return go(request, f"/jobs/{view.number}")


def _sent(form: Form) -> tuple[str, str]:
    """A name on the shelf, or the file that was sent."""
    sent = file_in(form, "file", MAX_BYTES)
    if sent is None:
        return words(form, "shelf"), ""
    name, data = sent
    if len(data) > MAX_BYTES:
        raise FileError([Problem(name, 0, "the file is too large", "is it the right file?")])
    try:
        return name, data.decode("utf-8-sig")
    except UnicodeDecodeError:
        hint = "send the circuit file (YAML), saved with the encoding UTF-8"
        raise FileError([Problem(name, 0, "the file is not UTF-8 text", hint)]) from None


@router.get("/jobs/{number}/how")
def show_how(request: Request, reasoner: Thinker, view: OneJob, wait: bool = False) -> Response:
    """How the circuit works, in words; worked out once for a circuit."""
    if view.job is None:
        return RedirectResponse(f"/jobs/{view.number}/circuit", 303)
    asked_by_page = by_script(request)
    how = reasoner.how(view.job) if wait or asked_by_page else None
    name = "_how.html" if asked_by_page else "how.html"
    return render(request, name, view=view, job=view.job, how=how)


@router.get("/jobs/{number}/drawing")
def show_drawing(
    reasoner: Thinker, view: OneJob, look: str = "insulation", load: str = ""
) -> Response:
    """The drawing as the vehicle stands."""
    if view.job is None:
        raise without_circuit(view.number)
    return Response(reasoner.drawing(view, look[:20], load[:60]), media_type="image/svg+xml")


def _asked(request: Request, view: View, problems: object, status: int = 200) -> Response:
    return render(request, "circuit.html", status, view=view, problems=problems,
                  shelf=list_shelf().circuits)  # fmt: skip
