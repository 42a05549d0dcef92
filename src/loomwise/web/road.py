"""The road-test recorder: one large button marks the moment, with what holds then."""

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from loomwise.usecases import road_test
from loomwise.web.deps import Form, Number, OneJob, Shop, Thinker, by_script, go
from loomwise.web.forms import uid_of, words
from loomwise.web.show import piece, render

router = APIRouter(prefix="/jobs/{number}/road")
FIELD = "condition"


@router.get("")
def show_road(request: Request, view: OneJob) -> Response:
    """The recorder, with the marks made so far."""
    marks = road_test.marks_of(view.folded)
    latest = next((m.conditions for m in reversed(marks)), ())
    return render(request, "road.html", view=view, marks=marks, latest=latest,
                  groups=road_test.CONDITIONS, others=road_test.OTHERS)  # fmt: skip


@router.post("")
def take_mark(
    request: Request, shop: Shop, reasoner: Thinker, number: Number, form: Form
) -> Response:
    """A mark. The page's script sends when it was made, and wants the marks in return."""
    held = [v for k, v in form.multi_items() if k.startswith(FIELD) and isinstance(v, str)]
    what, at, said = words(form, "what"), words(form, "at"), words(form, "words")
    road_test.mark(shop, number, what, at, held, said, uid_of(form))
    if by_script(request):
        view = reasoner.view(number)
        return HTMLResponse(piece("_marks.html", view=view, marks=road_test.marks_of(view.folded)))
    return go(request, f"/jobs/{number}/road")


@router.post("/{mark}")
def change_mark(request: Request, shop: Shop, number: Number, mark: str, form: Form) -> Response:
    """A mark taken back, counted again, or taken as the condition on the bench."""
    what = words(form, "what")
    if what == "bench":
        road_test.to_bench(shop, number, mark, uid_of(form))
        return go(request, f"/jobs/{number}")
    road_test.take_back(shop, number, mark, what == "again", uid_of(form))
    return go(request, f"/jobs/{number}/road")
