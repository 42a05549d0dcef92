"""Many states of one diagnosis held side by side, so that a policy is followed in all at once."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from loomwise.errors import InputError
from loomwise.planning.arrays import Bools, Floats, Ints
from loomwise.planning.gain import GAIN_FLOOR_BITS, TIE_DECIMALS, gain_bits_of
from loomwise.planning.problem import TestProblem

ROUNDING = 1e-12
"""Shares that should be 1 miss it by this much."""


NEGLIGIBLE = 1e-7
"""A share below this counts as none when looking ahead: no test waits for it, and it takes time."""


@dataclass(frozen=True)
class Finish:
    """When a diagnosis ends, and what it costs to end in doubt.

    Parameters
    ----------
    stop_at : share of the leading repair that is enough, above 0, at most 1.
    doubt_minutes : time that a wrong repair costs: charged times (1 - share of the leader). [min]
    least_gain_bits : a test that is expected to gain no more than this is not made. [bit]

    Raises
    ------
    InputError : ``stop_at`` is not a share, or one of the others is negative.
    """

    stop_at: float = 0.99
    doubt_minutes: float = 60.0  # engineering judgement: an hour lost to a repair that was not it
    least_gain_bits: float = GAIN_FLOOR_BITS

    def __post_init__(self) -> None:
        if not 0.0 < self.stop_at <= 1.0:
            what = f"stop_at is {self.stop_at}"
            raise InputError(what, "finish", "give a share above 0, at most 1")
        if not (self.doubt_minutes >= 0.0 and self.least_gain_bits >= 0.0):
            what = f"doubt_minutes {self.doubt_minutes}, least_gain_bits {self.least_gain_bits}"
            raise InputError(what, "finish", "give numbers, 0 or more")


USUAL = Finish()


@dataclass(frozen=True, eq=False)
class States:
    """Where a diagnosis may have come to, n times.

    ``chance`` (n,) of coming here, ``weights`` (n, n_hypotheses) with rows that sum to 1,
    ``position`` (n,) setups stood in, ``opened`` (n, n_zones), ``done`` (n, n_tests), ``origin``
    (n,) number of the start it came from.
    """

    chance: Floats
    weights: Floats
    position: Ints
    opened: Bools
    done: Bools
    origin: Ints

    def __len__(self) -> int:
        return len(self.chance)

    def take(self, rows: Ints) -> "States":
        """These rows (m,) alone."""
        return States(
            self.chance[rows],
            self.weights[rows],
            self.position[rows],
            self.opened[rows],
            self.done[rows],
            self.origin[rows],
        )


def states_of(problem: TestProblem, n: int = 1) -> States:
    """The problem's own state, ``n`` times, each a start of its own."""
    return joined([problem] * n)


def joined(problems: Sequence[TestProblem]) -> States:
    """Where problems of the same tests stand, each a start of its own."""
    return States(
        np.ones(len(problems)),
        np.array([p.weights for p in problems]),
        np.array([p.moves.position for p in problems]),
        np.array([p.moves.opened for p in problems]),
        np.array([p.done for p in problems]),
        np.arange(len(problems)),
    )


def cost_minutes_in(problem: TestProblem, states: States) -> Floats:
    """Time of each test in each state, moves and harm counted in, (n, n_tests). [min]"""
    ready = problem.moves.minutes_from(states.position, states.opened)
    return problem.minutes + problem.penalty + ready


def leader_shares(problem: TestProblem, weights: Floats) -> Floats:
    """Share of the leading repair in each row of ``weights`` (n, n_hypotheses), (n,)."""
    return np.asarray(repair_shares(problem, weights).max(axis=1))


def repair_shares(problem: TestProblem, weights: Floats) -> Floats:
    """Share of each repair in each row of ``weights`` (n, n_hypotheses), (n, n_repairs)."""
    classes, number = np.unique(problem.repair, return_inverse=True)
    member = (number[:, np.newaxis] == np.arange(len(classes))).astype(np.float64)
    return np.asarray(weights @ member)


def goes_on(problem: TestProblem, weights: Floats, finish: Finish) -> Bools:
    """Whether no repair has its share yet in each row of ``weights``, (n,)."""
    return np.asarray(leader_shares(problem, weights) < finish.stop_at - ROUNDING)


def gain_bits_in(problem: TestProblem, states: States, finish: Finish) -> Floats:
    """Gain of each test in each state, (n, n_tests), 0 for those not to be made. [bit]

    Nothing is to be made where the leader has its share; no test twice, and none that tells
    less than the least gain.
    """
    going_on = goes_on(problem, states.weights, finish)
    gain = np.zeros(states.done.shape)
    gain[going_on] = gain_bits_of(problem, states.weights[going_on])
    return np.where(states.done | (gain <= finish.least_gain_bits), 0.0, gain)


def gain_per_minute_in(problem: TestProblem, states: States, finish: Finish) -> Floats:
    """Gain over time and harm, (n, n_tests), equals made equal; 0 as above. [bit/min]"""
    worth = gain_bits_in(problem, states, finish) / cost_minutes_in(problem, states)
    return np.round(worth, TIE_DECIMALS)


def one_step_tests(problem: TestProblem, states: States, finish: Finish) -> Ints:
    """The test with the best gain per minute in each state, (n,), -1 where none is to be made.

    Equals in their given order.
    """
    worth = gain_per_minute_in(problem, states, finish)
    best = worth.argmax(axis=1)
    none = worth[np.arange(len(best)), best] <= 0.0
    return np.where(none, -1, best)


def states_after(problem: TestProblem, states: States, tests: Ints) -> States:
    """The states that making ``tests`` (n,) can lead to, each outcome a state of its own."""
    shown = problem.outcomes[:, tests].transpose(1, 0, 2)
    joint = states.weights[:, :, np.newaxis] * shown
    p_outcome = joint.sum(axis=1)
    rows, outcome = np.nonzero(p_outcome > ROUNDING)
    p = p_outcome[rows, outcome]
    weights = joint[rows, :, outcome] / p[:, np.newaxis]
    weights[weights < NEGLIGIBLE] = 0.0
    weights /= weights.sum(axis=1, keepdims=True)
    position, opened = problem.moves.after(states.opened, tests)
    done = states.done.copy()
    done[np.arange(len(tests)), tests] = True
    return States(
        states.chance[rows] * p,
        weights,
        position[rows],
        opened[rows],
        done[rows],
        states.origin[rows],
    )
