"""What must be moved before a test: the setup changed, a panel opened."""

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loomwise.errors import InputError
from loomwise.planning.arrays import Bools, Floats, Ints

HERE = -1
"""The position nobody has moved from yet: the last row of ``setup_minutes``."""


@dataclass(frozen=True, eq=False)
class Moves:
    """Minutes between setups and for opening zones; nothing to move where left out.

    Parameters
    ----------
    setup : (n_tests,)
        Number of the setup each test is made in, or one number for all.
    setup_minutes : (n_setups + 1, n_setups)
        Time from setup (row) to setup (column), 0 where nothing changes; the last row is from
        where we stand now. [min]
    zone : (n_tests,)
        Number of the zone (panel, plug) each test needs open, -1 for none, or one for all.
    zone_minutes : (n_zones,)
        Time to open each zone, putting back counted in; once open, it stays open. [min]
    position : int
        Setup we stand in, -1 for the last row.
    opened : (n_zones,)
        Zones open already; none if left out.

    Raises
    ------
    InputError : an array of the wrong shape, a number of no setup or zone, or a negative time.
    """

    setup: Ints = field(default_factory=lambda: np.zeros((), dtype=np.int64))
    setup_minutes: Floats = field(default_factory=lambda: np.zeros((2, 1)))
    zone: Ints = field(default_factory=lambda: np.full((), -1))
    zone_minutes: Floats = field(default_factory=lambda: np.zeros(0))
    position: int = HERE
    opened: Bools = field(default_factory=lambda: np.zeros((), dtype=np.bool_))

    def __post_init__(self) -> None:
        between = _times("setup_minutes", self.setup_minutes)
        to_open = _times("zone_minutes", self.zone_minutes)
        if between.ndim != 2 or between.shape[0] != between.shape[1] + 1 or to_open.ndim != 1:
            what = f"shapes {between.shape} and {to_open.shape}"
            hint = "give (n_setups + 1, n_setups), the last row from here, and (n_zones,)"
            raise InputError(what, "setup_minutes, zone_minutes", hint)
        kept: dict[str, NDArray[Any]] = {
            "setup": _numbers_below("setup", self.setup, 0, between.shape[1]),
            "setup_minutes": between,
            "zone": _numbers_below("zone", self.zone, -1, len(to_open)),
            "zone_minutes": to_open,
            "opened": _spread("opened", self.opened, len(to_open)).astype(np.bool_),
        }
        _numbers_below("position", self.position, -1, between.shape[1])
        for name, array in kept.items():
            object.__setattr__(self, name, array)

    def minutes_from(self, position: int | Ints, opened: Bools) -> Floats:
        """Time to get ready for each test, (..., n_tests). [min]

        ``position`` (...) setups stood in; ``opened`` (..., n_zones) zones open.
        """
        moving: Floats = self.setup_minutes[position][..., self.setup]
        if len(self.zone_minutes):
            shut = (self.zone >= 0) & ~opened[..., self.zone]
            moving = moving + shut * self.zone_minutes[self.zone]
        return moving

    def after(self, opened: Bools, tests: Ints) -> tuple[Ints, Bools]:
        """Where we stand after ``tests`` (n,): setups (n,) and zones open (n, n_zones)."""
        now = opened.copy()
        rows = np.flatnonzero(self.zone[tests] >= 0)
        now[rows, self.zone[tests[rows]]] = True
        return self.setup[tests], now

    def for_tests(self, n_tests: int) -> "Moves":
        """The same, one number for all tests written out for each.

        Raises
        ------
        InputError : numbers for another count of tests.
        """
        setup, zone = _spread("setup", self.setup, n_tests), _spread("zone", self.zone, n_tests)
        return Moves(setup, self.setup_minutes, zone, self.zone_minutes, self.position, self.opened)


def _times(name: str, values: ArrayLike) -> Floats:
    array = np.asarray(values, dtype=float)
    if not np.all(np.isfinite(array)) or np.any(array < 0.0):
        raise InputError("a time is negative or no number", name, "give minutes, 0 or more")
    return array


def _numbers_below(name: str, values: ArrayLike, least: int, end: int) -> Ints:
    array = np.asarray(values)
    if not np.issubdtype(array.dtype, np.integer) or np.any((array < least) | (array >= end)):
        hint = f"give whole numbers from {least} to {end - 1}"
        raise InputError("a number of no setup or zone", name, hint)
    return array.astype(np.int64)


def _spread(name: str, array: NDArray[Any], length: int) -> NDArray[Any]:
    if np.shape(array) not in ((), (length,)):
        what = f"shape {np.shape(array)}, expected ({length},)"
        raise InputError(what, name, "give one number each, or one for all")
    return np.broadcast_to(array, (length,))
