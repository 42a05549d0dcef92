"""The shapes of what the JSON takes; strict, so that ``false`` is never taken for 0 V."""

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

Short = Annotated[str, StringConstraints(max_length=60)]
Long = Annotated[str, StringConstraints(max_length=5000)]
Said = Annotated[str, StringConstraints(min_length=1, max_length=5000)]
Name = Annotated[str, StringConstraints(min_length=1, max_length=60)]
Uid = Annotated[str, StringConstraints(pattern=r"^[0-9a-z]{0,32}$")]
Presence = Literal["yes", "no", "unknown"]


class Taken(BaseModel):
    """Base of all: unknown words are errors. ``uid`` makes sending twice one entry."""

    model_config = ConfigDict(strict=True, extra="forbid")
    uid: Uid = Field("", description="chosen by the sender; the same one twice is one entry")

    def said(self) -> dict[str, Any]:
        """What was said, without the name of the sending."""
        return self.model_dump(exclude_unset=True, exclude={"uid"})


class IntakeIn(Taken):
    """What is known at the counter."""

    complaint: Said = Field(description="in the customer's words")
    vehicle: Name
    vin: Short = ""
    mileage_km: float | None = Field(None, ge=0, le=1e8)
    earlier: Long = Field("", description="earlier work")
    added: Long = Field("", description="added wiring")
    authorised_minutes: float | None = Field(None, ge=0, le=1e5)


class CircuitIn(Taken):
    """A circuit of the shelf by ``name``, or the ``text`` of a file of that name."""

    name: Name
    text: Annotated[str, StringConstraints(max_length=5_000_000)] = ""


class SetupIn(Taken):
    """How the vehicle stands. What is left out stays as it was."""

    setup: dict[Short, Short] = Field({}, description="controls that are not at rest")
    undone: list[Short] = Field([], max_length=100, description="'F1 out', 'C2 apart', 'BAT off'")
    opened: list[Short] = Field([], max_length=100)
    complaint: Presence = "unknown"
    condition: Short = ""


class MoveIn(Taken):
    """A symbol of the drawing and its left upper corner in pixels; no place lays it out again."""

    part: Name
    spot: Annotated[list[float], Field(min_length=2, max_length=2)] | None = None


class ItemIn(Taken):
    """What signs and readings have. What is left out is taken from how the vehicle stands."""

    setup: dict[Short, Short] = {}
    undone: list[Short] = Field([], max_length=100)
    complaint: Presence = "unknown"
    condition: Short = ""
    repaired: list[Short] = Field([], max_length=100)


class SignIn(ItemIn):
    """What was seen, heard or felt."""

    what: Name
    seen: Name


class ReadingIn(ItemIn):
    """What an instrument showed. ``value`` has its unit ("12.4 V"), or is a word."""

    red: Name
    value: Name
    instrument: Short = "voltmeter"
    black: Short = ""
    method: Short = "back-probe"
    minutes: float = Field(0.0, ge=0, le=1e4)


class CorrectionIn(Taken):
    """What an item should have said: ``value`` of a reading, ``seen`` of a sign."""

    value: Short = ""
    seen: Short = ""
    complaint: Presence = "unknown"
    condition: Short = ""


class ReasonIn(Taken):
    """Why."""

    reason: Long = ""


class CannotIn(Taken):
    """An instrument, part, plug or place; ``can`` takes it back."""

    name: Name
    can: bool = False


class DecisionIn(Taken):
    """The unit to repair; an empty one takes the decision back."""

    unit: Short
    words: Long = ""


class NoteIn(Taken):
    """A note."""

    words: Said
