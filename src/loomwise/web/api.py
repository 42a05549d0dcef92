"""The same functions as JSON, described under /api/openapi.json."""

from typing import Annotated, Any

from fastapi import APIRouter, Query

from loomwise.job.log import LogEntry
from loomwise.usecases import stored
from loomwise.usecases.bench import bench_of_job
from loomwise.usecases.move import Move
from loomwise.usecases.move_stored import move_symbol, undo_move
from loomwise.usecases.shape import plain, to_json
from loomwise.usecases.shelf import list_shelf
from loomwise.web import end_api, practice_api, tools_api
from loomwise.web import models as m
from loomwise.web.deps import HIGHEST, Number, OneJob, Shop, Thinker
from loomwise.web.reason import View

ABOUT = """Jobs, what was seen and read, suspects and next tests. Numbers end in their unit; a
share is 0 to 1. Bad input is answered with `{format, error, problems}`."""
PROBLEMS: dict[int | str, dict[str, Any]] = {
    status: {"description": what}
    for status, what in (
        (400, "a body that cannot be read"), (404, "no such job or item"),
        (409, "the circuit has no solution"), (413, "too large"), (422, "bad input"),
        (507, "the store cannot be written"),
    )
}  # fmt: skip
router = APIRouter(prefix="/api", responses=PROBLEMS)
for part in (tools_api, end_api, practice_api):
    router.include_router(part.router)
Words = Annotated[str, Query(max_length=200)]
Short = Annotated[str, Query(max_length=60)]


@router.get("/shelf")
def shelf() -> dict[str, Any]:
    """The circuits at hand."""
    return to_json(list_shelf())


@router.get("/jobs")
def jobs(shop: Shop, find: Words = "", removed: bool = False) -> dict[str, Any]:
    """Jobs that hold every word, last changed first."""
    return {"format": 1, "jobs": [_row(row) for row in shop.jobs(find, removed)]}


def _row(row: Any) -> dict[str, Any]:
    times = {k: getattr(row, k).isoformat() for k in ("opened_at", "changed_at")}
    return {**plain(row), **times}


@router.post("/jobs", status_code=201)
def open_job(shop: Shop, intake: m.IntakeIn) -> dict[str, Any]:
    """Open a job."""
    return {"format": 1, "number": stored.new_job(shop, intake.said(), intake.uid)}


@router.get("/jobs/{number}")
def job(view: OneJob) -> dict[str, Any]:
    """A job as it stands: intake, circuit, setup, items, put-back list."""
    bench = None if view.job is None else plain(bench_of_job(view.job, view.folded))
    if bench:
        for item, shown in zip(bench["items"], reversed(view.folded.items), strict=True):
            item["at"] = shown.at.isoformat()
    return {
        "format": 1, "number": view.number, "newest": view.newest, "state": view.folded.state,
        "intake": plain(view.folded.intake), "circuit": plain(view.folded.circuit),
        "decision": plain(view.folded.decision), "bench": bench,
    }  # fmt: skip


@router.get("/jobs/{number}/record")
def record(shop: Shop, number: Number) -> dict[str, Any]:
    """Every entry of the job as it was made."""
    return {"format": 1, "entries": [_entry(e) for e in stored.record_of(shop, number)]}


def _entry(e: LogEntry) -> dict[str, Any]:
    return {"uid": e.uid, "at": e.at.isoformat(), "kind": e.kind, "body": plain(e.body)}


@router.post("/jobs/{number}/circuit")
def circuit(shop: Shop, number: Number, given: m.CircuitIn) -> dict[str, Any]:
    """Give the job its circuit."""
    added = stored.choose_circuit(shop, number, given.name, given.text, given.uid)
    return _added(added)


@router.post("/jobs/{number}/standing")
def standing(shop: Shop, number: Number, given: m.SetupIn) -> dict[str, Any]:
    """Say how the vehicle stands."""
    return _added(stored.stand(shop, number, given.said(), given.uid))


@router.post("/jobs/{number}/signs", status_code=201)
def sign(shop: Shop, number: Number, given: m.SignIn) -> dict[str, Any]:
    """Enter a sign."""
    return _named(stored.enter(shop, number, "sign", given.said(), given.uid))


@router.post("/jobs/{number}/readings", status_code=201)
def reading(shop: Shop, number: Number, given: m.ReadingIn) -> dict[str, Any]:
    """Enter a reading."""
    return _named(stored.enter(shop, number, "reading", given.said(), given.uid))


@router.post("/jobs/{number}/items/{item}/correction", status_code=201)
def correction(shop: Shop, number: Number, item: str, given: m.CorrectionIn) -> dict[str, Any]:
    """Enter an item as it should have been."""
    return _named(stored.correct(shop, number, item, given.said(), given.uid))


@router.post("/jobs/{number}/items/{item}/withdrawal")
def withdrawal(shop: Shop, number: Number, item: str, given: m.ReasonIn) -> dict[str, Any]:
    """Say that an item no longer counts."""
    return _added(stored.withdraw(shop, number, item, given.reason, given.uid))


@router.post("/jobs/{number}/items/{item}/return")
def reinstate(shop: Shop, number: Number, item: str, given: m.Taken) -> dict[str, Any]:
    """Let a withdrawn item count again."""
    return _added(stored.reinstate(shop, number, item, given.uid))


@router.post("/jobs/{number}/cannot")
def cannot(shop: Shop, number: Number, given: m.CannotIn) -> dict[str, Any]:
    """Rule something out as a means of testing, or allow it again."""
    return _added(stored.rule_out(shop, number, given.name, given.can, given.uid))


@router.post("/jobs/{number}/decision")
def decision(shop: Shop, number: Number, given: m.DecisionIn) -> dict[str, Any]:
    """Decide what to repair."""
    return _added(stored.decide_on(shop, number, given.unit, given.words, given.uid))


@router.post("/jobs/{number}/drawing/moves")
def move(shop: Shop, number: Number, given: m.MoveIn) -> dict[str, Any]:
    """Move a symbol on the drawing, or let it be laid out again."""
    spot = None if given.spot is None else (given.spot[0], given.spot[1])
    return _added(move_symbol(shop, number, Move(given.part, spot), given.uid))


@router.delete("/jobs/{number}/drawing/moves")
def undo_last_move(shop: Shop, number: Number) -> dict[str, Any]:
    """Undo the last move of a symbol."""
    return {"format": 1, "part": undo_move(shop, number)}


@router.post("/jobs/{number}/notes")
def note(shop: Shop, number: Number, given: m.NoteIn) -> dict[str, Any]:
    """Write a note."""
    return _added(stored.note(shop, number, given.words, given.uid))


@router.post("/jobs/{number}/removal")
def removal(shop: Shop, number: Number, given: m.Taken) -> dict[str, Any]:
    """Take the job off the list; nothing is lost."""
    return _added(stored.remove(shop, number, uid=given.uid))


@router.post("/jobs/{number}/return")
def give_back(shop: Shop, number: Number, given: m.Taken) -> dict[str, Any]:
    """Put the job back on the list."""
    return _added(stored.remove(shop, number, back=True, uid=given.uid))


@router.get("/jobs/{number}/advice")
def advice(reasoner: Thinker, number: Number) -> dict[str, Any]:
    """Suspects, doubts, evidence, verdict and the next tests."""
    _with_circuit(reasoner.view(number))
    return dict(plain(reasoner.advice(number)[1]))


@router.get("/jobs/{number}/expected")
def expected(
    reasoner: Thinker, view: OneJob, red: Short, black: Short = "", instrument: Short = "voltmeter"
) -> dict[str, Any]:
    """What an instrument would show at a place now; nothing is stored."""
    _with_circuit(view)
    return dict(plain(reasoner.expect(view, red, black, instrument)))


@router.get("/jobs/{number}/newest")
def newest(view: OneJob, seen: Annotated[int, Query(ge=0, le=HIGHEST)] = 0) -> dict[str, Any]:
    """Whether anything has been entered since ``seen``."""
    return {"format": 1, "newest": view.newest, "changed": view.newest > seen}


def _with_circuit(view: View) -> Any:
    if view.job is None:
        raise stored.without_circuit(view.number)
    return view.job


def _added(count: int) -> dict[str, Any]:
    return {"format": 1, "added": count}


def _named(name: str) -> dict[str, Any]:
    return {"format": 1, "id": name}
