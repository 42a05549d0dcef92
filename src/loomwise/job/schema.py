"""The form of a job file: what may stand where. Values stay text until they are understood."""

from typing import Any

from pydantic import BaseModel, ConfigDict, Field


class _Entry(BaseModel):
    model_config = ConfigDict(extra="forbid", populate_by_name=True)


class VehicleEntry(_Entry):
    """The vehicle."""

    name: str = Field(description="what the shop calls it")
    mileage: str | None = Field(None, description="such as '184000 km'")


class _SetupEntry(_Entry):
    setup: str | dict[str, str] = Field("", description="controls not at rest: 'key=run, AC=on'")
    undone: list[str] = Field(default_factory=list, description="'F1 out', 'C2 apart', 'F1 new'")
    after: list[str | dict[str, str]] = Field(
        default_factory=list, description="control states gone through before, in order"
    )


class _ItemEntry(_SetupEntry):
    id: str | None = Field(None, description="S1, R1 ... by order if left out")
    complaint: str = Field("unknown", description="whether the complaint was there: yes, no")
    withdrawn: str | None = Field(None, description="the reason, if it no longer counts")


class SignEntry(_ItemEntry):
    """What was seen without an instrument."""

    what: str = Field(description="a load, relay, module or module pin")
    seen: str = Field(description="what it did, such as off, slow, dim, pulled")


class ReadingEntry(_ItemEntry):
    """What an instrument showed."""

    instrument: str = Field("voltmeter", description="voltmeter, test lamp, clamp, ohmmeter, look")
    red: str = Field(description="place of the red tip, or what was looked at or clamped")
    black: str | None = Field(None, description="place of the black tip; battery minus if left out")
    value: str = Field(description="'12.4 V', or a word: wandering, dim, blown")
    method: str = Field("back-probe", description="how the red tip got there")


class JobEntry(_Entry):
    """A job file."""

    format: str = Field("1", description="1")
    complaint: str = Field(description="in the customer's words")
    vehicle: VehicleEntry
    circuit: str = Field(description="a name on the shelf, or a file beside the job")
    instruments: list[str] = Field(default_factory=list, description="what is at hand")
    opened: list[str] = Field(default_factory=list, description="parts and plugs laid open")
    here: _SetupEntry = Field(
        default_factory=lambda: _SetupEntry.model_validate({}), description="how the vehicle stands"
    )
    signs: list[SignEntry] = Field(default_factory=list)
    readings: list[ReadingEntry] = Field(default_factory=list)


def job_schema() -> dict[str, Any]:
    """The JSON Schema of a job file."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **JobEntry.model_json_schema(),
    }
