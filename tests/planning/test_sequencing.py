"""Whole orders of tests, on an example from the literature and on random small problems.

Example: Pattipati and Alexandridis, IEEE Trans. SMC 20(4), 1990, 872-887. Its priors, 0/1 matrix
and optimum are from memory (the paper was not found); the problem form is published in Raghavan,
Shakeri and Pattipati, IEEE Trans. SMC-A 29(2), 1999, 153. The other figures were computed from
the remembered table by enumeration; that dynamic programming gives the remembered 2.18 is a strong
sign that the table is right.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwise.errors import InputError
from loomwise.planning import (
    Branch,
    Stop,
    TestProblem,
    Tree,
    best_cost_with_first,
    expected_cost,
    expected_gain_bits,
    greedy_tree,
    huffman_bound,
    optimal_cost,
    rank_tests,
    repair_entropy_bits,
)
from tests.planning.samples import pass_or_fail

PRIORS = np.array([0.70, 0.01, 0.02, 0.10, 0.05, 0.12])  # from memory
FAILS = np.array(  # from memory: rows s0 (no fault) to s5, columns t1 to t5
    [
        [0, 0, 0, 0, 0],
        [0, 1, 0, 0, 1],
        [0, 0, 1, 1, 0],
        [1, 0, 0, 1, 1],
        [1, 1, 0, 0, 0],
        [1, 1, 1, 1, 0],
    ]
)
T1, T2, T3, T4, T5 = range(5)


EXAMPLE = pass_or_fail(PRIORS, FAILS)


def test_example_doubt_and_bound() -> None:
    """How much is open at the start, and what no order of tests can beat."""
    assert repair_entropy_bits(PRIORS, np.arange(6)) == pytest.approx(1.4549, abs=5e-5)  # computed
    assert huffman_bound(PRIORS) == pytest.approx(1.59, abs=1e-9)  # computed


def test_example_optimum() -> None:
    """The best order of tests costs 2.18 on average."""
    assert optimal_cost(EXAMPLE) == pytest.approx(2.18, abs=1e-9)  # from memory; computed: same


@pytest.mark.parametrize(
    ("first", "cost"), [(T1, 2.86), (T2, 2.18), (T3, 2.82), (T4, 2.18), (T5, 2.89)]
)
def test_example_best_cost_by_first_test(first: int, cost: float) -> None:
    """What a first test costs in the end, if all later ones are chosen as well as can be."""
    assert best_cost_with_first(EXAMPLE, first) == pytest.approx(cost, abs=1e-9)  # computed


def test_example_one_step_choice_is_dear() -> None:
    """The most telling first test is not the best one: looking ahead is not a luxury."""
    tree = greedy_tree(EXAMPLE)
    assert isinstance(tree, Branch)
    assert tree.test == T1 == rank_tests(EXAMPLE)[0]  # computed
    assert expected_cost(EXAMPLE, tree) == pytest.approx(2.86, abs=1e-9)  # computed


def test_example_optimal_tree_written_out() -> None:
    """The optimal tree, followed branch by branch, costs the optimum."""
    s = [Stop(state, 1.0) for state in range(6)]
    after_pass = Branch(T4, {0: s[0], 1: Branch(T1, {0: s[2], 1: s[3]})})
    after_fail = Branch(T3, {1: s[5], 0: Branch(T1, {0: s[1], 1: s[4]})})
    tree = Branch(T2, {0: after_pass, 1: after_fail})  # computed
    assert expected_cost(EXAMPLE, tree) == pytest.approx(2.18, abs=1e-9)


@st.composite
def separable_problems(draw: st.DrawFn) -> TestProblem:
    """Noise-free tests of cost 1 under which no two hypotheses look alike; a repair for each."""
    n_tests = draw(st.integers(2, 5))
    codes = draw(st.lists(st.integers(0, 2**n_tests - 1), min_size=2, max_size=8, unique=True))
    weights = draw(st.lists(st.integers(1, 100), min_size=len(codes), max_size=len(codes)))
    fails = np.array([[code >> t & 1 for t in range(n_tests)] for code in codes])
    return pass_or_fail(np.array(weights, dtype=float), fails)


def _shares(tree: Tree) -> list[float]:
    if isinstance(tree, Stop):
        return [tree.share]
    return [share for branch in tree.after.values() for share in _shares(branch)]


@given(separable_problems())
def test_bound_then_optimum_then_one_step(problem: TestProblem) -> None:
    """No order beats the bound, and choosing step by step never beats the best order."""
    tree = greedy_tree(problem)
    assert min(_shares(tree)) == pytest.approx(1.0)
    best = optimal_cost(problem)
    assert repair_entropy_bits(problem.weights, problem.repair) <= best + 1e-9
    assert huffman_bound(problem.weights) <= best + 1e-9
    assert best <= expected_cost(problem, tree) + 1e-9
    firsts = [best_cost_with_first(problem, t) for t in range(problem.n_tests)]
    assert min(firsts) == pytest.approx(best)


@given(st.lists(st.integers(1, 100), min_size=4, max_size=4))
def test_every_split_on_offer_reaches_the_bound(weights: list[int]) -> None:
    """Where any split of the suspects can be tested, the bound is what it costs."""
    splits = np.array([[mask >> i & 1 for mask in range(1, 8)] for i in range(4)])
    problem = pass_or_fail(np.array(weights, dtype=float), splits)
    assert optimal_cost(problem) == pytest.approx(huffman_bound(problem.weights))


def test_shared_repair_saves_the_last_test() -> None:
    """Four suspects, two repairs: one test does, where telling all apart takes two."""
    halves = np.array([[0, 0], [0, 1], [1, 0], [1, 1]])
    even = np.ones(4)
    assert optimal_cost(pass_or_fail(even, halves)) == pytest.approx(2.0)
    shared = pass_or_fail(even, halves, [0, 0, 1, 1])
    assert optimal_cost(shared) == pytest.approx(1.0)
    assert greedy_tree(shared) == Branch(0, {0: Stop(0, 1.0), 1: Stop(1, 1.0)})


def test_suspects_no_test_separates_end_the_search() -> None:
    """Two suspects that look alike in every test: stop, and say how sure the better one is."""
    alike = pass_or_fail(np.array([3.0, 1.0]), np.array([[1, 0], [1, 0]]))
    assert optimal_cost(alike) == 0.0
    assert greedy_tree(alike) == Stop(0, 0.75)


def _quick_but_unsure() -> TestProblem:
    """Two equal suspects; test 0 is right nine times in ten (1 min), test 1 always (10 min)."""
    shown = np.array([[[0.9, 0.1], [1.0, 0.0]], [[0.1, 0.9], [0.0, 1.0]]])
    return TestProblem(np.ones(2), shown, np.array([1.0, 10.0]), np.array([0, 1]))


def test_stop_when_sure_enough() -> None:
    """Content with nine in ten, the quick test does; to be certain, the slow one follows."""
    problem = _quick_but_unsure()
    assert expected_cost(problem, greedy_tree(problem, stop_at=0.9)) == pytest.approx(1.0)
    assert expected_cost(problem, greedy_tree(problem)) == pytest.approx(11.0)
    assert expected_cost(problem, greedy_tree(problem, stop_at=0.5)) == 0.0


def test_sure_enough_is_not_missed_by_rounding() -> None:
    """Nine suspects of ten in one fuse box make it nine in ten."""
    problem = pass_or_fail(np.ones(10), np.eye(10), [0] * 9 + [1])
    tree = greedy_tree(problem, stop_at=0.9)
    assert isinstance(tree, Stop)
    assert tree.share < 0.9  # by a rounding error


def test_no_test_is_done_twice() -> None:
    """The same unsure reading taken again is not news, so the tree ends."""
    problem = _quick_but_unsure()
    only_quick = TestProblem(np.ones(2), problem.outcomes[:, :1], np.ones(1), problem.repair)
    tree = greedy_tree(only_quick)
    assert _shares(tree) == pytest.approx([0.9, 0.9])
    assert expected_cost(only_quick, tree) == pytest.approx(1.0)


def test_useless_first_test_costs_its_time() -> None:
    """A test that tells nothing only adds its minutes and its harm."""
    shown = np.array([[[1.0, 0.0], [1.0, 0.0]], [[0.0, 1.0], [1.0, 0.0]]])
    problem = TestProblem(
        np.ones(2), shown, np.array([4.0, 2.0]), np.arange(2), np.array([0.0, 1.0])
    )
    assert expected_gain_bits(problem).tolist() == [1.0, 0.0]
    assert best_cost_with_first(problem, 1) == optimal_cost(problem) + 3.0 == 7.0


def test_bound_of_one_suspect_is_no_test() -> None:
    """With one suspect left there is nothing to test."""
    assert huffman_bound(np.array([0.0, 2.0])) == 0.0
    assert huffman_bound(np.ones(4)) == 2.0


def test_sixteen_suspects_are_the_most() -> None:
    """The exact search refuses what it cannot finish; ruled-out suspects do not count."""
    bits = np.array([[i >> t & 1 for t in range(5)] for i in range(17)])
    with pytest.raises(InputError, match=r"17 hypotheses are possible, at most 16"):
        optimal_cost(pass_or_fail(np.ones(17), bits))
    without_one = np.array([1.0] * 16 + [0.0])
    assert optimal_cost(pass_or_fail(without_one, bits)) == pytest.approx(4.0)


def test_other_misuse_is_refused() -> None:
    """Unsure tests, unknown tests, and trees of another problem are refused with the reason."""
    problem = _quick_but_unsure()
    with pytest.raises(InputError, match=r"test 0 is noisy under hypothesis 0"):
        optimal_cost(problem)
    with pytest.raises(InputError, match=r"no test 5"):
        best_cost_with_first(EXAMPLE, 5)
    with pytest.raises(InputError, match=r"stop_at is 1.5"):
        greedy_tree(problem, stop_at=1.5)
    with pytest.raises(InputError, match=r"test 0 has no branch for outcome 1"):
        expected_cost(problem, Branch(0, {0: Stop(0, 1.0)}))
