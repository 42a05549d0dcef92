"""Records of live data from elsewhere: sent, matched, shown, and entered as signs."""

from typing import Any

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from loomwise.errors import InputError, LoomwiseError
from loomwise.usecases import record_file as records
from loomwise.usecases.bench import setup_text
from loomwise.usecases.problems import problems_of
from loomwise.usecases.record_match import Asked, Match, pins_of, remembered
from loomwise.web.deps import Form, OneJob, Shop, go
from loomwise.web.errors import status_of
from loomwise.web.forms import file_in, is_number, uid_of, words
from loomwise.web.reason import View
from loomwise.web.show import render

router = APIRouter(prefix="/jobs/{number}/live")
OUT, BELOW, ELSE = "-", "below ", "else"


@router.get("")
def show_records(request: Request, view: OneJob) -> Response:
    """The records kept with a job, and a place to send another."""
    return _listed(request, view, None)


def _listed(request: Request, view: View, error: LoomwiseError | None) -> Response:
    if view.job is None:
        return RedirectResponse(f"/jobs/{view.number}/circuit", 303)
    problems, status = (problems_of(error), status_of(error)) if error else ((), 200)
    return render(request, "live.html", status, view=view, job=view.job, problems=problems,
                  pins=pins_of(view.job.circuit))  # fmt: skip


@router.post("")
def take_record(request: Request, shop: Shop, view: OneJob, form: Form) -> Response:
    """Keep a record as it was sent."""
    try:
        sent = file_in(form, "file", records.MAX_BYTES)
        if sent is None:
            hint = "choose the CSV file, then send it"
            raise InputError("there is no file", f"job {view.number}", hint)
        digest = records.keep_live(shop, view.number, *sent, uid_of(form))
    except LoomwiseError as error:
        return _listed(request, view, error)
    return go(request, f"/jobs/{view.number}/live/{digest}")


@router.get("/{digest}")
def show_one(
    request: Request, shop: Shop, view: OneJob, digest: str, at: str = "", entered: str = ""
) -> Response:
    """What a record holds, and what of it would be entered."""
    return _shown(request, shop, view, digest, at[:20], entered[:200], None)


def _shown(
    request: Request, shop: Shop, view: View, digest: str, at: str, entered: str,
    error: LoomwiseError | None,
) -> Response:  # fmt: skip
    if view.job is None:
        return RedirectResponse(f"/jobs/{view.number}/circuit", 303)
    name, text = records.live_of(shop, view.number, digest)
    found = None
    try:
        asked = Asked(at_s=_seconds(at), look=True)
        found = records.read_live(shop, view.number, name, text, asked)
    except LoomwiseError as wrong:
        error = error or wrong
    problems, status = (problems_of(error), status_of(error)) if error else ((), 200)
    match = remembered(shop, view.job.circuit)
    values: dict[str, Any] = {
        "file": name, "found": found, "heads": records.columns_of(text, name), "digest": digest,
        "match": match, "meanings": _meanings_of(found, match) if found else {},
        "pins": pins_of(view.job.circuit),
        "here": setup_text(view.job), "at": at, "entered": entered, "problems": problems,
        "out": OUT,
    }  # fmt: skip
    return render(request, "live_record.html", status, view=view, job=view.job, **values)


def _meanings_of(found: records.RecordRead, match: Match) -> dict[str, dict[str, Any]]:
    """For names with values that are no words of theirs: single values with what they mean, and
    for numbers the limits by their word."""
    shown: dict[str, dict[str, Any]] = {}
    for n in found.names:
        told = match.values.get(n.name, {})
        if not n.what or not (n.unread or told):
            continue
        limits = {w: v.removeprefix(BELOW) for v, w in told.items() if v.startswith(BELOW)}
        single = {v: w for v, w in told.items() if not v.startswith(BELOW) and v != ELSE}
        numbers = [v for v in n.unread if is_number(v.replace(",", "."))]
        single |= {v: "" for v in n.unread if v not in numbers}
        shown[n.name] = {"limits": limits, "single": single, "above": told.get(ELSE, ""),
                         "numbers": bool(numbers or limits)}  # fmt: skip
    return shown


@router.post("/{digest}")
def use_record(request: Request, shop: Shop, view: OneJob, digest: str, form: Form) -> Response:
    """Remember what columns mean; enter the signs if that is asked for."""
    at, entered = words(form, "at"), ""
    try:
        asked = asked_in(form)
        records.match_live(shop, view.number, asked)
        if words(form, "what") == "enter":
            name, text = records.live_of(shop, view.number, digest)
            found = records.read_live(shop, view.number, name, text, asked)
            entered = ",".join(records.names_entered(found.names)) or "none"
    except LoomwiseError as error:
        return _shown(request, shop, view, digest, at, "", error)
    query = f"at={at}&entered={entered}"
    return go(request, f"/jobs/{view.number}/live/{digest}?{query}")


def asked_in(form: Form) -> Asked:
    """What the form says of the columns: what each is, and what its values mean."""
    names, values = dict[str, str](), dict[str, dict[str, str]]()
    for field, name in form.multi_items():
        kind, _, k = field.partition("-")
        if kind != "name" or not isinstance(name, str):
            continue
        what = words(form, f"is-{k}")
        if what:
            names[name] = "" if what == OUT else what
        if f"all-{k}" in form:
            values[name] = _meanings(form, k)
    at_s = _seconds(words(form, "at"))
    return Asked(words(form, "time"), names, values, at_s, whole=True, uid=uid_of(form))


def _meanings(form: Form, k: str) -> dict[str, str]:
    """The words of single values, and of numbers below limits."""
    told: dict[str, str] = {}
    for field, value in form.multi_items():
        kind, _, rest = field.partition("-")
        column, _, word = rest.partition("-")
        if column != k or not isinstance(value, str) or not value.strip():
            continue
        if kind == "below":
            told[f"{BELOW}{value.strip()}"] = word
        elif kind == ELSE:
            told[ELSE] = value
        elif kind == "means":
            told[words(form, f"value-{k}-{word}")] = value
    return told


def _seconds(text: str) -> float | None:
    if not text:
        return None
    try:
        return min(max(float(text.replace(",", ".")), 0.0), 1e9)
    except ValueError:
        hint = "write seconds from the start of the record, such as 12.5"
        raise InputError(f"'{text[:20]}' is no moment", "moment", hint) from None
