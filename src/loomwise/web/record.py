"""The decision, and the record of a job: every entry, notes and photographs."""

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from loomwise.errors import InputError
from loomwise.job.log import LogEntry
from loomwise.store.photo import MAX_BYTES
from loomwise.usecases import stored
from loomwise.usecases.road_test import MARKS
from loomwise.web.bench import done, worked_out
from loomwise.web.deps import Form, Number, OneJob, Shop, Thinker, go
from loomwise.web.forms import file_in, uid_of, words
from loomwise.web.show import render

router = APIRouter(prefix="/jobs/{number}")


@router.get("/decision")
def show_decision(request: Request, reasoner: Thinker, view: OneJob) -> Response:
    """Where the job stands, what speaks for it, and what to repair."""
    if view.job is None:
        return RedirectResponse(f"/jobs/{view.number}/circuit", 303)
    values = worked_out(reasoner, view, reasoner.advice)
    if values["nothing_seen"]:
        return RedirectResponse(f"/jobs/{view.number}?wait=1", 303)
    unit = values["view"].folded.decision.get("unit")
    repair = reasoner.repair(view.job, unit) if view.job and unit else None
    return render(request, "decision.html", **values, repair=repair)


@router.post("/decision")
def decide(request: Request, shop: Shop, number: Number, form: Form) -> Response:
    """Decide on a repair, or take the decision back."""
    stored.decide_on(shop, number, words(form, "unit"), words(form, "words"), uid_of(form))
    return go(request, f"/jobs/{number}/decision")


@router.get("/record")
def show_record(request: Request, shop: Shop, view: OneJob) -> Response:
    """Every entry, newest first."""
    entries = [(e.at, told(e)) for e in reversed(stored.record_of(shop, view.number))]
    return render(request, "record.html", view=view, entries=entries, job=view.job)


@router.post("/notes")
def take_note(request: Request, shop: Shop, number: Number, form: Form) -> Response:
    """A note."""
    stored.note(shop, number, words(form, "words"), uid_of(form))
    return go(request, f"/jobs/{number}/record")


@router.post("/photos")
def take_photo(
    request: Request, shop: Shop, reasoner: Thinker, number: Number, form: Form
) -> Response:
    """A photograph, from the bench or the record; only the picture itself is kept of it."""
    sent = file_in(form, "photo", MAX_BYTES)
    if sent is None or not sent[1]:
        raise InputError("there is no photograph", f"job {number}", "choose one, then send it")
    data = sent[1]
    stored.take_photo(shop, number, data, words(form, "caption"), uid_of(form))
    if words(form, "from") == "bench":
        return done(request, reasoner, number, "The photograph is kept.")
    return go(request, f"/jobs/{number}/record")


@router.get("/photos/{digest}")
def show_photo(shop: Shop, number: Number, digest: str) -> Response:
    """A photograph of the store."""
    return Response(shop.photo(digest).data, media_type="image/jpeg")


def told(entry: LogEntry) -> str:
    """An entry of the record in words."""
    body = entry.body
    match entry.kind:
        case "intake":
            return "At the counter: " + "; ".join(
                f"{_plain(k)} {_text(v)}" for k, v in body.items()
            )
        case "circuit":
            return f"Circuit: {body.get('title') or body.get('name')}"
        case "standing":
            return f"The vehicle stands: {_standing(entry)}"
        case "sign":
            return f"{body.get('id')}: {body.get('what')} {body.get('seen')}"
        case "reading":
            tips = " to ".join(str(body[k]) for k in ("red", "black") if body.get(k))
            with_what = body.get("instrument", "voltmeter")
            return f"{body.get('id')}: {with_what}, {tips}: {body.get('value')}"
        case "decision":
            return f"Decided: repair {body['unit']}" if body.get("unit") else "Decision taken back"
        case "repair":
            return f"Repaired: {body.get('unit')}. {body.get('words') or ''}".rstrip()
        case "proof":
            shown = "; ".join(f"{k.replace('|', ', ')}: {v}" for k, v in body["answers"].items())
            return f"The proof showed: {shown}"
        case "close":
            why = f": {body['reason']}" if body.get("reason") else ""
            return f"Closed as {body['as']}{why}"
        case "reopen":
            came = "It came back" if body.get("comeback") else "Opened again"
            return f"{came}: {body.get('reason')}"
        case "mark":
            held = "".join(f", {c}" for c in body.get("conditions") or ())
            said = f". {body['words']}" if body.get("words") else ""
            what = MARKS.get(str(body["what"]), body["what"])
            return f"Road test, {str(body['at'])[11:19]}: {what}{held}{said}"
        case "other":
            titles = [str(body["title"])] if body.get("title") else []
            return f"Another drawing of it: {'; '.join([*titles, *body.get('differs', ())])}"
        case "move":
            gone = body.get("spot") is None
            return f"Drawing: {body.get('part')} {'back where it is laid out' if gone else 'moved'}"
        case "live":
            return f"Record of live data: {body.get('name')}"
        case "cannot":
            return (
                f"{body.get('name')} {'can be used again' if body.get('can') else 'cannot be used'}"
            )
    more = body.get("words") or body.get("caption") or body.get("reason") or ""
    return f"{_KIND_WORDS.get(entry.kind, entry.kind)}{': ' if more else ''}{more}"


_KIND_WORDS = {
    "note": "Note", "photo": "Photograph", "withdraw": "An entry was withdrawn",
    "reinstate": "An entry counts again", "remove": "Taken off the list",
    "return": "Put back on the list",
}  # fmt: skip


def _plain(key: str) -> str:
    return key.replace("_km", "").replace("_minutes", "").replace("_", " ")


def _text(value: object) -> str:
    if isinstance(value, float):
        return f"{value:g}" if abs(value) < 1e5 else f"{value:.0f}"
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)


def _standing(entry: LogEntry) -> str:
    body = entry.body
    words_ = [f"{c} {s}" for c, s in (body.get("setup") or {}).items()]
    words_ += [str(u) for u in body.get("undone") or ()]
    if body.get("complaint", "unknown") != "unknown":
        words_.append(f"complaint {body['complaint']}")
    if body.get("condition"):
        words_.append(f"when {body['condition']}")
    return ", ".join(words_) or "at rest"
