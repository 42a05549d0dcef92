"""Ways of choosing the next test, all of one form, so that they can be compared."""

from collections.abc import Callable

import numpy as np

from loomwise.planning.gain import TIE_DECIMALS
from loomwise.planning.problem import TestProblem
from loomwise.planning.rollout import MIDDLING, Effort, Stopper, never, rollout
from loomwise.planning.states import USUAL, Finish, gain_bits_in, one_step_tests, states_of

Policy = Callable[[TestProblem, Finish], int | None]
"""Gives the next test, or None where the diagnosis is at its end."""


def one_step(problem: TestProblem, finish: Finish = USUAL) -> int | None:
    """The test with the best gain per minute."""
    test = int(one_step_tests(problem, states_of(problem), finish)[0])
    return test if test >= 0 else None


def in_order(problem: TestProblem, finish: Finish = USUAL) -> int | None:
    """The first test in the list that gains anything."""
    gains = np.flatnonzero(gain_bits_in(problem, states_of(problem), finish)[0] > 0.0)
    return int(gains[0]) if len(gains) else None


def half_split(problem: TestProblem, finish: Finish = USUAL) -> int | None:
    """The test that comes nearest to halving the suspects, whatever it costs.

    Each suspect is taken to give its likeliest outcome; what counts is how near to half the weight
    the most expected outcome comes. Of equals the cheaper. Tests that gain nothing are left out.
    """
    gains = np.flatnonzero(gain_bits_in(problem, states_of(problem), finish)[0] > 0.0)
    if not len(gains):
        return None
    n_outcomes = problem.outcomes.shape[2]
    shown = problem.outcomes[:, gains].argmax(axis=2)
    likeliest = problem.weights @ (shown[..., np.newaxis] == np.arange(n_outcomes)).swapaxes(0, 1)
    off_half = np.round(np.abs(likeliest.max(axis=1) - 0.5), TIE_DECIMALS)
    return int(gains[np.lexsort((problem.cost_minutes[gains], off_half))[0]])


def look_ahead(effort: Effort = MIDDLING, stop: Stopper = never) -> Policy:
    """The policy of taking the rollout's best test."""

    def choose(problem: TestProblem, finish: Finish) -> int | None:
        outlooks = rollout(problem, finish, effort, stop)
        return outlooks[0].test if outlooks else None

    return choose
