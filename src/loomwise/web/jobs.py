"""The list of jobs, and a new one."""

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import Response

from loomwise.errors import InputError
from loomwise.usecases.bench import instruments
from loomwise.usecases.problems import problems_of
from loomwise.usecases.stored import change_intake, new_job, remove
from loomwise.web.deps import Form, Number, OneJob, Shop, go
from loomwise.web.forms import intake_in, uid_of
from loomwise.web.reason import View
from loomwise.web.show import render

router = APIRouter()


@router.get("/")
def list_jobs(request: Request, shop: Shop, find: str = "", removed: bool = False) -> Response:
    """Jobs, last changed first."""
    found = shop.jobs(find[:200], removed)
    return render(request, "jobs.html", jobs=found, find=find[:200], removed=removed)


@router.get("/new")
def ask_new(request: Request) -> Response:
    """The form for a new job."""
    return _asked(request, {}, (), "/new", "New job")


@router.post("/new")
def make_new(request: Request, shop: Shop, form: Form) -> Response:
    """Open a job, then choose its circuit."""
    intake = intake_in(form)
    try:
        number = new_job(shop, intake, uid_of(form))
    except InputError as error:
        return _asked(request, intake, problems_of(error), "/new", "New job", 422)
    return go(request, f"/jobs/{number}/circuit")


@router.get("/jobs/{number}/intake")
def ask_again(request: Request, view: OneJob) -> Response:
    """The form of a job, to say something else."""
    address = f"/jobs/{view.number}/intake"
    return _asked(request, view.folded.intake, (), address, _title(view))


@router.post("/jobs/{number}/intake")
def say_again(request: Request, shop: Shop, view: OneJob, form: Form) -> Response:
    """Change what was said at the counter; what was said stays in the record."""
    said = {key: None for key in view.folded.intake}
    intake = {k: v if v is not None else "" for k, v in (said | intake_in(form)).items()}
    address = f"/jobs/{view.number}/intake"
    try:
        change_intake(shop, view.number, intake, uid_of(form))
    except InputError as error:
        return _asked(request, intake, problems_of(error), address, _title(view), 422)
    return go(request, f"/jobs/{view.number}")


@router.post("/jobs/{number}/remove")
def take_off(request: Request, shop: Shop, number: Number, form: Form) -> Response:
    """Take a job off the list."""
    remove(shop, number, uid=uid_of(form))
    return go(request, "/")


@router.post("/jobs/{number}/return")
def put_back_on(request: Request, shop: Shop, number: Number, form: Form) -> Response:
    """Put a job back on the list."""
    remove(shop, number, back=True, uid=uid_of(form))
    return go(request, f"/jobs/{number}")


def _title(view: View) -> str:
    return f"Job {view.number}: complaint and vehicle"


def _asked(
    request: Request, intake: object, problems: object, address: str, title: str, status: int = 200
) -> Response:
    return render(request, "intake.html", status, intake=intake, problems=problems,
                  instruments=instruments(), address=address, title=title)  # fmt: skip
