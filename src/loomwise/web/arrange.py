"""The page on which symbols of a job's drawing are moved, by hand or by keyboard."""

import math
from typing import Any

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from loomwise.errors import InputError
from loomwise.usecases.move import Move, symbols
from loomwise.usecases.move_stored import move_symbol, undo_move
from loomwise.web.deps import Form, Number, OneJob, Shop, Thinker, by_script
from loomwise.web.forms import uid_of, words
from loomwise.web.reason import View
from loomwise.web.show import piece, render

router = APIRouter(prefix="/jobs/{number}/arrange")


def _shown(view: View) -> dict[str, Any]:
    assert view.job is not None
    counted = [m for m in view.folded.moves if not m["withdrawn"]]
    return {"view": view, "job": view.job, "symbols": symbols(view.job.circuit),
            "last": counted[-1]["part"] if counted else ""}  # fmt: skip


@router.get("")
def show_arrange(request: Request, view: OneJob) -> Response:
    """The whole drawing with its symbols to be moved."""
    if view.job is None:
        return RedirectResponse(f"/jobs/{view.number}/circuit", 303)
    return render(request, "arrange.html", **_shown(view), oob=False)


@router.post("")
def arrange(
    request: Request, shop: Shop, reasoner: Thinker, number: Number, form: Form
) -> Response:
    """A symbol moved, put back where it is laid out, or the last move undone."""
    what, part = words(form, "what"), words(form, "part")
    if what == "undo":
        said = f"The last move is undone; it was {undo_move(shop, number, uid_of(form))}."
    elif what == "back":
        move_symbol(shop, number, Move(part, None), uid_of(form))
        said = f"{part} is back where it is laid out."
    else:
        spot = (_pixels(form, "x"), _pixels(form, "y"))
        move_symbol(shop, number, Move(part, spot), uid_of(form))
        said = f"{part} is moved; room was made for it."
    if not by_script(request):
        return RedirectResponse(f"/jobs/{number}/arrange", 303)
    told = piece("_symbols.html", **_shown(reasoner.view(number)), oob=True)
    return HTMLResponse(piece("_said.html", said=said) + told,
                        headers={"HX-Trigger-After-Settle": "standing-changed"})  # fmt: skip


def _pixels(form: Form, name: str) -> float:
    text = words(form, name)[:20].replace(",", ".")
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not abs(value) < 1e6:
        hint = "write pixels from the left upper corner of the drawing, such as 120"
        raise InputError(f"'{text}' is no place", name, hint)
    return value
