"""What the forms of the pages send, as fields of entries."""

import json
from collections.abc import Mapping
from hashlib import sha256
from typing import Any

from starlette.datastructures import FormData, UploadFile

from loomwise.errors import InputError

LONGEST, NAME_SIGNS = 5000, 60
STANDING = ("setup", "undone", "after")


def words(form: FormData, name: str) -> str:
    """A text field; a file sent in its place counts as nothing."""
    value = form.get(name, "")
    return value.strip()[:LONGEST] if isinstance(value, str) else ""


def file_in(form: FormData, name: str, most: int) -> tuple[str, bytes] | None:
    """A file that was sent: its name, which is only shown, never opened, and its first bytes, one
    more than ``most`` if it has more; None if none was sent."""
    file = form.get(name)
    if not isinstance(file, UploadFile) or not file.filename:
        return None
    shown = file.filename.replace("\\", "/").rpartition("/")[2][-NAME_SIGNS:] or "file"
    return shown, file.file.read(most + 1)


def uid_of(form: FormData) -> str:
    """A name for what the form says: the same form sent twice is one entry."""
    told = [(k, v if isinstance(v, str) else f"{v.filename} {v.size}")
            for k, v in form.multi_items()]  # fmt: skip
    token = words(form, "token")
    return sha256(json.dumps([token, told]).encode()).hexdigest()[:32] if token else ""


def standing_in(form: FormData) -> dict[str, Any]:
    """The setup a proposed test is made in; nothing where the form has none."""
    text = words(form, "standing")
    if not text:
        return {}
    try:
        told = json.loads(text)
    except ValueError:
        told = None
    if not isinstance(told, Mapping):
        raise InputError("the setup of the test cannot be read", "test", "load the page again")
    return {k: told[k] for k in STANDING if k in told}


def item_in(form: FormData) -> tuple[str, dict[str, Any]]:
    """The kind and the fields of a sign or reading."""
    instrument = words(form, "instrument") or "voltmeter"
    more = {k: words(form, k) for k in ("complaint", "condition") if words(form, k)}
    fields = {**standing_in(form), **more}
    if words(form, "minutes"):
        fields["minutes"] = _number(words(form, "minutes"))
    value = _one_value(words(form, "value"), words(form, "typed"))
    if instrument in ("sign", "scan tool"):
        return "sign", {**fields, "what": words(form, "red"), "seen": value}
    unit = words(form, "unit")
    if words(form, "typed") and not words(form, "value") and unit and is_number(value):
        value = f"{value} {unit}"
    return "reading", {
        **fields, "instrument": instrument, "red": words(form, "red"), "value": value,
        **{k: words(form, k) for k in ("black", "method") if words(form, k)},
    }  # fmt: skip


def _one_value(tapped: str, typed: str) -> str:
    """What was tapped or typed; both at once is told, so that no wrong reading slips in."""
    if tapped and typed:
        what = f"'{typed[:20]}' is typed, and '{tapped[:20]}' was tapped"
        raise InputError(what, "value", "empty the field, or press Enter beside it")
    return tapped or typed


def is_number(text: str) -> bool:
    """Whether a text is a number without a unit."""
    return text.lstrip("+-").replace(".", "", 1).isdigit()


def _number(text: str) -> float:
    return min(float(text), 1e4) if is_number(text) else 0.0


INTAKE = ("complaint", "vehicle", "vin", "mileage_km", "earlier", "added", "authorised_minutes")


def intake_in(form: FormData) -> dict[str, Any]:
    """What is known at the counter; what was left empty is left out."""
    told: dict[str, Any] = {k: words(form, k) for k in INTAKE if words(form, k)}
    at_hand = [v for v in form.getlist("instruments") if isinstance(v, str)]
    return {**told, **({"instruments": at_hand} if at_hand else {})}
