"""The entries of a circuit file as they are written, and the JSON Schema of the format.

What an entry means together with the others (pins that exist, units that are declared) is for
``build`` and ``check``. The values of each part kind come from the kinds' table.
"""

import re
from functools import reduce
from operator import or_
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, GetCoreSchemaHandler, WithJsonSchema
from pydantic import create_model as make_model
from pydantic_core import CoreSchema

from loomwise.circuit.entry_types import (
    MAX_LIST,
    Amp,
    Cavities,
    Celsius,
    Id,
    Method,
    Minutes,
    Name,
    Ohm,
    Pair,
    Pin,
    Position,
    Price,
    Quantity,
    Share,
    Standard,
    State,
    Text,
    Volt,
)
from loomwise.circuit.kinds.tables import Kind, Value, kinds
from loomwise.circuit.model import PinRole

YesNo = Annotated[Literal["yes", "no"], WithJsonSchema({"enum": ["yes", "no", True, False]})]


class Entry(BaseModel):
    """Base of all entries: a word that is not known is an error."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class SourceEntry(Entry):
    """Where the circuit was taken from."""

    name: Text
    drawn: Literal["by the maker", "redrawn", "from memory"]


LeaveAlone = Literal["", "airbag", "ignition", "injector", "xenon", "high voltage"]


class UnitEntry(Entry):
    """What can be bought or replaced as one thing."""

    price: Price = Field(description="price of the part in the shop's currency")
    minutes: Minutes = Field(description="labour of replacing it")
    reach: Minutes = Field(0.0, description="time to open or get at it")
    leave_alone: LeaveAlone = Field(
        "", alias="leave alone", description="why nobody measures there: no test is proposed"
    )


class ConnectorEntry(Entry):
    """Pins that come apart together. Each half belongs to a unit or to a loom."""

    halves: Annotated[list[Name], Field(min_length=2, max_length=2)]
    cavities: Cavities | None = None
    standard: Standard | None = Field(None, description="of a trailer socket: gives its cavities")
    rows: Annotated[int, Field(ge=1, le=20)] = 1
    minutes: Minutes = Field(2.0, description="time to get at it and part it")
    access: Method | None = Field(None, description="how a probe reaches its contacts")


class ControlEntry(Entry):
    """What a person can set; ``set by: nobody`` where it just happens."""

    states: Annotated[list[State], Field(min_length=2, max_length=50)]
    rest: State = Field(description="the state when nothing was asked for")
    set_by: Literal["somebody", "nobody"] = Field("somebody", alias="set by")


class ModulePinEntry(Entry):
    """One pin of a module. It may be pulled up or down: an input, or an output that is biased while
    it is off. Which further words go with which role: see ``PIN_WORDS``."""

    role: PinRole
    pull: Literal["up", "down", "none"] = "none"
    to: Volt | None = Field(
        None, description="voltage it is pulled to (nominal supply if absent), or gives (5 V)"
    )
    resistance: Ohm | None = Field(None, description="of the pull-up or pull-down, or inside")
    bands: list[Text] = Field([], max_length=30, description="such as 'hot below 0.75 V'")
    duty: Share | None = Field(None, description="of a pulsed output: share of the time it is on")
    trip: Amp | None = Field(None, description="current at which an output switches itself off")
    limit: Amp | None = Field(None, description="most that a sensor supply gives")
    terminator: Ohm | None = Field(None, description="between CAN_H and CAN_L inside the module")
    set_by: Name = Field("", alias="set by", description="control: traffic, recessive or dominant")


PIN_WORDS: dict[str, tuple[str, ...]] = {
    **dict.fromkeys(("low-side", "high-side", "half-bridge"), ("duty", "trip", "to", "resistance")),
    "input": ("to", "resistance", "bands"),
    "sensor supply": ("to", "resistance", "limit"),
    "can-h": ("terminator", "set_by"),
    "slow can-h": ("terminator", "set_by"),
    "lin": ("resistance", "set_by"),
}
"""Words beside role and pull that may stand at a pin, by its role."""


class PartEntry(Entry):
    """What all parts have: a kind, the unit they sit in, and how a probe reaches them."""

    kind: str
    in_: Name = Field(alias="in", description="unit (or, for a splice, loom) it sits in")
    access: Method | None = Field(None, description="how a probe reaches its pins")


class LegsEntry(PartEntry):
    """Several wires joined; every leg is named. A unit of its own unless it sits in one."""

    in_: Name = Field("", alias="in", description="unit or loom it sits in")
    pins: Annotated[list[Pin], Field(min_length=1, max_length=MAX_LIST)]


class GroundEntry(LegsEntry):
    """Wires under one stud. Engine, frame and trailer are metals of their own; a strap is a wire
    from a ground point in the one to a ground point in the other."""

    metal: Literal["body", "engine", "frame", "trailer"] = "body"


class PlugInEntry(PartEntry):
    """A part that plugs in and is a unit of its own, unless it is fixed."""

    fixed: YesNo = Field("no", description="soldered in: part of the unit it sits in")


class RelayEntry(PlugInEntry):
    """A relay and what its contact does."""

    contact: Literal["NO", "NC", "change-over"]
    suppression: Literal["none", "resistor", "diode"] = "none"


class SwitchEntry(PartEntry):
    """A switch: for each state of its control, the pairs of pins it joins."""

    pins: Annotated[list[Pin], Field(min_length=2, max_length=MAX_LIST)]
    set_by: Name = Field(alias="set by")
    positions: dict[State, list[Pair]]


class SensorEntry(PartEntry):
    """A resistance for each state of its control."""

    set_by: Name = Field(alias="set by")
    ohms: dict[State, Ohm]


class WhileEntry(PartEntry):
    """A part that is on (turning, closed, parked) in some states of its control."""

    set_by: Name = Field(alias="set by")
    while_: Annotated[list[State], Field(min_length=1, max_length=50)] = Field(
        alias="while", description="the control's states in which it is on"
    )


class PlugInWhileEntry(PlugInEntry, WhileEntry):
    """The same of a part that plugs in."""


class BreakerEntry(PlugInEntry):
    """What closes it again: itself when it has cooled, taking the load away, or a hand."""

    reset: Literal["cycling", "held", "by hand"] = "cycling"


class ZenerEntry(PartEntry):
    """Breaks down one way, or both ways alike."""

    both_ways: YesNo = Field("no", alias="both ways")


class NtcEntry(PartEntry):
    """A temperature for each state of its control."""

    set_by: Name = Field(alias="set by")
    temperatures: dict[State, Celsius]


class PotentiometerEntry(PartEntry):
    """Where the wiper stands for each state of its control, as a share of the way from - to +."""

    set_by: Name = Field(alias="set by")
    shares: dict[State, Share]


class ModuleEntry(PartEntry):
    """A control module, and what each of its pins is."""

    pins: Annotated[dict[Pin, ModulePinEntry], Field(min_length=1)]


_BASES: dict[str, type[PartEntry]] = {
    **{"splice": LegsEntry, "ground": GroundEntry, "zener": ZenerEntry, "breaker": BreakerEntry},
    **dict.fromkeys(("fuse", "split-charge relay"), PlugInEntry),
    **{"relay": RelayEntry, "switch": SwitchEntry, "flasher": PlugInWhileEntry},
    **dict.fromkeys(("charging source", "park switch"), WhileEntry),
    **dict.fromkeys(("sensor", "ladder switch"), SensorEntry),
    **{"NTC": NtcEntry, "potentiometer": PotentiometerEntry, "module": ModuleEntry},
}


def key_of(kind: str, value: Value) -> str:
    """The word for a value in the file: ``pull_in_v`` is written "pull in".

    Where an option has that word already, as a relay's contact: "contact resistance".
    """
    key = re.sub(r"_(a|v|ohm|w|f|c)$", "", value.name).replace("_", " ")
    return f"{key} resistance" if key in _BASES.get(kind, PartEntry).model_fields else key


def _value_field(kind: str, value: Value) -> tuple[Any, Any]:
    kept: Any = Annotated[float, Quantity(value.unit, value.minimum, value.maximum)]
    alias, meaning = key_of(kind, value), value.meaning
    if value.required:
        return kept, Field(alias=alias, description=meaning)
    return kept | None, Field(None, alias=alias, description=meaning)


def _part_model(kind: Kind) -> type[PartEntry]:
    """The entry of one kind: what all such parts have, and the values of its table."""
    fields: dict[str, Any] = {value.name: _value_field(kind.name, value) for value in kind.values}
    fields["kind"] = (Literal[kind.name], ...)
    name = kind.title.title().replace(" ", "").replace("-", "")
    return make_model(
        f"{name}Entry", __base__=_BASES.get(kind.name, PartEntry), __doc__=kind.text, **fields
    )


PART_MODELS: dict[str, type[PartEntry]] = {k.name: _part_model(k) for k in kinds().values()}


class _ByKind:
    """Marks a part entry that is one of ``PART_MODELS``, told apart by its kind."""

    def __get_pydantic_core_schema__(self, _: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        union = reduce(or_, PART_MODELS.values())
        return handler.generate_schema(Annotated[union, Field(discriminator="kind")])


class CircuitEntry(Entry):
    """Everything taken from one wiring diagram."""

    format: Annotated[Literal["1"], WithJsonSchema({"enum": [1, "1"]})]
    title: Text
    supply: Annotated[float, Quantity("V", 0.001, 1e6)] = Field(description="nominal supply")
    temperature: Celsius = Field(
        20.0, description="of wires and unlit filaments; it sets their resistance"
    )
    note: Text = Field("", description="how the circuit works, in words")
    sources: Annotated[list[SourceEntry], Field(max_length=MAX_LIST)] = []
    labour: Price = Field(90.0, description="price of an hour")
    cautions: Annotated[list[Text], Field(max_length=MAX_LIST)] = []
    units: dict[Name, UnitEntry] = {}
    connectors: dict[Id, ConnectorEntry] = {}
    controls: dict[State, ControlEntry] = {}
    parts: dict[Id, Annotated[PartEntry, _ByKind()]]
    wires: list[Text] = Field(
        description="one wire a line: A to B [to C ...][, COLOUR SIZE][, LENGTH][, in LOOM]"
    )
    logic: dict[Id, list[Text]] = Field({}, description="for each module, its rules")
    positions: dict[Id, Position] = Field(
        {}, description="symbols moved by hand: x and y on the drawing, in pixels"
    )


def circuit_schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of the circuit file, for editors and other programs."""
    schema = CircuitEntry.model_json_schema(by_alias=True)
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    schema["title"] = "Loomwise circuit file, format 1"
    return schema
