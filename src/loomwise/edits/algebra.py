"""The edits. ``branch`` and ``device`` are the text ids the solver's network uses."""

from collections.abc import Iterable
from dataclasses import astuple, dataclass


@dataclass(frozen=True)
class AddOhm:
    """Put ``ohm`` in series with a linear branch: corrosion, a burnt contact."""

    branch: str
    ohm: float


@dataclass(frozen=True)
class SetOhm:
    """Give a linear branch this resistance: a drifted sensor, another fuse."""

    branch: str
    ohm: float


@dataclass(frozen=True)
class Open:
    """Part a branch: a broken wire, a fuse pulled, a plug apart."""

    branch: str


@dataclass(frozen=True)
class Scale:
    """Multiply a branch's current at every voltage: another bulb, a tight bearing."""

    branch: str
    factor: float


@dataclass(frozen=True)
class SetEmf:
    """Give a source branch this EMF: a weak battery."""

    branch: str
    emf_v: float


@dataclass(frozen=True)
class Bridge:
    """Join two places (or a place and ``body``) by ``ohm``, with an EMF if it is a source."""

    a: str
    b: str
    ohm: float
    emf_v: float = 0.0


@dataclass(frozen=True)
class BridgeLamp:
    """Hang a filament lamp between two places: a test lamp."""

    a: str
    b: str
    power_w: float
    rated_v: float


@dataclass(frozen=True)
class Hold:
    """Keep a device in one state: a welded contact, a stuck output, a blown fuse."""

    device: str
    state: str


@dataclass(frozen=True)
class Limit:
    """Multiply one of a device's limits, counted from 0: another fuse, a sticking relay."""

    device: str
    index: int
    factor: float


@dataclass(frozen=True)
class Ease:
    """A vehicle whose relays switch at ``factor`` times their nominal coil current."""

    factor: float


Edit = AddOhm | SetOhm | Open | Scale | SetEmf | Bridge | BridgeLamp | Hold | Limit | Ease


def key(edits: Iterable[Edit]) -> str:
    """One text for a composition, the same for every order of the same edits."""
    return " + ".join(sorted({_word(e) for e in edits}))


def canonical(edits: Iterable[Edit]) -> tuple[Edit, ...]:
    """The edits without repeats, in the order of their words."""
    return tuple(sorted(set(edits), key=_word))


def _word(edit: Edit) -> str:
    fields = " ".join(f"{f:.9g}" if isinstance(f, float) else str(f) for f in astuple(edit))
    return f"{type(edit).__name__} {fields}"
