import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwise.planning import (
    Effort,
    Finish,
    Policy,
    TestProblem,
    best_cost_with_first,
    expected_cost,
    grow,
    half_split,
    in_order,
    look_ahead,
    one_step,
    one_step_outlook,
    optimal_cost,
    rank_tests,
    repair_entropy_bits,
    rollout,
)
from loomwise.planning.states import states_of
from loomwise.planning.thinning import thinned
from tests.planning.samples import clustered, doubt_of, unsure
from tests.planning.test_sequencing import EXAMPLE, T1, T2, T4

CERTAIN = Finish(stop_at=1.0)
WIDE = Effort(width=100_000)


def _charged(problem: TestProblem, policy: Policy, finish: Finish) -> float:
    """Minutes and doubt that following a policy costs, by its whole tree."""
    tree = grow(problem, policy, finish)
    return expected_cost(problem, tree) + finish.doubt_minutes * doubt_of(tree)


def test_published_example_is_solved_by_looking_ahead() -> None:
    """Looking ahead finds the order that costs 2.18, where one step at a time costs 2.86."""
    outlooks = rollout(EXAMPLE, CERTAIN)
    assert outlooks[0].test in (T2, T4)  # computed: both begin an optimal order
    tree = grow(EXAMPLE, look_ahead(), CERTAIN)
    assert expected_cost(EXAMPLE, tree) == pytest.approx(2.18, abs=1e-9)  # from memory
    by_test = {o.test: o.minutes for o in outlooks}
    assert by_test[T1] == pytest.approx(2.86, abs=1e-9)  # computed: the one-step order
    assert by_test[T2] == pytest.approx(2.18, abs=1e-9)  # computed
    for test, minutes in by_test.items():
        assert minutes >= best_cost_with_first(EXAMPLE, test) - 1e-9


def test_close_to_the_best_order_where_setups_take_time() -> None:
    """On 60 small vehicles the advice costs hardly more than the best order there is.

    The aims, 1.05 and 1.15, are engineering judgement; 1.003 and 1.07 when written.
    """
    policies = {
        "one step": one_step,
        "rollout": look_ahead(),
        "half split": half_split,
        "in order": in_order,
    }
    problems = [clustered(seed) for seed in range(60)]
    best = np.array([optimal_cost(problem) for problem in problems])
    ratio = {}
    for name, policy in policies.items():
        cost = [expected_cost(p, grow(p, policy, CERTAIN)) for p in problems]
        ratio[name] = np.array(cost) / best
        print(f"{name:10} mean {ratio[name].mean():.3f} worst {ratio[name].max():.3f}")
        assert ratio[name].min() >= 1.0 - 1e-9
    assert ratio["rollout"].mean() < 1.05
    assert ratio["rollout"].max() < 1.15
    assert np.all(ratio["rollout"] <= ratio["one step"] + 1e-9)
    assert ratio["rollout"].mean() < ratio["one step"].mean() < ratio["half split"].mean()
    assert ratio["half split"].mean() < ratio["in order"].mean()


@given(st.integers(0, 10_000))
def test_outlook_is_what_following_it_costs(seed: int) -> None:
    """The minutes promised are those of the whole tree, unsure readings and all."""
    problem, finish = unsure(seed), Finish(stop_at=0.95, doubt_minutes=30.0)
    tree = grow(problem, one_step, finish)
    outlook = one_step_outlook(problem, finish, WIDE)
    assert outlook.minutes == pytest.approx(expected_cost(problem, tree), abs=1e-4)
    assert outlook.doubt == pytest.approx(doubt_of(tree), abs=1e-5)
    assert outlook.charged_minutes == pytest.approx(outlook.minutes + 30.0 * outlook.doubt)


def test_unsure_tests_too_cost_no_more_when_looking_ahead() -> None:
    """With readings that may mislead, looking ahead is no dearer than one step at a time."""
    finish = Finish(stop_at=0.95, doubt_minutes=30.0)
    both = np.array(
        [
            [_charged(p, policy, finish) for policy in (one_step, look_ahead(WIDE))]
            for p in map(unsure, range(20))
        ]
    )
    assert np.all(both[:, 1] <= both[:, 0] + 1e-3)
    assert both[:, 1].mean() < 0.99 * both[:, 0].mean()


def test_thinning_keeps_the_chances_and_the_mean() -> None:
    """Few ways looked at stand for all: the likely ones stay, and what follows is much the same."""
    rng = np.random.default_rng(1)
    chance, doubt_bits = rng.dirichlet(np.full(400, 0.5)), rng.random(400)
    states = replace(
        states_of(unsure(0), 400),
        chance=chance,
        weights=doubt_bits[:, np.newaxis],
        origin=np.zeros(400, dtype=np.int64),
    )
    few = thinned(states, doubt_bits, 1, 40)
    assert len(few) == 40
    assert few.chance.sum() == pytest.approx(1.0)
    assert few.chance.max() == chance.max()
    # A draw without order would miss by 0.03 or so.
    assert few.chance @ few.weights[:, 0] == pytest.approx(chance @ doubt_bits, abs=0.003)


def test_narrow_look_is_right_on_average() -> None:
    """Looking at few of the many ways changes the minutes promised little, and to neither side."""
    finish = Finish(stop_at=0.99, doubt_minutes=30.0)
    off = []
    for seed in range(12):
        problem = unsure(seed, (6, 6, 4))
        whole = one_step_outlook(problem, finish, WIDE).charged_minutes
        narrow = one_step_outlook(problem, finish, Effort(width=12)).charged_minutes
        off.append(narrow / whole - 1.0)
    assert np.std(off) < 0.02  # 0.008 when written
    assert abs(np.mean(off)) < 0.01
    assert np.abs(off).max() > 0.0  # they were thinned


def test_no_time_gives_the_one_step_answer() -> None:
    """Told to answer at once, the advice is the best gain per minute."""
    outlooks = rollout(EXAMPLE, CERTAIN, stop=lambda: True)
    assert [o.test for o in outlooks] == rank_tests(EXAMPLE).tolist()
    assert all(np.isnan(o.minutes) for o in outlooks)


def _after_asking(times: int) -> Callable[[], bool]:
    """Time that is up after being asked so often."""
    left = iter(range(times))
    return lambda: next(left, None) is None


def test_answer_so_far_when_time_is_up() -> None:
    """Stopped half-way, the tests looked at come first, the best of them leading."""
    problem = unsure(3, (30, 50, 10))
    for asks in (4, 8, 15, 25):
        outlooks = rollout(problem, stop=_after_asking(asks))
        looked = [o for o in outlooks if not np.isnan(o.minutes)]
        assert list(outlooks[: len(looked)]) == sorted(looked, key=lambda o: o.charged_minutes)
        assert len({o.test for o in outlooks}) == Effort().candidates
        if not looked:
            assert outlooks[0].test == one_step(problem)
    assert 0 < len(looked) < len(outlooks)


def test_at_the_end_there_is_nothing_to_advise() -> None:
    """One suspect sure enough, or no test that tells enough: no test, and the doubt that stays."""
    assert rollout(EXAMPLE, Finish(stop_at=0.7)) == ()
    assert rollout(EXAMPLE, Finish(least_gain_bits=1.0)) == ()
    outlook = one_step_outlook(EXAMPLE, Finish(stop_at=0.7, doubt_minutes=10.0))
    assert (outlook.test, outlook.minutes) == (-1, 0.0)
    assert (outlook.doubt, outlook.charged_minutes) == pytest.approx((0.3, 3.0))


def test_doubt_that_costs_more_is_worth_more_minutes() -> None:
    """The dearer a wrong repair, the more an untold doubt weighs against a test."""
    problem = unsure(5)
    cheap, dear = (one_step_outlook(problem, Finish(doubt_minutes=m), WIDE) for m in (1.0, 100.0))
    assert cheap.doubt == dear.doubt > 0.0
    assert dear.charged_minutes - cheap.charged_minutes == pytest.approx(99.0 * dear.doubt)


def test_large_choice_is_looked_through_while_the_hand_moves() -> None:
    """400 unsure tests over 90 suspects: well under the time it takes to set the meter."""
    problem = unsure(1, (90, 400, 14))
    assert repair_entropy_bits(problem.weights, problem.repair) > 4.0
    start = time.perf_counter()
    first, *_ = rollout(problem, Finish(least_gain_bits=0.003))
    # 0.3 to 0.8 s on one core when written; the room is for a busy machine.
    assert time.perf_counter() - start < 5.0
    assert first.charged_minutes > 0.0
    assert first == rollout(problem, Finish(least_gain_bits=0.003))[0]
