import numpy as np
import pytest

from loomwise.errors import InputError
from loomwise.planning import (
    Branch,
    Finish,
    Limits,
    Stop,
    TestProblem,
    Tree,
    expected_cost,
    grow,
    half_split,
    in_order,
    one_step,
    optimal_cost,
    plan_tree,
)
from tests.planning.samples import clustered, ends_of, pass_or_fail, unsure
from tests.planning.test_sequencing import EXAMPLE

CERTAIN = Finish(stop_at=1.0)


def _stops(tree: Tree) -> list[Stop]:
    if isinstance(tree, Stop):
        return [tree]
    return [stop for then in tree.after.values() for stop in _stops(then)]


def test_plan_of_the_published_example_is_the_best() -> None:
    """Small and sure: the plan is exact, and says what is left to do at every branch."""
    plan = plan_tree(EXAMPLE, CERTAIN)
    assert isinstance(plan, Branch)
    assert plan.minutes == pytest.approx(2.18, abs=1e-9)  # from memory
    assert plan.minutes == pytest.approx(expected_cost(EXAMPLE, plan))
    assert not any(stop.cut for stop in _stops(plan))
    # One test made, the rest follows: what is left after it, by chance, is a minute less.
    left = sum(then.chance * then.minutes for then in plan.after.values())
    assert left == pytest.approx(1.18, abs=1e-9)


def test_chances_of_the_ends_sum_to_one() -> None:
    """Every branch is printed with its chance; together they are the whole."""
    for tree in (plan_tree(unsure(2)), plan_tree(clustered(4)), grow(unsure(2), one_step)):
        assert sum(chance for chance, _ in ends_of(tree)) == pytest.approx(1.0)


def test_plan_of_a_larger_job_fits_the_page() -> None:
    """Unlikely branches are cut short and say so, with the minutes that still lie ahead."""
    problem, finish = unsure(4, (8, 12, 4)), Finish(least_gain_bits=0.01)
    limits = Limits(most_leaves=10, min_chance=0.02)
    stops = _stops(plan_tree(problem, finish, limits))
    assert len([s for s in stops if s.chance >= 0.02]) <= 10 + 3  # the last test has four ends
    cut = [s for s in stops if s.cut]
    assert cut
    assert all(s.minutes > 0.0 for s in cut)
    assert all(s.minutes == 0.0 for s in stops if not s.cut)


def test_plan_cut_short_still_counts_all_minutes() -> None:
    """Cutting a plan hides its small branches but not their minutes."""
    problem, finish = clustered(7), Finish(stop_at=1.0)
    whole = grow(problem, one_step, finish)
    short = grow(problem, one_step, finish, Limits(most_leaves=3))
    assert isinstance(whole, Branch)
    assert isinstance(short, Branch)
    assert len(_stops(short)) < len(_stops(whole))
    assert short.minutes == pytest.approx(whole.minutes)
    assert expected_cost(problem, short) < expected_cost(problem, whole)  # the drawn part alone


def test_plan_with_no_time_is_one_open_end() -> None:
    """No time to plan: the leader, marked as cut short."""
    plan = plan_tree(EXAMPLE, CERTAIN, stop=lambda: True)
    assert isinstance(plan, Stop)
    assert plan.cut
    assert (plan.repair, plan.share) == pytest.approx((0, 0.7))
    assert plan.minutes == pytest.approx(2.86, abs=1e-9)  # computed: one step at a time from here


def test_exact_plan_follows_setups_and_panels() -> None:
    """With few suspects the plan reaches the optimum, moves counted in."""
    for seed in range(5):
        problem = clustered(seed)
        plan = plan_tree(problem, CERTAIN, Limits())
        assert plan.minutes <= 1.08 * optimal_cost(problem)
        assert plan.minutes == pytest.approx(expected_cost(problem, plan))


def _three_tests(minutes: tuple[float, float, float]) -> TestProblem:
    """Six equal suspects; the tests part them 1 to 5, 3 to 3, and 3 to 3."""
    fails = np.array([[1, 1, 1], [0, 1, 1], [0, 1, 0], [0, 0, 1], [0, 0, 0], [0, 0, 0]])
    shown = pass_or_fail(np.ones(6), fails).outcomes
    return TestProblem(np.ones(6), shown, np.array(minutes), np.arange(6))


def test_half_split_goes_to_the_middle_whatever_it_costs() -> None:
    """Start in the middle of the line; of two middles the quicker to reach."""
    assert half_split(_three_tests((1.0, 50.0, 90.0))) == 1
    assert half_split(_three_tests((1.0, 90.0, 50.0))) == 2
    assert one_step(_three_tests((1.0, 50.0, 90.0))) == 0


def test_half_split_reads_each_suspect_at_its_likeliest() -> None:
    """A hazy test counts as if every suspect showed what it mostly shows."""
    p_first = np.array([[0.6, 0.99], [0.6, 0.01], [0.4, 0.01], [0.4, 0.01]])
    shown = np.stack([p_first, 1.0 - p_first], axis=2)
    problem = TestProblem(np.ones(4), shown, np.array([5.0, 1.0]), np.arange(4))
    assert half_split(problem) == 0
    assert one_step(problem) == 1


def test_in_order_takes_the_list_as_it_stands() -> None:
    """Down the list, leaving out what cannot tell anything more."""
    problem = pass_or_fail(np.ones(3), np.array([[0, 1, 1], [0, 1, 0], [0, 0, 1]]))
    assert in_order(problem) == 1
    tree = grow(problem, in_order, CERTAIN)
    s = [Stop(repair, 1.0) for repair in range(3)]
    assert tree == Branch(1, {0: s[2], 1: Branch(2, {0: s[1], 1: s[0]})})


@pytest.mark.parametrize("policy", [one_step, half_split, in_order])
def test_no_policy_goes_on_when_sure(policy: object) -> None:
    """Sure enough is sure enough, however the tests are chosen."""
    assert callable(policy)
    sure = TestProblem(np.array([0.995, 0.005]), EXAMPLE.outcomes[:2], np.ones(5), np.arange(2))
    assert policy(sure) is None
    assert policy(sure, CERTAIN) is not None
    assert policy(sure, Finish(1.0, least_gain_bits=0.5)) is None


def test_finish_that_cannot_be_is_refused() -> None:
    """A share above one, or a negative price of doubt, is refused."""
    with pytest.raises(InputError, match=r"stop_at is 0"):
        Finish(stop_at=0.0)
    with pytest.raises(InputError, match=r"doubt_minutes -1"):
        Finish(doubt_minutes=-1.0)
