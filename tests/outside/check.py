"""What a check against the outside is: the tests and docs/checks.md read the same ones."""

import math
from collections.abc import Callable
from dataclasses import dataclass

PUBLISHED, COMPUTED = "published", "computed from published figures"
COMMON, MEMORY = "common practice, no source", "from memory"
MARKS = (PUBLISHED, COMPUTED, COMMON, MEMORY)
"""How a figure is known, best first; from memory it is a figure that was not found again."""


@dataclass(frozen=True)
class Source:
    """Where figures were seen: ``title`` in words, ``where`` an address or empty; ``mark`` how
    they are known unless a check says otherwise."""

    title: str
    where: str = ""
    mark: str = PUBLISHED


PRACTICE, REMEMBERED = Source(COMMON, mark=COMMON), Source(MEMORY, mark=MEMORY)


@dataclass(frozen=True)
class Figure:
    """A figure from outside, as ``text``, and what ours may be: ``low`` to ``high``, and ``why``
    it may differ by that much."""

    text: str
    low: float
    high: float
    why: str


@dataclass(frozen=True)
class Check:
    """One value of ours beside one from outside: a figure, or words that must be the same."""

    what: str
    unit: str
    ours: Callable[[], float | str]
    theirs: Figure | str
    source: Source
    detail: str = ""
    mark: str = ""

    @property
    def known(self) -> str:
        """How the outside value is known: one of ``MARKS``."""
        return self.mark or self.source.mark

    def agrees(self, ours: float | str) -> bool:
        """Whether our value is what the outside allows."""
        if isinstance(self.theirs, str) or isinstance(ours, str):
            return ours == self.theirs
        low, high = self.theirs.low, self.theirs.high
        return low - _rounding(low) <= ours <= high + _rounding(high)


def _rounding(edge: float) -> float:
    """What a sum may be off at the edge of a range. [same unit]"""
    return 1e-9 * abs(edge) if math.isfinite(edge) else 0.0


def digits(printed: str) -> Figure:
    """A printed number such as ``42.299e-3``: half a unit of its last digit either way."""
    mantissa, _, exponent = printed.partition("e")
    places = len(mantissa.partition(".")[2])
    half = 0.5 * 10.0 ** (int(exponent or 0) - places)
    value = float(printed)
    return Figure(printed, value - half, value + half, "half of its last printed digit")


def about(value: float, within: float, why: str) -> Figure:
    """A figure and how far off ours may be."""
    return Figure(f"{value:.6g}", value - within, value + within, why)


def share(value: float, part: float, why: str) -> Figure:
    """A figure and by what share of it ours may be off."""
    return about(value, abs(value) * part, why)


def between(low: float, high: float, why: str = "the range is the figure") -> Figure:
    """A range that ours must lie in."""
    return Figure(f"{low:g} to {high:g}", low, high, why)


def at_most(high: float, why: str = "a limit") -> Figure:
    """A limit that ours must not pass."""
    return Figure(f"at most {high:g}", -math.inf, high, why)


def at_least(low: float, why: str = "a limit") -> Figure:
    """A limit that ours must not stay below."""
    return Figure(f"at least {low:g}", low, math.inf, why)
