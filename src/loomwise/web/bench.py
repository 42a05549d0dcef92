"""The bench of a job: how the vehicle stands, what to test next, what was taken, the suspects.

A form of the page's script is answered with the pieces that changed; without the script the whole
page comes again. Suspects and tests are worked out in a request of their own, so that an entry is
acknowledged at once.
"""

from collections.abc import Callable
from typing import Any

from fastapi import APIRouter
from starlette.background import BackgroundTask
from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from loomwise.errors import EvidenceError, InputError
from loomwise.usecases import stored
from loomwise.usecases.bench import bench_of_job, places_by_owner, watched, ways, wires
from loomwise.usecases.job_drawing import loads_of
from loomwise.usecases.problems import problems_of
from loomwise.web.deps import Form, Number, OneJob, Shop, Thinker, by_script
from loomwise.web.forms import item_in, uid_of, words
from loomwise.web.reason import Reasoner, View
from loomwise.web.show import piece, render

router = APIRouter(prefix="/jobs/{number}")
PIECES = ("_setup.html", "_readings.html", "_photos.html", "_poll.html")


def shown(reasoner: Reasoner, view: View) -> dict[str, Any]:
    """What every piece of the bench is made from."""
    assert view.job is not None
    return {
        "view": view, "job": view.job, "bench": bench_of_job(view.job, view.folded),
        "advice": reasoner.ready(view), "watched": watched(view.job.circuit), "ways": ways(),
        "places": places_by_owner(view.job.circuit), "wires": wires(view.job.circuit),
        "loads": loads_of(view.job), "nothing_seen": (),
    }  # fmt: skip


Work = Callable[[int], tuple[View, dict[str, Any]]]


def worked_out(reasoner: Reasoner, view: View, work: Work) -> dict[str, Any]:
    """What the pieces are made from, with the advice as worked out; or, where a large circuit waits
    for a first sign, with what to enter first as ``nothing_seen``."""
    try:
        now, advice = work(view.number)
    except EvidenceError as error:
        if view.job is None or view.job.evidence:
            raise
        return shown(reasoner, view) | {"nothing_seen": problems_of(error)}
    return shown(reasoner, now) | {"advice": advice}


@router.get("")
def show_bench(request: Request, reasoner: Thinker, view: OneJob, wait: bool = False) -> Response:
    """The whole bench; with ``wait`` the advice is worked out first, for a page without scripts."""
    if view.job is None:
        return RedirectResponse(f"/jobs/{view.number}/circuit", 303)
    values = worked_out(reasoner, view, reasoner.advice) if wait else shown(reasoner, view)
    return render(request, "bench.html", **values, entry=None)


@router.get("/suspects")
def show_suspects(reasoner: Thinker, view: OneJob) -> Response:
    """Suspects as of now, and the doubts about single readings."""
    _check_circuit(view)
    values = worked_out(reasoner, view, reasoner.suspects)
    text = piece("_suspects.html", **values) + piece("_readings.html", **values, oob=True)
    return HTMLResponse(text)


@router.get("/tests")
def show_tests(reasoner: Thinker, view: OneJob) -> Response:
    """The next tests as of now. While they are made, their likely answers are thought through."""
    _check_circuit(view)
    text = piece("_tests.html", **worked_out(reasoner, view, reasoner.advice))
    return HTMLResponse(text, background=BackgroundTask(reasoner.think_ahead, view.number))


@router.get("/since")
def show_since(reasoner: Thinker, view: OneJob, seen: int = 0) -> Response:
    """The pieces again if another tablet has entered something, or nothing."""
    if seen >= view.newest or view.job is None:
        return Response(status_code=204)
    return _pieces(reasoner, view.number, "")


@router.get("/place")
def show_place(
    request: Request, reasoner: Thinker, view: OneJob, red: str = "", black: str = "",
    instrument: str = "voltmeter",
) -> Response:  # fmt: skip
    """What to expect at a place as the vehicle stands, and a form to enter what it shows."""
    _check_circuit(view)
    values = shown(reasoner, view)
    try:
        entry = reasoner.expect(view, red[:60], black[:60], instrument[:20])
    except EvidenceError as error:
        if by_script(request) or _check_circuit(view).evidence:
            raise
        values["nothing_seen"] = problems_of(error)
        return render(request, "bench.html", **values, entry=None)
    if by_script(request):
        return HTMLResponse(piece("_entry.html", **values, entry=entry))
    return render(request, "bench.html", **values, entry=entry)


@router.post("/items")
def enter_item(
    request: Request, shop: Shop, reasoner: Thinker, number: Number, form: Form
) -> Response:
    """A sign or reading."""
    kind, fields = item_in(form)
    name = stored.enter(shop, number, kind, fields, uid_of(form))
    return done(request, reasoner, number, f"{name} is entered.")


@router.post("/items/{item}/correct")
def correct_item(
    request: Request, shop: Shop, reasoner: Thinker, number: Number, item: str, form: Form
) -> Response:
    """A sign or reading as it should have been."""
    old = stored.named_item(shop, number, item)
    key = "seen" if old.kind == "sign" else "value"
    changes = {k: words(form, k) for k in ("complaint", "condition") if k in form}
    changes[key] = words(form, "value")
    name = stored.correct(shop, number, item, changes, uid_of(form))
    return done(request, reasoner, number, f"{name} stands in place of {item}.")


@router.post("/items/{item}/withdraw")
def withdraw_item(
    request: Request, shop: Shop, reasoner: Thinker, number: Number, item: str, form: Form
) -> Response:
    """A sign or reading that no longer counts."""
    stored.withdraw(shop, number, item, words(form, "reason"), uid_of(form))
    return done(request, reasoner, number, f"{item} no longer counts.")


@router.post("/items/{item}/reinstate")
def reinstate_item(
    request: Request, shop: Shop, reasoner: Thinker, number: Number, item: str, form: Form
) -> Response:
    """A withdrawn sign or reading that counts again."""
    stored.reinstate(shop, number, item, uid_of(form))
    return done(request, reasoner, number, f"{item} counts again.")


@router.post("/setup")
def change_setup(
    request: Request, shop: Shop, reasoner: Thinker, view: OneJob, form: Form
) -> Response:
    """A control set, something undone or put back, the complaint there or not."""
    changes = setup_changes(view, form)
    stored.stand(shop, view.number, changes, uid_of(form))
    return done(request, reasoner, view.number, "The vehicle stands as shown.")


def setup_changes(view: View, form: FormData) -> dict[str, Any]:
    """What a form of the setup changes. A control that is moved makes unsaid whether the complaint
    is there: that was said of the vehicle as it stood."""
    standing, name = view.folded.standing, words(form, "name")
    undone = list(standing.get("undone") or ())
    match words(form, "what"):
        case "control":
            setup = {**(standing.get("setup") or {}), name: words(form, "state")}
            return {"setup": setup, "complaint": "unknown", "after": []}
        case "undo":
            return {"undone": [*undone, name]}
        case "back" if name in undone:
            return {"undone": [u for u in undone if u != name]}
        case "back":
            return {"opened": [o for o in standing.get("opened") or () if o != name]}
        case "complaint":
            return {"complaint": words(form, "state")}
        case "condition":
            return {"condition": words(form, "condition")[:200]}
    raise InputError("this says nothing of the setup", "setup", "load the page again")


@router.post("/cannot")
def rule_out(
    request: Request, shop: Shop, reasoner: Thinker, number: Number, form: Form
) -> Response:
    """Something that cannot or will not be used, or that can again."""
    name, can = words(form, "name"), bool(words(form, "can"))
    stored.rule_out(shop, number, name, can, uid_of(form))
    said = "may be used again." if can else "is left out; the tests are planned anew."
    return done(request, reasoner, number, f"{name} {said}")


def _check_circuit(view: View) -> Any:
    if view.job is None:
        raise stored.without_circuit(view.number)
    return view.job


def done(request: Request, reasoner: Reasoner, number: int, said: str) -> Response:
    """The answer to a form: the pieces that changed, or the page again."""
    if by_script(request):
        return _pieces(reasoner, number, said)
    return RedirectResponse(f"/jobs/{number}?wait=1", 303)


def _pieces(reasoner: Reasoner, number: int, said: str) -> Response:
    values = shown(reasoner, reasoner.view(number))
    parts = [piece(name, **values, oob=True) for name in PIECES]
    return HTMLResponse(piece("_said.html", said=said) + "".join(parts),
                        headers={"HX-Trigger-After-Settle": "standing-changed"})  # fmt: skip
