"""Types of the values in a circuit file: names, and quantities read into base units."""

import re
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, GetCoreSchemaHandler, WithJsonSchema
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from loomwise.circuit.kinds.tables import access_methods, sockets
from loomwise.errors import QuantityError
from loomwise.units import format_quantity, parse_quantity

MAX_SUPPLY_V = 60.0
"""Above this, direct voltage is dangerous to touch (limit of class B in UN R100, from memory)."""
MAX_CAVITIES = 500
MAX_LIST = 500
_WORD_SCHEMA: dict[str, Any] = {"type": ["string", "number", "boolean"]}
"""What other YAML readers make of a word: 15 becomes a number, "on" perhaps a boolean."""


def wrong(what: str, hint: str) -> PydanticCustomError:
    """An error in our words, for a validator to raise."""
    return PydanticCustomError("ours", "{what}", {"what": what, "hint": hint})


@dataclass(frozen=True)
class Quantity:
    """A number with its unit, read into the base unit; the range is inclusive."""

    unit: str
    minimum: float
    maximum: float

    def read(self, text: Any) -> float:
        """The number in base units."""
        try:
            value = parse_quantity(text, self.unit)
        except QuantityError as error:
            raise wrong(error.message, error.hint) from None
        if not self.minimum <= value <= self.maximum:
            raise wrong(f"{str(text)[:40]} is out of range", f"write {self.range_words}")
        return value

    @property
    def range_words(self) -> str:
        """The range as a person reads it."""
        least, most = (format_quantity(v, self.unit) for v in (self.minimum, self.maximum))
        return f"{least} to {most}"

    def __get_pydantic_core_schema__(self, _: Any, __: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, _: Any, __: Any) -> dict[str, Any]:
        return {"type": ["string", "number"], "description": f"{self.range_words}"}


@dataclass(frozen=True)
class Like:
    """A text of one line that matches ``pattern``; ``words`` say so."""

    pattern: str
    words: str

    def read(self, text: Any) -> str:
        """The text itself."""
        if not isinstance(text, str):
            raise wrong("a text is needed here", self.words)
        if re.fullmatch(self.pattern, text) is None:
            raise wrong(f"'{text[:40]}' cannot stand here", self.words)
        return text

    def __get_pydantic_core_schema__(self, _: Any, __: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, _: Any, __: Any) -> dict[str, Any]:
        return {**_WORD_SCHEMA, "description": self.words}


def _count_or_names(value: object) -> object:
    if not isinstance(value, str):
        return value
    if re.fullmatch(r"[0-9]{1,9}", value) is None or not 1 <= int(value) <= MAX_CAVITIES:
        hint = f"write a count from 1 to {MAX_CAVITIES}, or a list of names"
        raise wrong(f"'{value[:40]}' is no number of cavities", hint)
    return [str(number) for number in range(1, int(value) + 1)]


_METHODS = ", ".join(access_methods())

Text = Annotated[str, Field(max_length=5000), WithJsonSchema(_WORD_SCHEMA)]
Name = Annotated[str, Like(r"\S(.{0,58}\S)?", "a name is one line of 1 to 60 characters")]
Id = Annotated[str, Like(r"\w{1,30}", "an id is made of letters, digits and _, such as K1")]
Pin = Annotated[str, Like(r"[\w+\-]{1,30}", "pins are made of letters, digits, + - and _")]
State = Annotated[
    str, Like(r"\w([\w +\-]{0,28}[\w+\-])?", "states are made of letters, digits and blanks")
]
Pair = Annotated[str, Like(r"[\w+]{1,30}-[\w+]{1,30}", "a hyphen joins two pins, as in 30-15")]
Method = Annotated[
    str,
    Like("|".join(access_methods()), f"the ways to reach a place are {_METHODS}"),
    WithJsonSchema({"enum": list(access_methods())}),
]
Standard = Annotated[
    str,
    Like("|".join(sockets()), f"the trailer sockets are {', '.join(sockets())}"),
    WithJsonSchema({"enum": list(sockets())}),
]
Cavities = Annotated[
    list[Pin],
    Field(min_length=1, max_length=MAX_CAVITIES),
    BeforeValidator(_count_or_names),
    WithJsonSchema({"type": ["integer", "array"], "description": "how many, or their names"}),
]
Minutes = Annotated[float, Quantity("min", 0, 10_000)]
Price = Annotated[float, Quantity("-", 0, 10_000_000)]
Pixels = Annotated[float, Quantity("-", 0, 100_000)]
Position = Annotated[list[Pixels], Field(min_length=2, max_length=2)]
Ohm = Annotated[float, Quantity("ohm", 0.0001, 1e9)]
Share = Annotated[float, Quantity("-", 0, 1)]
Celsius = Annotated[float, Quantity("C", -40, 150)]
Amp = Annotated[float, Quantity("A", 0.001, 500)]
Volt = Annotated[float, Quantity("V", 0, MAX_SUPPLY_V)]
