"""The entries of a job file as they are written, and the JSON Schema of the format."""

from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema

from loomwise.circuit.entry_types import MAX_LIST, Id, Method, Name, Quantity, State, Text, wrong
from loomwise.errors import InputError
from loomwise.evidence.items import AT_HAND, Instrument
from loomwise.job.vin import read_vin

Presence = Annotated[
    Literal["yes", "no", "unknown"], WithJsonSchema({"enum": ["yes", "no", "unknown", True, False]})
]
AtHand = Literal[
    "voltmeter", "test lamp", "clamp", "ohmmeter", "ripple meter", "duty meter", "look", "scan tool"
]
assert AtHand.__args__ == AT_HAND  # type: ignore[attr-defined]
Controls = Text | dict[State, State]
MAX_ITEMS = 2000


def _vin(text: object) -> str:
    try:
        return read_vin(str(text))
    except InputError as error:
        raise wrong(error.message, error.hint) from None


class Entry(BaseModel):
    """Base of all entries: a word that is not known is an error."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class VehicleEntry(Entry):
    """The vehicle."""

    name: Text = Field(description="what the shop calls it")
    mileage_km: Annotated[float, Quantity("-", 0, 1e8)] | None = Field(
        None, description="kilometres on the clock"
    )
    vin: Annotated[str, BeforeValidator(_vin)] | None = Field(
        None, description="17 signs; the check digit must be right where the market uses one"
    )


class SetupEntry(Entry):
    """How the vehicle stands. Controls that are not named are at rest."""

    setup: Controls = Field("", description="'key=run, AC=on', or a name from 'setups'")
    undone: Annotated[list[Text], Field(max_length=MAX_LIST)] = Field(
        [], description="'F1 out', 'C2 apart', 'F1 new', 'BAT off', 'jumper A to B'"
    )
    after: Annotated[list[Controls], Field(max_length=MAX_LIST)] = Field(
        [], description="control states gone through before, in order"
    )


class ItemEntry(SetupEntry):
    """What all signs and readings have."""

    id: Id | None = Field(None, description="S1, S2 ... or R1, R2 ... by order if left out")
    complaint: Presence = Field("unknown", description="whether the complaint was there then")
    condition: Text = Field("", description="what else held then: hot, wet, on a bumpy road")
    repaired: Annotated[list[Name], Field(max_length=MAX_LIST)] = Field(
        [], description="units repaired before it was taken"
    )
    withdrawn: Text | None = Field(None, description="the reason, if it no longer counts")


class SignEntry(ItemEntry):
    """What was seen, heard or felt, or what a module reports."""

    what: Name = Field(description="a load, relay, module, or a module's pin")
    seen: Name = Field(description="what it did, such as off, slow, dim, pulled")


class ReadingEntry(ItemEntry):
    """What an instrument showed."""

    instrument: Instrument = "voltmeter"
    red: Name = Field(description="place of the red tip, or what was clamped or looked at")
    black: Name | None = Field(None, description="place of the black tip; battery minus if absent")
    value: Text = Field(description="'12.4 V', or a word: wandering, dim, blown, OL")
    method: Method = Field("back-probe", description="how the red tip got there")


class EndingEntry(Entry):
    """How a job that is over ended, for those who learn from it."""

    verdict: Literal["proven", "best bet", "not separable", "not explained", "as designed"]
    units: Annotated[list[Name], Field(max_length=MAX_LIST)] = Field(
        [], description="what was repaired"
    )
    found: Text = Field("", description="the fault, by its name in `predict --faults`, or in words")


class JobEntry(Entry):
    """One complaint on one vehicle, and what was seen and read so far."""

    format: Annotated[Literal["1"], WithJsonSchema({"enum": [1, "1"]})]
    complaint: Text = Field(description="in the customer's words")
    vehicle: VehicleEntry
    circuit: Name = Field(description="a name on the shelf, or a file beside the job")
    instruments: list[AtHand] = Field([], description="at hand; all of them if absent")
    opened: list[Name] = Field([], description="parts and connectors that are laid open")
    cannot: Annotated[list[Name], Field(max_length=MAX_LIST)] = Field(
        [], description="instruments, parts, connectors and places that cannot or will not be used"
    )
    authorised: Annotated[float, Quantity("min", 0, 1e5)] | None = Field(
        None, description="testing time that the customer has authorised: 60 min"
    )
    spent: Annotated[float, Quantity("min", 0, 1e5)] = Field(
        0.0, description="testing time used so far"
    )
    earlier: Text = Field("", description="work done on it before")
    added: Text = Field(
        "", description="what was added to its wiring, and where: 'switch across S1, 30 A in F4'"
    )
    other_drawing: Name | None = Field(
        None, alias="other drawing", description="a second circuit file of the same circuit"
    )
    differs: Annotated[list[Text], Field(max_length=MAX_LIST)] = Field(
        [], description="what another drawing has otherwise: 'exchange C1.2 and C1.3'"
    )
    setups: dict[State, Controls] = Field({}, description="names for setups used often")
    here: Text | SetupEntry = Field("", description="how the vehicle stands now")
    signs: Annotated[list[Text | SignEntry], Field(max_length=MAX_ITEMS)] = Field(
        [], description="or in a line: WHAT SEEN[, in SETUP][, CONTROL=STATE]..."
    )
    readings: Annotated[list[Text | ReadingEntry], Field(max_length=MAX_ITEMS)] = Field(
        [], description="or in a line: volts RED [to BLACK] VALUE[, in SETUP]..."
    )
    ending: EndingEntry | None = Field(None, description="how it ended, once it is over")


def job_schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of the job file, for editors and other programs."""
    schema = JobEntry.model_json_schema(by_alias=True)
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    schema["title"] = "Loomwise job file, format 1"
    return schema
