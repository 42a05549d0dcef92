"""One place turns errors into words: as a page, as a piece of a page, or as JSON of one shape."""

import logging

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from loomwise.errors import InputError, LoomwiseError, NotFoundError, SolveError, StoreError
from loomwise.usecases.problems import ProblemShown, ProblemsShown, problems_of
from loomwise.usecases.shape import to_json
from loomwise.web.show import render

log = logging.getLogger("loomwise")


def status_of(error: LoomwiseError) -> int:
    """The HTTP status an error asks for."""
    if isinstance(error, NotFoundError):
        return 404
    if isinstance(error, InputError):
        return 422
    if isinstance(error, StoreError):
        return 507
    return 409 if isinstance(error, SolveError) else 500


async def on_error(request: Request, error: Exception) -> Response:
    """An error of ours that says what, where and what next."""
    assert isinstance(error, LoomwiseError)
    return _answer(request, type(error).__name__, problems_of(error), status_of(error))


async def on_http(request: Request, error: Exception) -> Response:
    """A page that is not there, a method that is not meant."""
    assert isinstance(error, HTTPException)
    words = {404: "there is no such page", 405: "this cannot be done here"}
    what = words.get(error.status_code, str(error.detail).lower())
    problem = ProblemShown(request.url.path[:80], 0, what, "go back to the jobs", what)
    answer = _answer(request, "NotFoundError", (problem,), error.status_code)
    answer.headers.update(error.headers or {})
    return answer


async def on_fault(request: Request, error: Exception) -> Response:
    """A fault of ours: what was entered before is stored; the log says where it happened."""
    log.error("fault at %s", request.url.path, exc_info=error)
    hint = "what was entered before is stored; try again, and report it with what you did"
    problem = ProblemShown("program", 0, "a fault in the program itself", hint, hint)
    return _answer(request, "Fault", (problem,), 500)


def _answer(
    request: Request, kind: str, problems: tuple[ProblemShown, ...], status: int
) -> Response:
    if request.url.path.startswith("/api/"):
        return JSONResponse(to_json(ProblemsShown(kind, problems)), status)
    piece = request.headers.get("hx-request") == "true"
    name = "_problems.html" if piece else "error.html"
    back = request.headers.get("referer") or "/"
    return render(request, name, status, problems=problems, back=back)
