"""Signs and readings written in one line, as entries.

``volts C1.2.a to BAT.- 12.4 V, in slow, C2 apart, back-probe, complaint yes``
``M1 off, key=run, AC=on, complaint yes``
"""

import re

from loomwise.circuit.kinds.tables import access_methods
from loomwise.errors import EvidenceError

INSTRUMENT_WORDS = {
    "volts": "voltmeter", "lamp": "test lamp", "amps": "clamp", "ohms": "ohmmeter",
    "ripple": "ripple meter", "duty": "duty meter", "look": "look",
    "wiggle": "wiggle", "warm": "warm", "cool": "cool",
}  # fmt: skip
_READING = re.compile(r"(\S+)\s+(\S+)(?:\s+to\s+(\S+))?\s+(.+)")
_SIGN = re.compile(r"(\S+)\s+(.+)")
_BETWEEN = re.compile(r",(?:\s+|$)")
"""A comma and a blank part the pieces, so that the comma of "12,4" stays for its own error."""


def reading_line(line: str) -> dict[str, object]:
    """A reading's line as the fields of its entry.

    Raises
    ------
    EvidenceError : the line does not read so.
    """
    head, *more = _BETWEEN.split(line.strip())
    found = _READING.fullmatch(head)
    if found is None or found[1] not in INSTRUMENT_WORDS:
        hint = f"write 'volts C1.2.a 12.4 V', or begin with {', '.join(INSTRUMENT_WORDS)}"
        raise EvidenceError(f"'{line[:60]}' is not a reading", hint=hint)
    fields = {"instrument": INSTRUMENT_WORDS[found[1]], "red": found[2], "value": found[4]}
    black = {"black": found[3]} if found[3] else {}
    return {**fields, **black, **_pieces(more)}


def sign_line(line: str) -> dict[str, object]:
    """A sign's line as the fields of its entry.

    Raises
    ------
    EvidenceError : the line does not read so.
    """
    head, *more = _BETWEEN.split(line.strip())
    found = _SIGN.fullmatch(head)
    if found is None:
        raise EvidenceError(f"'{line[:60]}' is not a sign", hint="write 'M1 off, key=run'")
    return {"what": found[1], "seen": found[2], **_pieces(more)}


def _pieces(pieces: list[str]) -> dict[str, object]:
    """What stands behind the first comma, told apart by how it looks."""
    fields: dict[str, object] = {}
    controls: list[str] = []
    undone: list[str] = []
    repaired: list[str] = []
    for piece in (p.strip() for p in pieces if p.strip()):
        if piece.startswith("in "):
            controls.insert(0, piece[3:].strip())
        elif "=" in piece:
            controls.append(piece)
        elif piece in access_methods():
            fields["method"] = piece
        elif piece.startswith("when "):
            fields["condition"] = piece.removeprefix("when ").strip()
        elif piece.startswith("repaired "):
            repaired.append(piece.removeprefix("repaired ").strip())
        elif piece.startswith("complaint "):
            fields["complaint"] = piece.removeprefix("complaint ").strip()
        else:
            undone.append(piece)
    if repaired:
        fields["repaired"] = repaired
    return {**fields, "setup": ", ".join(controls), "undone": undone}
