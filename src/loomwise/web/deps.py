"""What the routes ask for, and the answer to a form."""

from typing import Annotated, Any

from fastapi import Depends, Path
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from loomwise.store import Store
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
