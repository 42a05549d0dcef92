"""The part kinds: pins, values with units and defaults, and what can break in them."""

from dataclasses import dataclass

from loomwise.circuit.explain import nearest
from loomwise.circuit.kinds.tables import Kind, kinds
from loomwise.circuit.schema import key_of
from loomwise.errors import InputError
from loomwise.faults.tables import Mode, modes

BREAKS_AS = {
    **dict.fromkeys(("lamp", "two-filament lamp", "heater", "horn", "solenoid"), ("load",)),
    **dict.fromkeys(("motor", "reversible motor", "two-speed motor"), ("motor",)),
    **{"NTC": ("sensor",), "ladder switch": ("sensor", "switch"), "PTC": ("breaker",)},
    **{"split-charge relay": ("relay",), "starter solenoid": ("starter solenoid", "relay")},
    **{"flasher": ("flasher", "switch"), "park switch": ("park switch", "switch")},
    "LED": ("LED", "load"),
    "splice": ("splice", "inner"),
    "ground": ("ground", "ground leg"),
}
"""The rows of the modes table that hold for a kind, where they are not its own name."""
CONDUCTORS = ("wire", "inner", "contact", "connector", "loom")


@dataclass(frozen=True)
class ValueShown:
    """A value of a kind as the file writes it (``key``), in base units of ``unit``.

    ``default`` is None where the file must give it (``required``) or where it is derived;
    ``per_volt`` defaults are multiplied by the nominal supply.
    """

    key: str
    unit: str
    required: bool
    default: float | None
    per_volt: bool
    minimum: float
    maximum: float
    meaning: str
    source: str


@dataclass(frozen=True)
class ModeShown:
    """A fault mode: ``percent`` is the share its class has among what jobs turn out to be."""

    mode: str
    title: str
    percent: float
    source: str


@dataclass(frozen=True)
class KindShown:
    """A part kind. ``pins`` is empty where the file names them; ``example`` is a line of a file."""

    name: str
    title: str
    text: str
    pins: tuple[str, ...]
    values: tuple[ValueShown, ...]
    faults: tuple[ModeShown, ...]
    example: str


@dataclass(frozen=True)
class KindList:
    """The kinds asked for; ``conductors`` are what can break in wires, traces and contacts."""

    kinds: tuple[KindShown, ...]
    conductors: dict[str, tuple[ModeShown, ...]]


def list_kinds(name: str | None = None) -> KindList:
    """All kinds, or the one named.

    Raises
    ------
    InputError : there is no such kind.
    """
    known = kinds()
    if name is not None and name not in known:
        hint = nearest(name, known, "kinds")
        raise InputError(f"there is no part kind '{name[:40]}'", hint=hint)
    chosen = known.values() if name is None else [known[name]]
    conductors = {word: _modes((word,)) for word in CONDUCTORS} if name is None else {}
    return KindList(tuple(_kind(k) for k in chosen), conductors)


def _kind(kind: Kind) -> KindShown:
    values = tuple(
        ValueShown(
            key_of(kind.name, v), v.unit, v.required, v.default, v.per_volt,
            v.minimum, v.maximum, v.meaning, v.source,
        )
        for v in kind.values
    )  # fmt: skip
    breaks = _modes(BREAKS_AS.get(kind.name, (kind.name,)))
    return KindShown(kind.name, kind.title, kind.text, kind.pins, values, breaks, kind.example)


def _modes(applies: tuple[str, ...]) -> tuple[ModeShown, ...]:
    return tuple(_shown(m) for m in modes() if m.applies in applies)


def _shown(m: Mode) -> ModeShown:
    return ModeShown(m.mode, m.title, m.percent, m.source)
