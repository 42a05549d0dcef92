"""What is for paper: the workshop's own heading, and the report of a job to take away."""

from typing import Any

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from loomwise.errors import LoomwiseError, NotFoundError
from loomwise.store import Store
from loomwise.usecases import heading
from loomwise.usecases.problems import problems_of
from loomwise.usecases.report import Wanted, stored_report
from loomwise.web.deps import Form, OneJob, Shop, Thinker, go
from loomwise.web.errors import status_of
from loomwise.web.forms import file_in, words
from loomwise.web.show import render

router = APIRouter()
TYPES = {"pdf": "application/pdf", "html": "text/html; charset=utf-8"}
LINES = ("lines", "sign")


@router.get("/heading")
def show_heading(request: Request, shop: Shop, kept: bool = False) -> Response:
    """The heading as it is kept."""
    return _shown(request, shop, heading.told_in(shop), None, kept)


def _shown(
    request: Request, shop: Store, told: dict[str, Any], error: LoomwiseError | None, kept: bool
) -> Response:
    problems, status = (problems_of(error), status_of(error)) if error else ((), 200)
    return render(request, "heading.html", status, told=told, problems=problems, kept=kept,
                  now=heading.told_in(shop))  # fmt: skip


@router.post("/heading")
def keep_heading(request: Request, shop: Shop, form: Form) -> Response:
    """Another heading; what was wrong stays in the form."""
    told: dict[str, Any] = {k: words(form, k) for k in heading.KEYS if k not in ("logo", *LINES)}
    told |= {k: [x.strip() for x in words(form, k).splitlines() if x.strip()] for k in LINES}
    try:
        sent = file_in(form, "logo", heading.LOGO_BYTES)
        gone = b"" if words(form, "no-logo") else None
        heading.keep_shop(shop, told, sent[1] if sent and sent[1] else gone)
    except LoomwiseError as error:
        return _shown(request, shop, told, error, False)
    return go(request, "/heading?kept=true")


@router.get("/heading/logo")
def show_logo(shop: Shop) -> Response:
    """The logo of the heading."""
    kept = heading.shop_in(shop)
    if kept is None or kept.heading is None or not kept.heading.logo:
        raise NotFoundError("there is no logo", "heading", "send one")
    return Response(kept.heading.logo, media_type="image/png")


@router.get("/jobs/{number}/report.{kind}")
def take_report(
    request: Request, reasoner: Thinker, view: OneJob, kind: str, paper: str = "A4",
    prices: bool = False, sign: bool = False, grey: bool = False,
) -> Response:  # fmt: skip
    """The report of a job, to keep or to print."""
    if view.job is None:
        return RedirectResponse(f"/jobs/{view.number}/circuit", 303)
    if kind not in TYPES:
        raise NotFoundError("there is no such report", kind[:20], "ask for pdf or html")
    put_in = Wanted(prices, sign, grey)
    with reasoner.alone(view.job.circuit.digest):
        made = stored_report(reasoner.store, view.number, f".{kind}", paper[:20], put_in)
    name = f'attachment; filename="job-{view.number}.{kind}"'
    return Response(made, media_type=TYPES[kind], headers={"content-disposition": name})
