"""What the columns of a record mean: said once for a circuit, and remembered in the store."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from loomwise.circuit.model import Circuit
from loomwise.errors import InputError
from loomwise.evidence.items import sign_words
from loomwise.store import Store

TITLE_SIGNS = 180


@dataclass(frozen=True)
class Match:
    """What is remembered for a circuit: the column of times, names matched to pins ("" to leave
    one out), and what values mean, by name."""

    time: str = ""
    names: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, Mapping[str, str]] = field(default_factory=dict)


@dataclass(frozen=True)
class Asked:
    """What is said of a record: as ``Match``, on top of what is remembered. ``at_s`` is the moment
    that counts, in seconds from the start, None for all of it; with ``look`` nothing is entered.
    ``whole``: what is said of a name's values stands in place of what is remembered of them.
    ``uid`` names the sending, so that the same one twice enters nothing twice."""

    time: str = ""
    names: Mapping[str, str] = field(default_factory=dict)
    values: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    at_s: float | None = None
    look: bool = False
    whole: bool = False
    uid: str = ""


def asked_in_words(
    time: str, names: Sequence[str], values: Sequence[str], at_s: float | None, look: bool
) -> Asked:
    """The same from "COLUMN=MODULE.PIN" and "COLUMN:VALUE=WORD".

    Raises
    ------
    InputError : words of another shape.
    """
    told = dict(_pair(w, "--name", "'COLUMN=MODULE.PIN'") for w in names)
    means: dict[str, dict[str, str]] = {}
    for text in values:
        said, word = _pair(text, "--value", "'COLUMN:VALUE=WORD', 'COLUMN:below 60=cold'")
        name, _, value = said.partition(":")
        means.setdefault(name.strip(), {})[value.strip()] = word
    return Asked(time, told, means, at_s, look)


def _pair(text: str, where: str, shape: str) -> tuple[str, str]:
    name, equals, value = text.rpartition("=")
    if not equals or not name.strip():
        raise InputError(f"'{text[:60]}' cannot be read", where, f"write it as {shape}")
    return name.strip(), value.strip()


def matched(store: Store, circuit: Circuit, asked: Asked) -> Match:
    """What is remembered, with what is said now on top of it.

    Raises
    ------
    InputError : a pin that reports nothing, or a word that a name cannot have.
    """
    kept = remembered(store, circuit)
    names = {**kept.names, **asked.names}
    for name, what in asked.names.items():
        if what and not sign_words(circuit, what):
            raise InputError(f"'{what[:40]}' reports nothing", name, _pins(circuit))
    values = {name: dict(told) for name, told in kept.values.items()}
    for name, told in asked.values.items():
        if asked.whole:
            values[name] = {}
        allowed = sign_words(circuit, names.get(name, ""))
        for value, word in told.items():
            if word not in allowed:
                hint = f"it can be {', '.join(allowed)}" if allowed else "match the name first"
                raise InputError(f"'{word[:40]}' is no word of {name}", name, hint)
            values.setdefault(name, {})[value.casefold()] = word
    return Match(asked.time or kept.time, names, values)


def pins_of(circuit: Circuit) -> tuple[str, ...]:
    """The pins and modules whose live data say something."""
    every = [(p.id, *(f"{p.id}.{pin}" for pin in p.module_pins))
             for p in circuit.parts_of_kind("module")]  # fmt: skip
    return tuple(name for some in every for name in some if sign_words(circuit, name))


def _pins(circuit: Circuit) -> str:
    known = pins_of(circuit)
    return f"there is {', '.join(known)}" if known else "this circuit has no module that reports"


def remembered(store: Store, circuit: Circuit) -> Match:
    """What is remembered for a circuit."""
    body = store.setting(_key(circuit))
    return Match(**body) if body else Match()


def remember(store: Store, circuit: Circuit, match: Match) -> None:
    """Keep what columns mean."""
    body = {"time": match.time, "names": dict(match.names),
            "values": {n: dict(v) for n, v in match.values.items()}}  # fmt: skip
    store.set_up(_key(circuit), body)


def _key(circuit: Circuit) -> str:
    return f"columns: {circuit.title[:TITLE_SIGNS]}"
