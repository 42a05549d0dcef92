"""What a trainee asks of a vehicle, in a line: "volts C1.2.a", "lamp F1.2", "watch M1"."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from loomwise.circuit.kinds.tables import access_methods
from loomwise.circuit.model import Circuit
from loomwise.errors import InputError
from loomwise.evidence.items import LOOK_WORDS, TWO_TIPS, look_kind, sign_words
from loomwise.job import Job
from loomwise.job.one_line import INSTRUMENT_WORDS, reading_line
from loomwise.setups.words import parse_controls

WATCH = "watch"
REST = "rest"
ALL = "all"
_HARMLESS = {
    "voltmeter": "0 V", "clamp": "0 A", "ohmmeter": "0 ohm", "test lamp": "dark",
    "ripple meter": "0 V", "duty meter": "0 %",
    "wiggle": "steady", "warm": "steady", "cool": "steady",
}  # fmt: skip
"""An answer that is allowed, so that the question is checked by the reader of job files."""


@dataclass(frozen=True)
class Asked:
    """``words`` name one test, or nothing; ``setup`` are controls that are not at rest ("rest":
    none), ``undo`` and ``back`` what is undone and put back before it ("all")."""

    words: str = ""
    setup: str = ""
    undo: tuple[str, ...] = ()
    back: tuple[str, ...] = ()

    @property
    def changes_setup(self) -> bool:
        """Whether the vehicle is set up otherwise first."""
        return bool(self.setup or self.undo or self.back)

    def standing(self, job: Job) -> dict[str, Any]:
        """How the vehicle stands then.

        Raises
        ------
        InputError : what is to be put back is not undone.
        """
        undone = [str(u) for u in job.here.undone]
        for word in self.back:
            if word != ALL and word not in undone:
                have = ", ".join(undone) or "nothing"
                raise InputError(f"'{word[:40]}' is not undone", "--back", f"undone: {have}")
        left = [] if ALL in self.back else [u for u in undone if u not in self.back]
        found: dict[str, Any] = {"undone": [*left, *(u for u in self.undo if u not in left)]}
        if self.setup:
            found["setup"] = {} if self.setup == REST else dict(parse_controls(self.setup))
            found["after"] = []
        return found


def asked_of(job: Job, words: str) -> tuple[str, dict[str, Any]]:
    """The kind and fields of what is asked, with an answer that is still to be replaced.

    Raises
    ------
    InputError : the words name no test, or a place that nobody can reach.
    """
    first, _, rest = words.strip().partition(" ")
    if first == WATCH:
        seen = sign_words(job.circuit, rest.strip())
        return "sign", {"what": rest.strip(), "seen": seen[0] if seen else "?"}
    if first not in INSTRUMENT_WORDS:
        hint = f"begin with {', '.join([*INSTRUMENT_WORDS, WATCH])}, as in 'volts F1.2'"
        raise InputError(f"'{words[:60]}' is no test", "practice", hint)
    head, comma, more = words.strip().partition(",")
    fields = {k: v for k, v in reading_line(f"{head} ?{comma}{more}").items() if v not in ("", [])}
    fields["value"] = _answer(job.circuit, fields)
    fields.setdefault("method", _method(job, fields))
    return "reading", fields


def _answer(circuit: Circuit, fields: Mapping[str, Any]) -> str:
    if fields["instrument"] == "look":
        return LOOK_WORDS.get(look_kind(circuit, str(fields["red"])), ("good",))[0]
    return _HARMLESS[str(fields["instrument"])]


def _method(job: Job, fields: Mapping[str, Any]) -> str:
    """How the tips get there: the way of the place that takes longer."""
    if fields["instrument"] not in TWO_TIPS:
        return "open"
    bare = {u.target for u in job.here.undone if u.what in ("apart", "out")}
    ways = []
    for key in ("red", "black"):
        place = job.circuit.places.get(str(fields.get(key, "")))
        if place is None:
            continue
        if place.method == "none":
            hint = "see the places with: loomwise check CIRCUIT --places"
            raise InputError(f"nobody can reach {place.id} with a probe", "practice", hint)
        opened = "open" if place.side else "fuse ear"
        ways.append(opened if place.owner in bare else place.method)
    return max(ways, key=lambda m: access_methods()[m].minutes, default="back-probe")
