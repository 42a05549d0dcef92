"""A circuit while it grows: parts, units, plugs, wires and controls."""

from collections.abc import Mapping
from copy import copy
from dataclasses import dataclass, field

from loomwise.generate.dice import Dice
from loomwise.generate.words import (
    BOXES,
    COSTS,
    LENGTHS_M,
    LOOMS,
    OTHER_LENGTH_M,
    TRAILER,
    Cost,
)

COLOURS = ("RD", "YE", "GN", "BU", "VT", "GY", "OG", "WH", "PK", "BK")
GROUND_COLOUR = "BN"
SMALL = 12
"""Below so many parts a circuit has one ground point, and its fuses hang on the battery."""
MOST_CONTROLS = 12
"""Combinations grow as 2 to this power."""


class NoRoomError(Exception):
    """A block would go beyond the number of parts or controls asked for."""


@dataclass(frozen=True)
class PartLine:
    """One part: its kind, the unit or loom it sits in, its other entries, and a module's pins."""

    kind: str
    home: str
    entries: Mapping[str, str]
    pins: Mapping[str, str]


@dataclass(frozen=True)
class UnitLine:
    """One unit, the loom it hangs on, and whether by a plug or by fixed leads."""

    price: int
    minutes: int
    reach: int
    loom: str
    plugged: bool


@dataclass(frozen=True)
class Wire:
    """A wire through ``ends``; ``homes`` tells where each of its pieces lies."""

    ends: tuple[str, ...]
    homes: tuple[str, ...]
    colour: str
    area_mm2: float
    length_m: float


@dataclass
class Plan:
    """The circuit so far, and how many parts (``size``) it shall have."""

    size: int
    supply_v: int
    dice: Dice
    parts: dict[str, PartLine] = field(default_factory=dict)
    legs: dict[str, int] = field(default_factory=dict)  # of splices and grounds
    units: dict[str, UnitLine] = field(default_factory=dict)
    plugs: dict[str, tuple[str, str]] = field(default_factory=dict)
    room: dict[str, int] = field(default_factory=dict)  # cavities of each plug
    used: dict[str, int] = field(default_factory=dict)
    wires: list[Wire] = field(default_factory=list)
    controls: list[str] = field(default_factory=list)
    rails: dict[str, str] = field(default_factory=dict)  # shared splices and grounds by purpose
    logic: dict[str, tuple[str, ...]] = field(default_factory=dict)
    numbers: dict[str, int] = field(default_factory=dict)
    sockets: dict[str, str] = field(default_factory=dict)  # trailer sockets and their standard
    free_outputs: int = 0
    plus: str = "BAT.+"  # where the vehicle is fed from

    def copy(self) -> "Plan":
        """The same plan, to try a block on. The dice go on."""
        twin = copy(self)
        for name, value in vars(self).items():
            if isinstance(value, dict | list):
                setattr(twin, name, value.copy())
        return twin

    @property
    def left(self) -> int:
        """Parts still to come."""
        return self.size - len(self.parts)

    @property
    def looms(self) -> tuple[str, ...]:
        """The looms of a vehicle of this size."""
        return tuple(name for name in LOOMS if name != TRAILER)[: 2 + self.size // 15]

    @property
    def boxes(self) -> tuple[str, ...]:
        """The fuse boxes of a vehicle of this size."""
        return tuple(BOXES)[: 1 + self.size // 75]

    def once(self, block: str, least_size: int = 0) -> None:
        """Note a block that comes once, and in vehicles of some size only.

        Raises
        ------
        NoRoomError : it is there already, or the circuit is too small for it.
        """
        if block in self.rails or self.size < least_size:
            raise NoRoomError
        self.rails[block] = block

    def number(self, prefix: str) -> str:
        """The next name with this prefix."""
        self.numbers[prefix] = self.numbers.get(prefix, 0) + 1
        return f"{prefix}{self.numbers[prefix]}"

    def add(self, prefix: str, kind: str, home: str, **entries: str) -> str:
        """Add a part; an underscore in a keyword stands for a blank.

        Raises
        ------
        NoRoomError : the circuit has all its parts.
        """
        if not self.left:
            raise NoRoomError
        name = self.number(prefix)
        said = {key.replace("_", " "): text for key, text in entries.items()}
        self.parts[name] = PartLine(kind, home, said, {})
        return name

    def splice(self, home: str) -> str:
        """Add a splice; its legs come with its wires."""
        return self.add("SP", "splice", home)

    def leg(self, name: str) -> str:
        """The next free leg of a splice or ground."""
        self.legs[name] = self.legs.get(name, 0) + 1
        return f"{name}.{self.legs[name]}"

    def unit(self, name: str, kind: str, loom: str, plugged: bool | None = None) -> str:
        """Add a unit by a name of its own; one in two has fixed leads, modules never."""
        count = self.numbers[f"{name} "] = self.numbers.get(f"{name} ", 0) + 1
        own = name if count == 1 else f"{name} {count}"
        cost: Cost = COSTS[kind]
        price, minutes, reach = (
            self.dice.between(*r) for r in (cost.price, cost.minutes, cost.reach)
        )
        by_plug = self.dice.chance(0.5) if plugged is None else plugged
        self.units[own] = UnitLine(price, minutes, reach, loom, by_plug)
        return own

    def control(self, names: tuple[str, ...], but: tuple[str, ...] = ()) -> str:
        """One of these controls, rather a new one while there is room for it.

        Raises
        ------
        NoRoomError : none of them is there, and there is no room for another.
        """
        known = [n for n in names if n in self.controls and n not in but]
        new = [n for n in names if n not in self.controls and n not in but]
        if new and self.room_for_controls and (not known or self.dice.chance(0.85)):
            self.controls.append(self.dice.pick(new))
            return self.controls[-1]
        if not known:
            raise NoRoomError
        return self.dice.pick(known)

    @property
    def room_for_controls(self) -> bool:
        """Whether one more may be set; an output without a rule counts as one."""
        most = min(MOST_CONTROLS, 3 + self.size // 12)
        return len(self.controls) + self.free_outputs < most

    def connect(self, a: str, b: str, area_mm2: float, colour: str = "") -> None:
        """Lay a wire from pin to pin, through all plugs between. A ground comes last."""
        ends, homes = [a], list[str]()
        here, *path = self._path(self.home(a), self.home(b))
        for there in path:
            if self._by_plug(here, there):
                ends.append(self._cavity(here, there))
                homes.append(here)
                here = there
            else:
                here = there if there in LOOMS else here
        length_m = sum(self._length_m(home) for home in (*homes, here))
        colour = colour or self.dice.pick(COLOURS)
        wire = Wire((*ends, b), (*homes, here), colour, area_mm2, round(length_m, 1))
        self.wires.append(wire)

    def home(self, pin: str) -> str:
        """The unit or loom a pin's part sits in."""
        return self.parts[pin.partition(".")[0]].home

    def _length_m(self, home: str) -> float:
        if home in self.units:
            return 0.0
        return self.dice.tenths(*LENGTHS_M.get(home, OTHER_LENGTH_M))

    def _parent(self, home: str) -> str:
        return LOOMS[home] if home in LOOMS else self.units[home].loom

    def _path(self, a: str, b: str) -> list[str]:
        """From home to home; all homes form a tree whose root is the fuse box."""
        up, down = [a], [b]
        while parent := self._parent(up[-1]):
            up.append(parent)
        while down[-1] not in up:
            down.append(self._parent(down[-1]))
        return [*up[: up.index(down[-1])], *reversed(down)]

    def _by_plug(self, a: str, b: str) -> bool:
        return all(home in LOOMS or self.units[home].plugged for home in (a, b))

    def _cavity(self, a: str, b: str) -> str:
        """The next cavity of a plug between two homes; another plug where all are taken."""
        halves = (a, b) if self._parent(b) == a else (b, a)
        found = self.rails.get(f"plug {halves}", "")
        if not found or self.used[found] == self.room[found]:
            found = self.rails[f"plug {halves}"] = self.number("C")
            self.plugs[found], self.used[found] = halves, 0
            self.room[found] = self._new_room(halves)
        self.used[found] += 1
        return f"{found}.{self.used[found]}"

    def socket(self, name: str, halves: tuple[str, str], standard: str) -> None:
        """Put a trailer socket between two looms; wires between them go through it."""
        self.plugs[name] = halves
        self.used[name], self.room[name] = 0, 7
        self.sockets[name] = standard
        self.rails[f"plug {halves}"] = name

    def next_contact(self, socket: str, contact: int) -> None:
        """The next wire through a trailer socket goes by this contact."""
        self.used[socket] = contact - 1

    def _new_room(self, halves: tuple[str, str]) -> int:
        single = any(home in self.units and home not in BOXES for home in halves)
        if single:
            return 100  # a unit's own plug has as many cavities as it has wires
        return self.dice.pick((4, 6, 8) if self.size < 25 else (8, 12, 16, 20))
