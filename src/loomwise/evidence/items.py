"""Signs and readings, as they were taken: raw value, drawn place, instrument, method, setup."""

import math
from dataclasses import dataclass
from typing import Literal, get_args

from loomwise.circuit.alone import left_alone
from loomwise.circuit.kinds.tables import access_methods, senses
from loomwise.circuit.loads import load_named, loads
from loomwise.circuit.model import BODY, OUTPUTS, Circuit
from loomwise.errors import EvidenceError
from loomwise.setups import Setup

Presence = Literal["yes", "no", "unknown"]
Instrument = Literal[
    "voltmeter", "test lamp", "clamp", "ohmmeter", "ripple meter", "duty meter", "look",
    "wiggle", "warm", "cool",
]  # fmt: skip
INSTRUMENTS = get_args(Instrument)
UNITS = {
    "voltmeter": "V", "clamp": "A", "ohmmeter": "ohm", "ripple meter": "V", "duty meter": "percent",
}  # fmt: skip
"""The unit of what answers with a number. A ripple meter is one on AC volts, RMS; a duty meter
shows the share of the time a place is high: a scope does too."""
TWO_TIPS = ("voltmeter", "test lamp", "ohmmeter", "ripple meter", "duty meter")
"""What is held between two places; the black tip is on battery minus if nothing is said."""
STIRS = ("wiggle", "warm", "cool")
"""Ways to make a fault that comes and goes show itself, watching the complaint meanwhile."""
STIR_WORDS = ("changes", "steady")
AT_HAND = (
    "voltmeter", "test lamp", "clamp", "ohmmeter", "ripple meter", "duty meter", "look",
    "scan tool",
)  # fmt: skip
"""What a person may have; the scan tool shows signs of modules, and commands outputs."""
LAMP_WORDS = ("dark", "dim", "bright")
LOOK_WORDS = {
    "fuse": ("intact", "blown", "missing", "wrong rating", "bridged"),
    "contact": ("good", "burnt or loose"),
    "ground": ("good", "burnt or loose"),
}
LOAD_WORDS = {
    kind: (*sense.words, "on and off")
    for kind, sense in senses().items()
    if sense.measure != "click"
}
CLICK_WORDS = {k: sense.words for k, sense in senses().items() if sense.measure == "click"}
WANDERING = "wandering"
NO_PULSES = "steady"
NO_ANSWER = "no answer"
OPEN_OHM = 2e7
"""An ohmmeter shows OL above its range, often 20 Mohm: common practice, no source. [ohm]"""
LARGEST = {
    "voltmeter": 100.0, "clamp": 2000.0, "ohmmeter": 1e9, "ripple meter": 50.0, "duty meter": 100.0,
}  # fmt: skip


@dataclass(frozen=True)
class Sign:
    """What needs no instrument: what a load does, a relay's click, a module's own live data.

    ``condition`` is in the person's words ("hot", "wet"); ``repaired`` are the units that had been
    repaired before it was seen.
    """

    id: str
    setup: Setup
    what: str
    seen: str
    complaint: Presence = "unknown"
    condition: str = ""
    repaired: tuple[str, ...] = ()


@dataclass(frozen=True)
class Reading:
    """An instrument's value at named places in a setup.

    ``value`` is in V, A or Ω by the instrument; None where ``word`` says it (a lamp's light, a
    wandering meter, what a terminal looks like). ``red`` alone is used by the clamp (a conductor)
    and by looking; ``missed`` is the chance that a probe of this method did not touch. For
    ``condition`` and ``repaired`` see ``Sign``.
    """

    id: str
    setup: Setup
    instrument: str
    red: str
    black: str = ""
    value: float | None = None
    word: str = ""
    method: str = "back-probe"
    complaint: Presence = "unknown"
    condition: str = ""
    repaired: tuple[str, ...] = ()

    @property
    def missed(self) -> float:
        """Chance of a missed contact, by the access table."""
        return access_methods()[self.method].missed


Evidence = Sign | Reading


def checked_sign(circuit: Circuit, sign: Sign, words: tuple[str, ...]) -> Sign:
    """The sign, if the circuit can show it.

    Raises
    ------
    EvidenceError : the word is none of ``words``, which the caller knows for ``what``.
    """
    if sign.seen not in words:
        said = ", ".join(f"'{w}'" if " " in w else w for w in words)
        hint = f"say one of: {said}" if words else _shows(circuit)
        raise EvidenceError(f"{sign.what} cannot be seen '{sign.seen}'", sign.id, hint)
    return sign


def _shows(circuit: Circuit) -> str:
    parts = (*loads(circuit), *circuit.parts_of_kind(*CLICK_WORDS))
    names = sorted((p.id for p in parts), key=lambda n: [*circuit.parts].index(n.partition(".")[0]))
    return f"signs come from {', '.join(names)} and from modules' live data"


def checked_reading(circuit: Circuit, reading: Reading) -> Reading:
    """The reading, if its places, value and method can be what they say.

    Raises
    ------
    EvidenceError : an unknown place, instrument or method, a value out of range or not a number.
    """
    if reading.instrument not in INSTRUMENTS:
        raise EvidenceError(
            f"no instrument '{reading.instrument}'", reading.id, f"use {', '.join(INSTRUMENTS)}"
        )
    if reading.method not in access_methods():
        raise EvidenceError(
            f"no method '{reading.method}'", reading.id, f"use {', '.join(access_methods())}"
        )
    _check_alone(circuit, reading)
    _check_places(circuit, reading)
    _check_value(circuit, reading)
    return reading


def _check_alone(circuit: Circuit, r: Reading) -> None:
    for name in (r.red, r.black):
        if why := left_alone(circuit, name):
            hint = "measure elsewhere, or leave it to those trained for it"
            raise EvidenceError(f"{name} is left alone: {why}", r.id, hint)


def _check_places(circuit: Circuit, r: Reading) -> None:
    if r.instrument == "look":
        if look_kind(circuit, r.red) == "":
            hint = "name a fuse, a contact or a ground"
            raise EvidenceError(f"nothing to look at: {r.red}", r.id, hint)
    elif r.instrument in STIRS:
        if r.red not in stirrable(circuit, r.instrument):
            hint = f"name one of {', '.join(stirrable(circuit, r.instrument)[:8])}"
            raise EvidenceError(f"nothing to {r.instrument}: {r.red}", r.id, hint)
    elif r.instrument == "clamp":
        if r.red not in circuit.segments:
            raise EvidenceError(f"no conductor {r.red} to clamp", r.id, "name a wire, C1.1.b-M1.+")
    else:
        for place in (r.red, r.black):
            if place != BODY and place not in circuit.places:
                raise EvidenceError(f"no place '{place}'", r.id, near_places(circuit, place))
        if r.red == r.black:
            raise EvidenceError(f"both tips at {r.red}", r.id, "name two places")


def stirrable(circuit: Circuit, stir: str) -> tuple[str, ...]:
    """What can be wiggled (plugs, looms, grounds) or warmed and cooled (parts with insides)."""
    if stir != "wiggle":
        kinds = ("relay", "module", "sensor")
        return tuple(p.id for p in circuit.parts_of_kind(*kinds))
    looms = dict.fromkeys(s.loom for s in circuit.segments.values() if s.loom)
    grounds = (p.id for p in circuit.parts_of_kind("ground"))
    return (*circuit.connectors, *looms, *grounds)


def check_ohmmeter(circuit: Circuit, setup: Setup, red: str, black: str, where: str) -> None:
    """An ohmmeter needs every battery off, or a tip in something that is parted or out.

    Raises
    ------
    EvidenceError : neither holds.
    """
    off = {u.target for u in setup.undone if u.what == "off"}
    parted = {u.target for u in setup.undone if u.what in ("apart", "out")}
    on = [p.id for p in circuit.parts_of_kind("battery") if p.id not in off]
    if on and not parted & {place.partition(".")[0] for place in (red, black)}:
        hint = f"say '{on[0]} off' is undone, or part the plug or take out the part you measure"
        raise EvidenceError("an ohmmeter shows nonsense on a live circuit", where, hint)


def near_places(circuit: Circuit, place: str) -> str:
    """The places of the same part or connector, as a hint."""
    owner = place.partition(".")[0]
    same = [p for p in circuit.places if p.partition(".")[0] == owner]
    if same:
        return f"{owner} has {', '.join(same)}"
    return "places are written F1.2 or C1.3.a; `check --places` lists them"


def look_kind(circuit: Circuit, target: str) -> str:
    """``fuse``, ``contact`` or ``ground``, or nothing if it is none of these."""
    if target in circuit.segments and circuit.segments[target].kind == "contact":
        return "contact"
    kind = circuit.parts[target].kind if target in circuit.parts else ""
    return kind if kind in LOOK_WORDS else ""


def answer_words(circuit: Circuit, r: Reading) -> tuple[str, ...]:
    """The words an instrument may answer with."""
    if r.instrument == "look":
        return LOOK_WORDS.get(look_kind(circuit, r.red), ())
    if r.instrument in STIRS:
        return STIR_WORDS
    words: dict[str, tuple[str, ...]] = {
        "test lamp": LAMP_WORDS, "voltmeter": (WANDERING,), "duty meter": (NO_PULSES,),
    }  # fmt: skip
    return words.get(r.instrument, ())


def _check_value(circuit: Circuit, r: Reading) -> None:
    words = answer_words(circuit, r)
    if r.value is None:
        if r.word not in words:
            raise EvidenceError(f"'{r.word}' is no answer of a {r.instrument}", r.id,
                                f"say {', '.join(words) or 'a number'}")  # fmt: skip
        return
    if r.instrument not in LARGEST:
        raise EvidenceError(f"a {r.instrument} gives no number", r.id, f"say {', '.join(words)}")
    if not math.isfinite(r.value) or abs(r.value) > LARGEST[r.instrument]:
        raise EvidenceError(
            f"{r.value:g} cannot be a {r.instrument}'s value here", r.id,
            f"at most {LARGEST[r.instrument]:g}; check the unit",
        )  # fmt: skip


def sign_words(circuit: Circuit, what: str) -> tuple[str, ...]:
    """What can be said of a load, relay, module or module pin; nothing for anything else."""
    part = circuit.parts.get(what)
    if (load := load_named(circuit, what)) is not None:
        return LOAD_WORDS[load.kind]
    if part is not None and part.kind in CLICK_WORDS:
        return CLICK_WORDS[part.kind]
    if part is not None and part.kind == "module":
        return ("answers", NO_ANSWER)
    owner, _, pin = what.partition(".")
    module = circuit.parts.get(owner)
    if module is not None and pin in module.module_pins:
        role = module.module_pins[pin].role
        bands = tuple(b.name for b in module.module_pins[pin].bands)
        if role == "input" and bands:
            return (*bands, NO_ANSWER)
        return ("off", "on", NO_ANSWER) if role in OUTPUTS else ()
    return ()
