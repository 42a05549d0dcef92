"""The application: pages and JSON over one store."""

from collections.abc import Sequence

from fastapi import Depends, FastAPI
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.staticfiles import StaticFiles

from loomwise import __version__
from loomwise.errors import LoomwiseError
from loomwise.store import Store
from loomwise.usecases.problems import ProblemShown, ProblemsShown
from loomwise.usecases.shape import to_json
from loomwise.web import (
    api,
    arrange,
    bench,
    circuits,
    closing,
    jobs,
    live,
    paper,
    practice,
    record,
    road,
    tools,
)
from loomwise.web.deps import no_practice
from loomwise.web.errors import on_error, on_fault, on_http
from loomwise.web.guard import LOCAL, Guard
from loomwise.web.reason import Reasoner
from loomwise.web.show import HERE

TITLE = "Loomwise"


def make_app(store: Store, hosts: Sequence[str] = LOCAL) -> FastAPI:
    """The application over a store, answering to these host names."""
    app = FastAPI(title=TITLE, version=__version__, docs_url=None, redoc_url=None,
                  openapi_url="/api/openapi.json", description=api.ABOUT)  # fmt: skip
    app.state.reasoner = Reasoner(store)
    app.add_exception_handler(LoomwiseError, on_error)
    app.add_exception_handler(HTTPException, on_http)
    app.add_exception_handler(RequestValidationError, _on_bad_request)
    app.add_exception_handler(Exception, on_fault)
    app.mount("/static", StaticFiles(directory=HERE / "static"), name="static")
    jobs_only = [Depends(no_practice)]
    app.include_router(api.router, dependencies=jobs_only)
    for pages in (
        *(jobs, circuits, arrange, bench, record, live, road, closing, paper, practice, tools),
    ):
        app.include_router(pages.router, dependencies=jobs_only, include_in_schema=False)
    app.add_middleware(Guard, hosts=hosts)
    return app


async def _on_bad_request(request: Request, error: Exception) -> Response:
    """JSON that is not what the documented shape asks for."""
    assert isinstance(error, RequestValidationError)
    found = []
    for detail in error.errors():
        where = ".".join(str(step) for step in detail["loc"][1:]) or "body"
        text = f"{where}: {detail['msg']}"
        found.append(ProblemShown(where, 0, detail["msg"], "see /api/openapi.json", text))
    return JSONResponse(to_json(ProblemsShown("InputError", tuple(found))), 422)
