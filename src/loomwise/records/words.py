"""Values of a record in the words a sign has: by word, by an input's volts, or as told."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from loomwise.circuit.model import Band
from loomwise.records.table import number_of

ALIKE = {
    "on": ("on", "1", "true", "yes", "active", "closed", "enabled"),
    "off": ("off", "0", "false", "no", "inactive", "open", "disabled"),
    "no answer": ("no answer", "n/a", "na", "timeout", "no response", "---"),
}
_BELOW = re.compile(r"below\s+(\S+)", re.IGNORECASE)
NEAR_S = 2.0
"""A value counts at a moment if it was read so shortly before. Engineering judgement. [s]"""


@dataclass(frozen=True)
class Change:
    """At ``seconds`` a name went to ``word``."""

    seconds: float
    word: str


@dataclass(frozen=True)
class Read:
    """A name's words by time, each change once; ``unread`` are values that are no word of it."""

    changes: tuple[Change, ...]
    unread: tuple[str, ...]
    until: float = 0.0

    @property
    def steady(self) -> str:
        """The word, if it is the same all along; nothing otherwise."""
        return self.changes[0].word if len(self.changes) == 1 and not self.unread else ""

    def at(self, seconds: float) -> str:
        """The word at a moment; nothing before the first value or long after the last."""
        if seconds > self.until + NEAR_S:
            return ""
        return next((c.word for c in reversed(self.changes) if c.seconds <= seconds), "")


def read_words(
    series: Sequence[tuple[float, str]], words: Sequence[str], bands: Sequence[Band] = (),
    told: Mapping[str, str] | None = None, in_volts: bool = False,
) -> Read:  # fmt: skip
    """A series in the words of what it is. ``told`` says what values mean: a value or "below 60"
    by its word. ``in_volts``: a number is the input's voltage, as its bands have it."""
    changes, unread = list[Change](), dict[str, None]()
    for seconds, value in series:
        word = _word(value, words, bands if in_volts else (), told or {})
        if not word:
            unread[value] = None
        elif not changes or changes[-1].word != word:
            changes.append(Change(seconds, word))
    return Read(tuple(changes), tuple(unread), series[-1][0] if series else 0.0)


def _word(value: str, words: Sequence[str], bands: Sequence[Band], told: Mapping[str, str]) -> str:
    plain, number = value.strip().casefold(), number_of(value)
    if plain in told:
        return told[plain]
    if number is not None:
        limits = [(number_of(m[1]), w) for k, w in told.items() if (m := _BELOW.fullmatch(k))]
        below = sorted((limit, w) for limit, w in limits if limit is not None)
        for limit, word in below:
            if number < limit:
                return word
        if below and "else" in told:
            return told["else"]
        if bands:
            return next(b.name for b in bands if number < b.below_v)
    own = {w.casefold(): w for w in words}
    if plain in own:
        return own[plain]
    return next((own[w] for w, some in ALIKE.items() if plain in some and w in own), "")
