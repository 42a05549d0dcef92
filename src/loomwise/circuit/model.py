"""The circuit as the rest of Loomwise sees it: frozen data, stable text ids, SI units.

Places are where a probe can go; every conductor is a segment between two places and belongs to
exactly one unit. A mated connector contact has two places, one each side, and is a segment of its
own, so that a fault before, in and after a plug can be told apart.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

SegmentKind = Literal["wire", "inner", "contact"]
PinRole = Literal[
    "plain", "supply", "ground", "input", "low-side", "high-side", "half-bridge",
    "sensor supply", "can-h", "can-l", "slow can-h", "slow can-l", "lin",
]  # fmt: skip
OUTPUTS = ("low-side", "high-side", "half-bridge")
"""Roles of module pins that logic, or a scan tool, switches."""
BUS_STATES = ("traffic", "recessive", "dominant")
"""What a bus of modules may stand at; traffic unless a control says otherwise."""
BODY = "body"
"""Id of the reference node: vehicle body, 0 V."""


@dataclass(frozen=True)
class Source:
    """Where the circuit was taken from. ``drawn``: "by the maker", "redrawn" or "from memory"."""

    name: str
    drawn: str


@dataclass(frozen=True)
class Unit:
    """What can be bought, repaired or replaced as one thing.

    ``minutes`` is the labour of replacing it, ``price`` that of the part in the shop's currency;
    ``access_minutes`` the time to open or reach it (0: open already); ``leave_alone`` why nobody
    measures there, a word of ``circuit/alone.py``.
    """

    id: str
    title: str
    price: float
    minutes: float
    access_minutes: float = 0.0
    leave_alone: str = ""


@dataclass(frozen=True)
class Band:
    """A named range of an input's voltage: below ``below_v`` (infinite for the last band)."""

    name: str
    below_v: float


@dataclass(frozen=True)
class ModulePin:
    """One pin of a module: its role, what it is pulled to, and an input's bands.

    ``duty`` is the share of the time a pulsed output is on, 0 if it is not pulsed; ``trip_a`` and
    ``limit_a`` are 0 where there is none. ``set_by`` names the control that says which level a
    bus stands at.
    """

    role: PinRole
    ohm: float = 0.0
    pull: Literal["up", "down", "none"] = "none"
    to_v: float = 0.0
    bands: tuple[Band, ...] = ()
    duty: float = 0.0
    trip_a: float = 0.0
    limit_a: float = 0.0
    terminator_ohm: float = 0.0
    set_by: str = ""


@dataclass(frozen=True)
class Part:
    """An electrical element with named pins; ``values`` are complete (defaults filled in), SI.

    ``positions`` maps a switch position to the pin pairs it joins, and a sensor's to nothing;
    ``ohms`` gives a sensor's resistance for each position, ``shares`` where a potentiometer's
    wiper stands, ``active`` whether the part is on. ``control`` names what sets it.
    """

    id: str
    kind: str
    unit: str
    pins: tuple[str, ...]
    values: Mapping[str, float] = field(default_factory=dict)
    options: Mapping[str, str] = field(default_factory=dict)
    fixed: bool = False
    control: str = ""
    positions: Mapping[str, tuple[tuple[str, str], ...]] = field(default_factory=dict)
    ohms: Mapping[str, float] = field(default_factory=dict)
    shares: Mapping[str, float] = field(default_factory=dict)
    active: Mapping[str, bool] = field(default_factory=dict)
    module_pins: Mapping[str, ModulePin] = field(default_factory=dict)
    line: int = 0


FILAMENTS = {"1": "power_1_w", "2": "power_2_w"}
"""Pins of a two-filament lamp and the powers of the filaments at them."""


@dataclass(frozen=True)
class Segment:
    """A conductor between two places. ``unit`` is the one thing its repair touches.

    ``wire`` is the id of the wire (the line of the file) it is a piece of; empty for a contact.
    """

    id: str
    kind: SegmentKind
    a: str
    b: str
    resistance_ohm: float
    unit: str
    wire: str = ""
    colour: str = ""
    area_mm2: float = 0.0
    length_m: float = 0.0
    loom: str = ""
    connector: str = ""
    cavity: str = ""
    line: int = 0


@dataclass(frozen=True)
class Connector:
    """Pins that come apart together. ``halves``: what owns side a and side b. ``standard`` names
    that of a trailer socket."""

    id: str
    halves: tuple[str, str]
    cavities: tuple[str, ...]
    rows: int
    minutes: float
    sealed: bool = False
    line: int = 0
    standard: str = ""


@dataclass(frozen=True)
class Place:
    """Where a probe can go: a pin or one side of a contact.

    ``method`` is how it is reached (a row of the access table); ``none`` means nobody can.
    """

    id: str
    owner: str
    pin: str
    side: Literal["", "a", "b"]
    unit: str
    title: str
    method: str
    minutes: float


@dataclass(frozen=True)
class Control:
    """What a person (or the weather) can set; ``nobody`` marks states that just happen.

    ``rest`` is the state the vehicle stands in when nothing was asked for (key off).
    """

    name: str
    states: tuple[str, ...]
    rest: str
    nobody: bool = False


@dataclass(frozen=True)
class LogicRule:
    """One rule of a module's logic, as text; ``loomwise.logic`` parses it."""

    module: str
    text: str
    line: int = 0


@dataclass(frozen=True)
class Circuit:
    """Everything taken from one diagram. All mappings keep the order of the file.

    ``positions`` are x and y of symbols that a person moved on the drawing, in pixels.
    """

    title: str
    supply_v: float
    note: str
    sources: tuple[Source, ...]
    units: Mapping[str, Unit]
    parts: Mapping[str, Part]
    segments: Mapping[str, Segment]
    connectors: Mapping[str, Connector]
    places: Mapping[str, Place]
    controls: Mapping[str, Control]
    logic: tuple[LogicRule, ...] = ()
    cautions: tuple[str, ...] = ()
    labour_per_hour: float = 90.0
    positions: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    text: str = ""
    digest: str = ""

    def parts_of_kind(self, *kinds: str) -> tuple[Part, ...]:
        """Parts of the named kinds, in file order."""
        return tuple(p for p in self.parts.values() if p.kind in kinds)

    def wire_segments(self, wire: str) -> tuple[Segment, ...]:
        """All pieces of one wire line, contacts excluded, in order."""
        return tuple(s for s in self.segments.values() if s.wire == wire)
