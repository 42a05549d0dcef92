"""What the routes ask for, and the answer to a form."""

from typing import Annotated, Any

from fastapi import Depends, Path
from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from loomwise.errors import NotFoundError
from loomwise.store import Store
from loomwise.usecases import practise
from loomwise.web.reason import Reasoner, View

HIGHEST, MOST_FIELDS = 2**53, 4000
Number = Annotated[int, Path(ge=1, le=HIGHEST, description="the number of a job")]


def reasoner_of(request: Request) -> Reasoner:
    """The one reasoner of the application."""
    found: Reasoner = request.app.state.reasoner
    return found


Thinker = Annotated[Reasoner, Depends(reasoner_of)]


def store_of(reasoner: Thinker) -> Store:
    """The store the application is over."""
    return reasoner.store


Shop = Annotated[Store, Depends(store_of)]


def view_of(reasoner: Thinker, number: Number) -> View:
    """The job that the address names."""
    return reasoner.view(number)


OneJob = Annotated[View, Depends(view_of)]


def practice_of(reasoner: Thinker, number: Number) -> View:
    """The practice that the address names, not a job."""
    practise.show(reasoner.store, number)
    return reasoner.view(number)


OnePractice = Annotated[View, Depends(practice_of)]


def no_practice(request: Request, reasoner: Thinker) -> None:
    """Refuse the number of a practice where a job is meant: its pages would give the fault away.

    Raises
    ------
    HTTPException : the way to the practice, for a page.
    NotFoundError : for anything else.
    """
    number = str(request.path_params.get("number", ""))
    own = request.url.path.startswith(("/jobs/", "/api/jobs/"))
    if not own or not number.isdigit() or int(number) > HIGHEST:
        return
    if not reasoner.view(int(number)).folded.practice:
        return
    if request.method == "GET" and request.url.path.startswith("/jobs/"):
        raise HTTPException(303, "this is a practice", {"Location": f"/practice/{number}"})
    hint = f"its address is /practice/{number}"
    raise NotFoundError(f"{number} is a practice and no job", "job", hint)


async def form_of(request: Request) -> FormData:
    """The form, its files still open."""
    return await request.form(max_files=4, max_fields=MOST_FIELDS)


Form = Annotated[FormData, Depends(form_of)]


def by_script(request: Request) -> bool:
    """Whether the page's script asks, for a piece rather than a page."""
    return request.headers.get("hx-request") == "true"


def go(request: Request, address: str) -> Response:
    """On to another page, however it was asked."""
    if by_script(request):
        return Response(headers={"HX-Redirect": address})
    return RedirectResponse(address, 303)


def intake_values(view: View | None) -> dict[str, Any]:
    """What the form at the counter shows."""
    return dict(view.folded.intake) if view else {}
