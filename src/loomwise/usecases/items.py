"""Signs, readings and setups as the fields of entries: the way back from what was read."""

from typing import Any

from loomwise.evidence import Evidence, Sign
from loomwise.evidence.items import OPEN_OHM
from loomwise.evidence.items import UNITS as UNITS
from loomwise.setups import Setup


def standing_of(setup: Setup) -> dict[str, Any]:
    """A setup as ``setup``, ``undone`` and ``after``."""
    return {
        "setup": dict(setup.controls + setup.settled),
        "undone": [str(u) for u in setup.undone],
        "after": [dict(step) for step in setup.after],
    }


def fields_of(item: Evidence) -> tuple[str, dict[str, Any]]:
    """The kind and the fields of an item, in words and units as they are written."""
    fields = {
        **standing_of(item.setup), "id": item.id, "complaint": item.complaint,
        "condition": item.condition, "repaired": list(item.repaired),
    }  # fmt: skip
    if isinstance(item, Sign):
        return "sign", {**fields, "what": item.what, "seen": item.seen}
    value = value_text(item.instrument, item.value, item.word)
    where = {"instrument": item.instrument, "red": item.red, "black": item.black}
    return "reading", {**fields, **where, "method": item.method, "value": value}


def value_text(instrument: str, value: float | None, word: str = "") -> str:
    """A value as it is written in a job file."""
    if value is None:
        return word
    if instrument == "ohmmeter" and value >= OPEN_OHM:
        return "OL"
    return f"{value:.10g} {UNITS[instrument]}"
