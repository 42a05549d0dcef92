"""Looking further than one step: each good first test, then the one-step policy to the end.

Policy improvement by rollout (Bertsekas, Tsitsiklis and Wu, Rollout algorithms for combinatorial
optimization, Journal of Heuristics 3, 1997, 245-262; from memory): following the rollout costs no
more on average than the policy it looks along, where the looking is exact.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from loomwise.planning.arrays import Bools, Floats, Ints
from loomwise.planning.gain import TIE_DECIMALS
from loomwise.planning.problem import TestProblem
from loomwise.planning.states import (
    USUAL,
    Finish,
    States,
    cost_minutes_in,
    gain_per_minute_in,
    goes_on,
    leader_shares,
    one_step_tests,
    states_after,
    states_of,
)
from loomwise.planning.thinning import doubt_bits_in, thinned

Stopper = Callable[[], bool]

NUMBERS_AT_ONCE = 30_000
"""Numbers (states x tests x outcomes) held at once: what a processor's cache takes."""


WAYS, WANTED = 6, 4
"""Likely ways gone down with all tests, and tests kept of each state on them."""


@dataclass(frozen=True)
class Effort:
    """How far and how wide to look. Small problems are looked through whole.

    Parameters
    ----------
    candidates : first tests tried, the best of gain per minute.
    tests : tests kept in sight on the way, where there are more.
    width : states held at each depth; more are thinned out to so many, each with its fair chance.
    steps : tests made one after the other at most.
    """

    candidates: int = 10
    tests: int = 60
    width: int = 24
    steps: int = 24


MIDDLING = Effort()


@dataclass(frozen=True)
class Outlook:
    """What comes of a first test, on average, if the one-step policy follows it.

    ``minutes`` until the end, and ``doubt``, the chance that the leader is then not the repair;
    ``charged_minutes`` is both together. NaN where there was no time to look.
    """

    test: int
    minutes: float
    doubt: float
    charged_minutes: float


def never() -> bool:
    """There is time."""
    return False


def rollout(
    problem: TestProblem,
    finish: Finish = USUAL,
    effort: Effort = MIDDLING,
    stop: Stopper = never,
) -> tuple[Outlook, ...]:
    """First tests, the best one first; empty where the diagnosis is at its end.

    ``stop`` is asked between pieces of work. Tests there was no time for follow the others, best
    gain per minute first: with no time at all the first is the one-step answer.
    """
    firsts = _candidates(problem, finish, effort.candidates)
    found: list[Outlook] = []
    if len(firsts) and not stop():
        tests = _in_sight(problem, states_of(problem), finish, effort, firsts)
        small, where = problem.only(tests), np.searchsorted(tests, firsts)
        for part in _parts(small, where, effort):
            starts = states_of(small, len(part))
            minutes, doubt = _follow(small, starts, part, finish, effort, stop)
            if np.isnan(minutes).any():
                break
            found += _outlooks(tests[part], minutes, doubt, finish)
    found.sort(key=lambda o: round(o.charged_minutes, TIE_DECIMALS))
    rest = [t for t in firsts.tolist() if t not in {o.test for o in found}]
    return (*found, *(Outlook(t, np.nan, np.nan, np.nan) for t in rest))


def one_step_outlook(
    problem: TestProblem, finish: Finish = USUAL, effort: Effort = MIDDLING
) -> Outlook:
    """What is left to do if the one-step policy is followed from here; test -1 for none."""
    return outlooks_from(problem, states_of(problem), finish, effort)[0]


def outlooks_from(
    problem: TestProblem, states: States, finish: Finish, effort: Effort
) -> list[Outlook]:
    """The same from each of ``states`` (n,), which are starts of their own."""
    firsts = one_step_tests(problem, states, finish)
    minutes, doubt = np.zeros(len(states)), 1.0 - leader_shares(problem, states.weights)
    going = np.flatnonzero(firsts >= 0)
    tests = _in_sight(problem, states.take(going), finish, effort, firsts[going])
    small, small_states = problem.only(tests), replace(states, done=states.done[:, tests])
    begin = one_step_tests(small, small_states, finish)
    for part in _parts(small, np.flatnonzero(begin >= 0), effort):
        starts = replace(small_states.take(part), origin=np.arange(len(part)))
        minutes[part], doubt[part] = _follow(small, starts, begin[part], finish, effort, never)
    return _outlooks(firsts, minutes, doubt, finish)


def _candidates(problem: TestProblem, finish: Finish, most: int) -> Ints:
    """The best tests of gain per minute, the best first."""
    worth = gain_per_minute_in(problem, states_of(problem), finish)[0]
    best = np.argsort(-worth, kind="stable")
    good: Ints = best[worth[best] > 0.0]
    return good[:most]


def _in_sight(
    problem: TestProblem, states: States, finish: Finish, effort: Effort, firsts: Ints
) -> Ints:
    """The tests worth keeping in sight, in their order: the firsts, and what is wanted later.

    The best now may all tell the same; so a few likely ways are gone down with all tests.
    """
    if problem.n_tests <= effort.tests:
        return np.arange(problem.n_tests)
    kept = dict.fromkeys(firsts.tolist())
    while len(states) and len(kept) < effort.tests:
        worth = gain_per_minute_in(problem, states, finish)
        best = np.argsort(-worth, axis=1, kind="stable")[:, :WANTED]
        good = np.take_along_axis(worth, best, axis=1) > 0.0
        kept |= dict.fromkeys(best[good].tolist())
        going_on = np.flatnonzero(good[:, 0])
        states = states_after(problem, states.take(going_on), best[going_on, 0])
        states = states.take(np.argsort(-states.chance, kind="stable")[:WAYS])
    return np.sort(np.array(list(kept)[: effort.tests]))


def _parts(problem: TestProblem, starts: Ints, effort: Effort) -> list[Ints]:
    """The starts in as many parts as keep the numbers held at once few."""
    hypotheses, tests, outcomes = problem.outcomes.shape
    widest = min(effort.width, hypotheses * outcomes)
    size = max(1, NUMBERS_AT_ONCE // (widest * tests * outcomes))
    return [starts[i : i + size] for i in range(0, len(starts), size)]


def _follow(
    problem: TestProblem, states: States, tests: Ints, finish: Finish, effort: Effort, stop: Stopper
) -> tuple[Floats, Floats]:
    """Mean minutes and doubt at the end from each start by its first test (n,); NaN if stopped."""
    n = len(states)
    minutes, doubt = np.zeros(n), np.zeros(n)
    for _ in range(effort.steps):
        cost = cost_minutes_in(problem, states)[np.arange(len(tests)), tests]
        minutes += np.bincount(states.origin, states.chance * cost, n)
        states = states_after(problem, states, tests)
        states, ended = _without(problem, states, ~goes_on(problem, states.weights, finish), n)
        if len(states) > effort.width:
            states = thinned(states, doubt_bits_in(problem, states), n, effort.width)
        if stop():
            return np.full(n, np.nan), doubt
        tests = one_step_tests(problem, states, finish)
        states, useless = _without(problem, states, tests < 0, n)
        tests, doubt = tests[tests >= 0], doubt + ended + useless
        if not len(states):
            return minutes, doubt
    _, open_ends = _without(problem, states, np.ones(len(states), dtype=np.bool_), n)
    return minutes, doubt + open_ends


def _without(problem: TestProblem, states: States, ended: Bools, n: int) -> tuple[States, Floats]:
    """The states that have not ended, and the chance that the leader of an ended one is wrong."""
    last = states.take(np.flatnonzero(ended))
    wrong = last.chance * (1.0 - leader_shares(problem, last.weights))
    left = states.take(np.flatnonzero(~ended))
    return left, np.bincount(last.origin, wrong, n).astype(np.float64)


def _outlooks(tests: Ints, minutes: Floats, doubt: Floats, finish: Finish) -> list[Outlook]:
    charged = minutes + finish.doubt_minutes * doubt
    rows = zip(tests.tolist(), minutes.tolist(), doubt.tolist(), charged.tolist(), strict=True)
    return [Outlook(*row) for row in rows]
