"""Loads the kinds tables once. The only place that reads them."""

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib import resources


@dataclass(frozen=True)
class Value:
    """One value of a kind. ``default`` is None where the file must give it or code derives it.

    ``per_volt``: the default is multiplied by the circuit's nominal supply voltage.
    """

    name: str
    unit: str
    default: float | None
    per_volt: bool
    minimum: float
    maximum: float
    meaning: str
    source: str

    @property
    def required(self) -> bool:
        """Whether the circuit file has to give it."""
        return self.source.startswith("required")

    def default_for(self, supply_v: float) -> float | None:
        """The default in a circuit of the given nominal supply."""
        if self.default is None:
            return None
        return self.default * supply_v if self.per_volt else self.default


@dataclass(frozen=True)
class Kind:
    """A row of the kinds table. ``pins`` is empty where the file names them; ``example`` is how
    one is written."""

    name: str
    title: str
    pins: tuple[str, ...]
    many_wires: bool
    load: bool
    text: str
    values: tuple[Value, ...]
    example: str = ""

    def value(self, name: str) -> Value | None:
        """The named value, or None."""
        return next((v for v in self.values if v.name == name), None)


def _rows(table: str) -> Iterator[dict[str, str]]:
    text = resources.files(__package__).joinpath(table).read_text(encoding="utf-8")
    yield from csv.DictReader(text.splitlines())


def _value(row: dict[str, str]) -> Value:
    return Value(
        name=row["name"],
        unit=row["unit"],
        default=float(row["default"]) if row["default"] else None,
        per_volt=row["per_volt"] == "yes",
        minimum=float(row["minimum"]),
        maximum=float(row["maximum"]),
        meaning=row["meaning"],
        source=row["source"],
    )


@cache
def kinds() -> dict[str, Kind]:
    """All part kinds by name, in table order."""
    values: dict[str, list[Value]] = {}
    for row in _rows("values.csv"):
        values.setdefault(row["kind"], []).append(_value(row))
    return {
        row["kind"]: Kind(
            name=row["kind"],
            title=row["title"],
            pins=() if row["pins"] == "*" else tuple(row["pins"].split()),
            many_wires=row["many_wires"] == "yes",
            load=row["load"] == "yes",
            text=row["text"],
            values=tuple(values.get(row["kind"], ())),
            example=row["example"],
        )
        for row in _rows("kinds.csv")
    }


@dataclass(frozen=True)
class Access:
    """How a place is reached: minutes, chance of a missed contact, harm in minutes' worth."""

    name: str
    minutes: float
    missed: float
    harm_minutes: float
    title: str


@cache
def access_methods() -> dict[str, Access]:
    """All ways to reach a place, by name."""
    return {
        r["method"]: Access(
            r["method"], float(r["minutes"]), float(r["missed"]), float(r["harm_minutes"]),
            r["title"],
        )
        for r in _rows("access.csv")
    }  # fmt: skip


@dataclass(frozen=True)
class UnitDefault:
    """What a unit that no file declares costs: part in the shop's currency, labour in minutes."""

    price: float
    minutes: float


@cache
def unit_defaults() -> dict[str, UnitDefault]:
    """Defaults for wires, contacts, splices, grounds, fuses and relays, by that word."""
    return {
        row["kind"]: UnitDefault(float(row["price"]), float(row["minutes"]))
        for row in _rows("unit_defaults.csv")
    }


@dataclass(frozen=True)
class Sense:
    """What a person says of a kind: ``measure`` is what the levels of ``steps`` are of, each word
    holding below its level. A ``click`` has words and no levels."""

    measure: str
    steps: tuple[tuple[float, str], ...]

    @property
    def words(self) -> tuple[str, ...]:
        """The words, in the order of the levels."""
        return tuple(word for _, word in self.steps)


BEYOND = 9e9
"""Level that the last word holds below. [-]"""


@cache
def senses() -> dict[str, Sense]:
    """What is seen, heard or felt of each kind that shows anything."""
    return {row["kind"]: Sense(row["measure"], _steps(row)) for row in _rows("senses.csv")}


def _steps(row: dict[str, str]) -> tuple[tuple[float, str], ...]:
    if row["measure"] == "click":
        return tuple((float(n), word) for n, word in enumerate(row["words"].split()))
    words = re.split(r"\s+([0-9.]+)\s+", row["words"])
    levels = [*map(float, words[1::2]), BEYOND]
    return tuple(zip(levels, words[::2], strict=True))


@cache
def load_kinds() -> tuple[str, ...]:
    """Kinds that a circuit is there for, and that a person sees, hears or feels work."""
    return tuple(k.name for k in kinds().values() if k.load)


@dataclass(frozen=True)
class SocketPin:
    """One contact of a trailer socket: terminal by DIN 72552 where it has one, what it is for, and
    the colour of its wire (IEC 60757)."""

    pin: str
    terminal: str
    function: str
    colour: str
    source: str


@cache
def sockets() -> dict[str, tuple[SocketPin, ...]]:
    """The trailer sockets by their standard."""
    found: dict[str, tuple[SocketPin, ...]] = {}
    for r in _rows("sockets.csv"):
        pin = SocketPin(r["pin"], r["terminal"], r["function"], r["colour"], r["source"])
        found[r["standard"]] = (*found.get(r["standard"], ()), pin)
    return found
