"""Say what is wrong with an entry in a circuit file, in words an electrician can act on."""

from collections.abc import Iterable
from difflib import get_close_matches
from typing import Any

from pydantic import BaseModel, ValidationError

from loomwise.circuit.document import Document, Path
from loomwise.circuit.schema import (
    PART_MODELS,
    CircuitEntry,
    ConnectorEntry,
    ControlEntry,
    ModulePinEntry,
    SourceEntry,
    UnitEntry,
)

_SECTIONS: dict[str, tuple[str, type[BaseModel] | None]] = {
    "parts": ("part", None),
    "units": ("unit", UnitEntry),
    "connectors": ("connector", ConnectorEntry),
    "controls": ("control", ControlEntry),
    "sources": ("source", SourceEntry),
    "wires": ("wire", None),
    "logic": ("logic of", None),
    "cautions": ("caution", None),
}
_NEEDS = {
    "string_type": "a text",
    "dict_type": "'key: value' entries",
    "model_type": "'key: value' entries",
    "model_attributes_type": "'key: value' entries",
    "list_type": "a list in brackets, or lines that begin with '- '",
    "int_parsing": "a whole number",
    "int_type": "a whole number",
}
_LISTED = 15


def nearest(word: str, choices: Iterable[str], what: str) -> str:
    """A hint: the nearest spelling, if any is near, and what there is."""
    listed = list(choices)
    if not listed:
        return f"there are no {what}"
    more = f" and {len(listed) - _LISTED} more" if len(listed) > _LISTED else ""
    text = f"the {what} are {', '.join(listed[:_LISTED])}{more}"
    by_small = {choice.lower(): choice for choice in listed}
    near = get_close_matches(word.lower()[:60], by_small, n=1)
    return f"did you mean '{by_small[near[0]]}'? {text}" if near else text


def explain(document: Document, error: ValidationError) -> None:
    """Add every error of the entries to the problems of the document."""
    for detail in error.errors(include_url=False):
        if detail["input"] is not None:  # an empty value is already in the problems
            what, hint = _words(detail)
            document.add(tuple(detail["loc"]), _subject(detail["loc"]) + what, hint)


def _subject(loc: Path) -> str:
    """ "part K1: " for anything inside that part; its line tells the rest."""
    if len(loc) < 2 or loc[0] not in _SECTIONS:
        return ""
    item = loc[1] + 1 if isinstance(loc[1], int) else str(loc[1])[:40]
    return f"{_SECTIONS[str(loc[0])][0]} {item}: "


def _words(detail: Any) -> tuple[str, str]:
    loc, kind, context = detail["loc"], detail["type"], detail.get("ctx", {})
    key = str(next((step for step in reversed(loc) if step != "[key]"), "file"))[:40]
    if kind == "ours":
        own = "" if isinstance(loc[-1], int) or loc[-1] == "[key]" else f"'{key}': "
        return own + context["what"], context["hint"]
    if kind == "missing":
        return f"'{key}' is missing", "add it"
    if kind == "extra_forbidden":
        return f"'{key}' is not known here", nearest(key, _allowed(loc), "words here")
    if kind == "union_tag_not_found":
        return "'kind' is missing", nearest("", PART_MODELS, "kinds")
    if kind == "union_tag_invalid":
        given = str(detail["input"].get("kind"))[:40]
        return f"there is no kind '{given}'", nearest(given, PART_MODELS, "kinds")
    if kind == "literal_error":
        given = str(detail["input"])[:40]
        return f"'{key}' cannot be '{given}'", f"write {context['expected']}"
    name = "this" if isinstance(loc[-1], int) else f"'{key}'"
    if kind in _NEEDS:
        return f"{name} is not what is needed here", f"write {_NEEDS[kind]}"
    return f"{name} does not fit", _decapitalised(detail["msg"])


def _decapitalised(text: str) -> str:
    return text[:1].lower() + text[1:]


def _allowed(loc: Path) -> list[str]:
    """The words that may stand where ``loc``, an unknown word, stands."""
    if len(loc) == 1:
        return _keys(CircuitEntry)
    if loc[0] == "parts":
        return _keys(ModulePinEntry if "pins" in loc[3:-1] else PART_MODELS[str(loc[2])])
    model = _SECTIONS[str(loc[0])][1]
    return _keys(model) if model else []


def _keys(model: type[BaseModel]) -> list[str]:
    return [field.alias or name for name, field in model.model_fields.items()]
