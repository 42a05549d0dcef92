"""Renders templates, with the words for shares, times and weights of evidence."""

from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any
from uuid import uuid4

from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape
from starlette.requests import Request
from starlette.responses import HTMLResponse

from loomwise import __version__
from loomwise.usecases.wording import (
    PRESENT,
    factor_text,
    minutes,
    no_test,
    percent,
    verdict_text,
)

HERE = Path(__file__).parent
NOWRAP = "\u00a0"


@cache
def environment() -> Environment:
    """The templates; whatever is put in is escaped."""
    made = Environment(
        loader=FileSystemLoader(HERE / "templates"), undefined=StrictUndefined,
        autoescape=select_autoescape(default=True, default_for_string=True),
        trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    made.filters |= {
        "percent": lambda share: percent(share).replace(" ", NOWRAP),
        "minutes": lambda value: minutes(value).replace(" ", NOWRAP),
        "factor": factor_text, "verdict": verdict_text, "no_test": no_test,
        "when": when, "first": capital,
        "number": plain_number,
        "times": lambda share: "–" if share is None else f"×{NOWRAP}{share:.1f}",
        "volts": lambda value: f"{value:.1f}{NOWRAP}V", "tight": lambda t: t.replace(" ", NOWRAP),
    }  # fmt: skip
    made.globals |= {"version": __version__, "token": lambda: uuid4().hex, "present": PRESENT}
    return made


def when(moment: datetime) -> str:
    """A moment by the clock on the wall."""
    return moment.astimezone().strftime("%d %b %H:%M")


def plain_number(value: object) -> object:
    """A number without the fraction that it does not have; anything else as it is."""
    return f"{value:.12g}" if isinstance(value, float) else value


def capital(text: str) -> str:
    """A sentence's first letter."""
    return text[:1].upper() + text[1:]


def piece(name: str, **values: Any) -> str:
    """A template as text."""
    return environment().get_template(name).render(**values)


def render(request: Request, name: str, status: int = 200, **values: Any) -> HTMLResponse:
    """A template as an answer."""
    return HTMLResponse(piece(name, path=request.url.path, **values), status)
