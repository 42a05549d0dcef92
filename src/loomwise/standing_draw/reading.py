"""Readings as a person writes them: "F12 10 A 2.1 mV mini behind F1 feeds radio"."""

import re
from dataclasses import dataclass

from loomwise.errors import QuantityError
from loomwise.standing_draw.fuse import TYPES, Amps, current_of_drop
from loomwise.units import parse_quantity

USUAL_TYPE = "mini"
"""The commonest body in fuse boxes of today. Common practice, no source."""
OTHER_NAMES = {"ato": "regular", "atc": "regular", "standard": "regular"}
_NUMBER = r"[+-]?[\d.,]+"
_FUSE = re.compile(
    rf"(?P<fuse>\S+)\s+(?P<rating>{_NUMBER})\s*A\s+(?P<drop>{_NUMBER}\s*[^\s\d]*)"
    r"(?:\s+(?P<type>(?!behind\b|feeds\b)[A-Za-z]+))?"
    r"(?:\s+behind\s+(?P<behind>\S+))?(?:\s+feeds\s+(?P<feeds>.+))?"
)
_CLAMP = re.compile(r"(?P<amps>\S+\s*[A-Za-zµ]*)(?:\s+after\s+(?P<after>.+))?")
FUSE_HINT = "write 'F12 10 A 2.1 mV', then if you like: mini, behind F1, feeds radio"


@dataclass(frozen=True)
class FuseReading:
    """The drop across one fuse and the current it stands for. ``behind`` names a fuse that was read
    too and feeds this one; ``feeds`` says what hangs on it."""

    fuse: str
    type: str
    rating_a: float
    drop_v: float
    amps: Amps
    behind: str = ""
    feeds: str = ""


@dataclass(frozen=True)
class ClampReading:
    """The whole current at the battery, so many minutes after all was shut and locked; None where
    that was not said."""

    current_a: float
    after_min: float | None


def parse_fuse(text: str) -> FuseReading:
    """One fuse in a line.

    Raises
    ------
    QuantityError : not of that form, a number that is none, no such fuse, or a drop that cannot be.
    """
    found = _FUSE.fullmatch(" ".join(text.split()))
    if found is None:
        raise QuantityError(f"'{text[:60]}' is not a fuse reading", hint=FUSE_HINT)
    words = found.groupdict(default="")
    if not words["drop"].rstrip().endswith("V"):
        hint = "write 2.1 mV or 0.0021 V"
        raise QuantityError(f"{words['fuse']}: '{words['drop']}' has no volts to it", hint=hint)
    return make_fuse(**words)


def make_fuse(
    fuse: str, rating: str, drop: str, type: str = "", behind: str = "", feeds: str = ""
) -> FuseReading:  # fmt: skip
    """A fuse from its words; ``drop`` without a unit is in volts.

    Raises
    ------
    QuantityError : as ``parse_fuse``; the message begins with the fuse.
    """
    kind = (type or USUAL_TYPE).lower()
    kind = OTHER_NAMES.get(kind, kind)
    try:
        rating_a, drop_v = parse_quantity(rating, "A"), parse_quantity(drop, "V")
        if drop_v < 0:
            hint = "turn the tips round, or write it without the sign: the way does not matter"
            raise QuantityError(f"a drop of {drop} is negative", hint=hint)
        amps = current_of_drop(kind, rating_a, drop_v)
    except QuantityError as error:
        raise QuantityError(f"{fuse}: {error.message}", hint=error.hint) from None
    return FuseReading(fuse, TYPES[kind].name, rating_a, drop_v, amps, behind, feeds)


def parse_clamp(text: str) -> ClampReading:
    """``0.45 A after 40 min``; the time may be left out.

    Raises
    ------
    QuantityError : not of that form, or negative.
    """
    found = _CLAMP.fullmatch(" ".join(text.split()))
    if found is None:
        hint = "write '0.45 A after 40 min'"
        raise QuantityError(f"'{text[:60]}' is not a clamp reading", hint=hint)
    current_a = parse_quantity(found["amps"], "A")
    after_min = parse_quantity(found["after"], "min") if found["after"] else None
    if current_a < 0 or (after_min or 0.0) < 0:
        hint = "turn the clamp round and set it to zero first; times count from shutting it all"
        raise QuantityError(f"'{text[:60]}' is negative", hint=hint)
    return ClampReading(current_a, after_min)
