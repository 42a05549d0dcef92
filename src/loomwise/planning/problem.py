"""The question put to the planner: hypotheses, tests, what each would show, what each costs."""

from dataclasses import dataclass, field, replace
from typing import Any, ClassVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loomwise.errors import InputError
from loomwise.planning.arrays import Bools, Floats, Ints
from loomwise.planning.moves import Moves

SUM_TOLERANCE = 1e-6
"""How far a distribution's sum may be from 1: room for single-precision input, not for mistakes."""


@dataclass(frozen=True, eq=False)
class TestProblem:
    """What may be wrong, what could be tested next, and what each test would show.

    Parameters
    ----------
    weights : (n_hypotheses,)
        How likely each hypothesis is now; any positive sum, kept normalised to 1.
    outcomes : (n_hypotheses, n_tests, n_outcomes)
        Probability of each outcome of each test under each hypothesis; sums to 1 over outcomes.
    minutes : (n_tests,)
        Time each test takes once all is ready for it, above zero. [min]
    repair : (n_hypotheses,)
        Number of the repair each hypothesis asks for; equal numbers need not be told apart.
    penalty : (n_tests,)
        Harm of a test (a pierced wire, an erased memory) as the time it is worth; 0 if left out.
        [min]
    moves : Moves
        What must be moved before each test, and where we stand; nothing if left out.
    done : (n_tests,)
        Tests made already: the same reading again is not news. None if left out.

    The arrays are kept read-only.

    Raises
    ------
    InputError : an array of the wrong shape, or a number that cannot be what it says.
    """

    __test__: ClassVar[bool] = False  # pytest would take the name for a test case

    weights: Floats
    outcomes: Floats
    minutes: Floats
    repair: Ints
    penalty: Floats = field(default_factory=lambda: np.zeros(()))
    moves: Moves = field(default_factory=Moves)
    done: Bools = field(default_factory=lambda: np.zeros((), dtype=np.bool_))

    def __post_init__(self) -> None:
        outcomes = _distributions(self.outcomes)
        n_hypotheses, n_tests, _ = outcomes.shape
        weights = _numbers("weights", self.weights, n_hypotheses)
        minutes = _numbers("minutes", self.minutes, n_tests)
        penalty = _one_for_all(np.asarray(self.penalty, dtype=float), n_tests)
        done = _one_for_all(np.asarray(self.done, dtype=np.bool_), n_tests)
        _check_weights(weights)
        _check_minutes(minutes)
        kept: dict[str, NDArray[Any]] = {
            "weights": weights / weights.sum(),
            "outcomes": outcomes,
            "minutes": minutes,
            "repair": _repair_classes(self.repair, n_hypotheses),
            "penalty": _numbers("penalty", penalty, n_tests),
            "done": _numbers("done", done, n_tests).astype(np.bool_),
        }
        for name, array in kept.items():
            view = array.view()  # the caller's own array stays writable
            view.flags.writeable = False
            object.__setattr__(self, name, view)
        object.__setattr__(self, "moves", self.moves.for_tests(n_tests))

    @property
    def n_tests(self) -> int:
        """How many tests could be tried."""
        return len(self.minutes)

    @property
    def cost_minutes(self) -> Floats:
        """Time of each test from where we stand, (n_tests,), moves and harm counted in. [min]"""
        ready = self.moves.minutes_from(self.moves.position, self.moves.opened)
        return self.minutes + self.penalty + ready

    def with_weights(self, weights: Floats) -> "TestProblem":
        """The same tests for other weights (n_hypotheses,), such as those after an outcome."""
        return replace(self, weights=weights)

    def only(self, tests: Ints) -> "TestProblem":
        """The same problem with these tests (n,) alone."""
        moves = self.moves
        setup, zone = moves.setup[tests], moves.zone[tests]
        return replace(
            self,
            outcomes=self.outcomes[:, tests],
            minutes=self.minutes[tests],
            penalty=self.penalty[tests],
            moves=replace(moves, setup=setup, zone=zone),
            done=self.done[tests],
        )


def _numbers(name: str, values: ArrayLike, length: int) -> Floats:
    array = np.asarray(values, dtype=float)
    if array.shape != (length,):
        raise InputError(f"shape {array.shape}, expected ({length},)", name, "match the outcomes")
    if not np.all(np.isfinite(array)) or np.any(array < 0.0):
        at = int(np.flatnonzero(~(np.isfinite(array) & (array >= 0.0)))[0])
        raise InputError(f"{name}[{at}] is {array[at]}", name, "give finite numbers, 0 or more")
    return array


def _one_for_all(array: NDArray[Any], length: int) -> NDArray[Any]:
    return np.full(length, array) if array.ndim == 0 else array


def _check_weights(weights: Floats) -> None:
    if not weights.sum() > 0.0:
        raise InputError("all weights are 0", "weights", "leave at least one hypothesis possible")


def _check_minutes(minutes: Floats) -> None:
    if np.any(minutes == 0.0):
        at = int(np.flatnonzero(minutes == 0.0)[0])
        raise InputError(f"minutes[{at}] is 0", "minutes", "every test takes some time")


def _distributions(values: ArrayLike) -> Floats:
    array = np.asarray(values, dtype=float)
    if array.ndim != 3 or 0 in array.shape:
        hint = "give (n_hypotheses, n_tests, n_outcomes), none of them 0"
        raise InputError(f"shape {array.shape}", "outcomes", hint)
    sums = array.sum(axis=2)
    off = np.abs(sums - 1.0)
    if not off.max() <= SUM_TOLERANCE:  # "not" so that a NaN is caught too
        h, t = (int(i) for i in np.argwhere(~(off <= SUM_TOLERANCE))[0])
        what = f"hypothesis {h}, test {t}: probabilities sum to {sums[h, t]:.6g}"
        raise InputError(what, "outcomes", "they must sum to 1 over the outcomes")
    if array.min() < 0.0:
        h, t, o = (int(i) for i in np.argwhere(array < 0.0)[0])
        what = f"hypothesis {h}, test {t}, outcome {o}: probability {array[h, t, o]:.6g}"
        raise InputError(what, "outcomes", "probabilities are 0 or more")
    # Single precision misses 1 by enough to look like a gain; most input needs no second copy.
    return array / sums[..., np.newaxis] if off.max() > 1e-12 else array


def _repair_classes(repair: ArrayLike, length: int) -> Ints:
    array = np.asarray(repair)
    if array.shape != (length,):
        raise InputError(f"shape {array.shape}, expected ({length},)", "repair", "one a hypothesis")
    if not np.issubdtype(array.dtype, np.integer):
        raise InputError(f"{array.dtype} numbers", "repair", "number the repairs with integers")
    return array.astype(np.int64)
