"""What stands outside jobs: the standing-draw hunt, the wire calculator and the test sheet.

Nothing is stored: a form asks by its address, which can be kept, sent on and printed.
"""

from collections.abc import Sequence
from itertools import zip_longest
from typing import Any

from fastapi import APIRouter
from starlette.datastructures import QueryParams
from starlette.requests import Request
from starlette.responses import Response

from loomwise.circuit.model import Circuit
from loomwise.errors import InputError, LoomwiseError
from loomwise.usecases.problems import problems_of
from loomwise.usecases.sheet import Sheet, expected_text, left_out_text, setup_text, sheet_of
from loomwise.usecases.shelf import list_shelf, shelf_circuit
from loomwise.usecases.standing_draw import COLUMNS, Hunted, Words, standing_draw_of_table
from loomwise.usecases.tool_wording import (
    draw_row,
    fuses_text,
    lasts_text,
    wire_question,
    wire_row,
    wire_sizes,
)
from loomwise.usecases.wire import Wanted, WireAnswer, wire
from loomwise.usecases.wording import METER
from loomwise.web.deps import Thinker
from loomwise.web.errors import status_of
from loomwise.web.forms import is_number
from loomwise.web.reason import Reasoner
from loomwise.web.show import render

router = APIRouter()
CELL, TEXT, MOST_ROWS = 60, 2000, 80
EMPTY_CLAMPS, EMPTY_FUSES = 1, 3
"""Empty lines that stand ready below those filled in."""
LEAST_CLAMPS, LEAST_FUSES = 2, 5
FIRST = ("clamp", "after")
UNITS = {"charge": "%", "allowed": "mA", "asleep": "min", "current": "A", "length": "m",
         "supply": "V", "temperature": "C", "insulation": "C", "size": "mm2",
         "fuse": "A"}  # fmt: skip
"""What a bare number means in a field of the forms, as its label says."""


@router.get("/standing-draw")
def hunt_draw(request: Request) -> Response:
    """Clamp readings and fuses in lines, and the branch that draws."""
    asked = request.query_params
    clamps = _rows(asked, FIRST, LEAST_CLAMPS, EMPTY_CLAMPS)
    fuses = _rows(asked, COLUMNS, LEAST_FUSES, EMPTY_FUSES)
    values: dict[str, Any] = {"asked": asked, "clamps": clamps, "fuses": fuses, "answer": None,
                              "problems": ()}  # fmt: skip
    if not asked:
        return render(request, "standing_draw.html", **values)
    try:
        answer = _hunted(asked, clamps, fuses)
    except LoomwiseError as error:
        values["problems"] = problems_of(error)
        return render(request, "standing_draw.html", status_of(error), **values)
    told: dict[str, Any] = {"rows": [draw_row(d) for d in answer.draws], "sum": fuses_text(answer),
            "lasts": lasts_text(answer)}  # fmt: skip
    return render(request, "standing_draw.html", **values | {"answer": answer}, **told)


def _hunted(
    asked: QueryParams, clamps: Sequence[dict[str, str]], fuses: Sequence[dict[str, str]]
) -> Hunted:
    filled = [c for c in clamps if any(c.values())]
    read = [f"{c['clamp']} after {c['after']}" if c["after"] else c["clamp"] for c in filled]
    battery, charge, allowed, asleep = (
        _united(asked, name) for name in ("battery", "charge", "allowed", "asleep")
    )
    words = Words((), (), battery, charge, allowed, asleep)
    rows = [f for f in fuses if any(v for k, v in f.items() if k != "type")]
    return standing_draw_of_table(read, rows, words)


def _rows(
    asked: QueryParams, names: Sequence[str], least: int, more: int
) -> list[dict[str, str]]:  # fmt: skip
    """The lines that were filled in, and some empty ones."""
    columns = [[v.strip()[:CELL] for v in asked.getlist(n)[:MOST_ROWS]] for n in names]
    rows = [dict(zip(names, row, strict=True)) for row in zip_longest(*columns, fillvalue="")]
    kept = [r for r in rows if any(v for k, v in r.items() if k != "type")]
    empty = dict.fromkeys(names, "")
    return kept + [empty] * max(more, least - len(kept))


@router.get("/wire")
def calculate_wire(request: Request) -> Response:
    """A wire and its fuse, chosen or judged."""
    asked = request.query_params
    values: dict[str, Any] = {"asked": asked, "usual": Wanted("", ""), "answer": None}
    if not asked:
        return render(request, "wire.html", **values, problems=())
    try:
        found = wire(_wanted(asked))
    except LoomwiseError as error:
        return render(request, "wire.html", status_of(error), **values, problems=problems_of(error))
    return render(request, "wire.html", **values | _wire_told(found), problems=())


def _wire_told(found: WireAnswer) -> dict[str, Any]:
    rows = [wire_row(w, found.answer) for w in wire_sizes(found.answer)]
    return {"answer": found.answer, "question": wire_question(found.asked), "rows": rows}


def _wanted(asked: QueryParams) -> Wanted:
    names = ("current", "length", "supply", "temperature", "insulation", "size", "fuse", "drop")
    told = {name: _united(asked, name) for name in names}
    for name, what in (("current", "current"), ("length", "length")):
        if not told[name]:
            raise InputError(f"the {what} is missing", name, "fill it in")
    bundle = _text(asked, "bundle") or "1"
    if not bundle.isdecimal():
        raise InputError(f"'{bundle}' is no number of wires", "bundle", "write such as 6")
    given = {name: text for name, text in told.items() if text}
    return Wanted(**given, bundle=int(bundle[:9]), awg=bool(asked.get("awg")))


@router.get("/sheet")
def show_sheet(request: Request, reasoner: Thinker) -> Response:
    """The volts to expect at every place, for a circuit of the shelf or of a job."""
    asked = request.query_params
    values: dict[str, Any] = {
        "asked": asked, "shelf": list_shelf().circuits, "sheet": None, "problems": (),
        "circuit": None, "meter": METER,
    }  # fmt: skip
    if not (asked.get("circuit") or asked.get("job")):
        return render(request, "sheet.html", **values)
    try:
        circuit = values["circuit"] = _circuit(asked, reasoner)
        sheet = sheet_of(circuit, _lines(asked, "setups"), _lines(asked, "undo"))
    except LoomwiseError as error:
        values["problems"] = problems_of(error)
        return render(request, "sheet.html", status_of(error), **values)
    return render(request, "sheet.html", **values | _sheet_told(sheet))


def _circuit(asked: QueryParams, reasoner: Reasoner) -> Circuit:
    """Never a file: a name is looked for on the shelf only."""
    number = _text(asked, "job")
    if not number:
        return shelf_circuit(_text(asked, "circuit"))
    if not number.isdecimal() or len(number) > 9:
        raise InputError(f"'{number}' is no number of a job", "job", "see the list of jobs")
    view = reasoner.view(int(number))
    if view.job is None:
        raise InputError(f"job {number} has no circuit yet", "job", "choose one first")
    return view.job.circuit


def _sheet_told(sheet: Sheet) -> dict[str, Any]:
    rows = [(r, [expected_text(e) for e in r.expected]) for r in sheet.rows]
    return {"sheet": sheet, "rows": rows, "setups": [setup_text(c) for c in sheet.setups],
            "left_out": left_out_text(sheet)}  # fmt: skip


def _lines(asked: QueryParams, name: str) -> list[str]:
    return [line.strip() for line in asked.get(name, "")[:TEXT].splitlines() if line.strip()]


def _text(asked: QueryParams, name: str) -> str:
    return asked.get(name, "").strip()[:CELL]


def _united(asked: QueryParams, name: str) -> str:
    """A field's text; a bare number gets the unit that stands beside the field."""
    text = _text(asked, name)
    return f"{text} {UNITS[name]}" if name in UNITS and is_number(text) else text
