"""What stands outside jobs, as JSON: standing draw, wire, test sheet."""

from typing import Annotated, Any

from fastapi import APIRouter
from pydantic import BaseModel, ConfigDict, Field

from loomwise.usecases.shape import to_json
from loomwise.usecases.sheet import sheet_of
from loomwise.usecases.shelf import shelf_circuit
from loomwise.usecases.standing_draw import Words, standing_draw
from loomwise.usecases.wire import Wanted, wire
from loomwise.web.models import Name, Short

router = APIRouter()
Line = Annotated[str, Field(max_length=200)]


class _Question(BaseModel):
    """Base of all: unknown words are errors."""

    model_config = ConfigDict(strict=True, extra="forbid")


class DrawIn(_Question):
    """What was read. What is left out is taken as usual."""

    clamps: list[Line] = Field(
        max_length=100, description="whole current, first first: '0.45 A after 45 min'"
    )
    fuses: list[Line] = Field(
        [], max_length=200, description="'F12 10 A 2.1 mV mini behind F1 feeds radio'"
    )
    battery: Short = Field("", description="capacity, '70 Ah'")
    charge: Short = Field("", description="charge now, '80 %'")
    allowed: Short = Field("", description="what is usual asleep; 50 mA unless told")
    asleep: Short = Field("", description="how long it takes to sleep; 40 min unless told")


class WireIn(_Question):
    """What the wire has to do. Without ``size`` one is chosen."""

    current: Name = Field(description="for good, '10 A'")
    length: Name = Field(description="all the wire it goes through, there and back, '5 m'")
    supply: Short = "12 V"
    drop: Short = Field("3 %", description="what may be lost, '3 %' or '0.3 V'")
    bundle: int = Field(1, ge=1, le=1000, description="wires together that carry current at once")
    temperature: Short = Field("30 C", description="of the air around it")
    insulation: Short = Field("100 C", description="what its insulation stands")
    size: Short = Field("", description="judge this wire, '2.5 mm2' or '14 AWG'")
    fuse: Short = Field("", description="judge this fuse on it, '15 A'")
    awg: bool = Field(False, description="choose among American gauges")


class SheetIn(_Question):
    """A circuit of the shelf, and the setups; none: one for each thing the circuit does."""

    circuit: Name
    setups: list[Line] = Field([], max_length=40, description="'key=run, AC=on'")
    undo: list[Line] = Field([], max_length=100, description="undone in all, 'F1 out'")


@router.post("/standing-draw")
def standing_draw_json(given: DrawIn) -> dict[str, Any]:
    """Find what empties the battery while the vehicle stands."""
    told = given.model_dump()
    words = Words(tuple(told.pop("clamps")), tuple(told.pop("fuses")), **told)
    return to_json(standing_draw(words))


@router.post("/wire")
def wire_json(given: WireIn) -> dict[str, Any]:
    """Choose a wire and its fuse, or judge the given ones."""
    return to_json(wire(Wanted(**given.model_dump())))


@router.post("/sheet")
def sheet_json(given: SheetIn) -> dict[str, Any]:
    """The volts to expect at every place a probe can reach, setup by setup."""
    return to_json(sheet_of(shelf_circuit(given.circuit), given.setups, given.undo))
