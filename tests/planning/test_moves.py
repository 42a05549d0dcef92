import numpy as np
import pytest

from loomwise.errors import InputError
from loomwise.planning import (
    Branch,
    Moves,
    Stop,
    TestProblem,
    after,
    best_cost_with_first,
    expected_cost,
    expected_gain_bits,
    gain_per_minute,
    optimal_cost,
    optimal_tree,
    rank_tests,
)
from tests.planning.samples import between_setups, pass_or_fail

# Ignition off (0) and on (1); test 2 is behind the kick panel (zone 0).
BETWEEN = np.array([[0.0, 2.0], [1.0, 0.0], [0.0, 2.0]])  # the last row: ignition off now
HALVES = np.array([[0, 0, 0], [0, 1, 1], [1, 0, 0], [1, 1, 1]])


def _moves(position: int = -1) -> Moves:
    return Moves(np.array([0, 1, 1]), BETWEEN, np.array([-1, -1, 0]), np.array([5.0]), position)


def _problem() -> TestProblem:
    return pass_or_fail(np.ones(4), HALVES, moves=_moves())


def test_setup_and_panel_count_as_minutes() -> None:
    """Ignition off now: a reading with it on takes the switching too, and the panel its screws."""
    assert _problem().cost_minutes.tolist() == [1.0, 3.0, 8.0]
    assert gain_per_minute(_problem()) == pytest.approx([1.0, 1 / 3, 1 / 8])


def test_after_a_test_its_setup_stands_and_its_panel_is_off() -> None:
    """Once ignition is on and the panel off, both are free; switching off again takes a minute."""
    now = after(_problem(), 2, 0)
    assert now.cost_minutes.tolist() == [2.0, 1.0, 1.0]
    assert now.weights.tolist() == [0.5, 0.0, 0.5, 0.0]
    assert now.moves.position == 1
    assert now.moves.opened.tolist() == [True]
    assert _problem().cost_minutes.tolist() == [1.0, 3.0, 8.0]  # the problem itself is unchanged


def test_a_test_made_is_not_offered_again() -> None:
    """The same reading again is not news, even where it was not quite sure."""
    shown = np.array([[[0.8, 0.2], [0.8, 0.2]], [[0.2, 0.8], [0.2, 0.8]]])
    problem = TestProblem(np.ones(2), shown, np.array([1.0, 2.0]), np.arange(2))
    now = after(problem, 0, 0)
    assert expected_gain_bits(now)[0] == 0.0 < expected_gain_bits(now)[1]
    assert rank_tests(now)[0] == 1


def test_some_tests_alone_keep_their_setups_and_panels() -> None:
    """With fewer tests to choose from, each costs what it did."""
    few = _problem().only(np.array([2, 0]))
    assert few.cost_minutes.tolist() == [8.0, 1.0]
    assert few.outcomes[3].tolist() == [[0.0, 1.0], [0.0, 1.0]]


def test_many_places_at_once() -> None:
    """The minutes for many ways to stand are those for each by itself."""
    moves = _moves().for_tests(3)
    positions, opened = np.array([-1, 0, 1]), np.array([[False], [True], [True]])
    rows = [moves.minutes_from(int(p), o).tolist() for p, o in zip(positions, opened, strict=True)]
    assert moves.minutes_from(positions, opened).tolist() == rows
    assert rows == [[0.0, 2.0, 7.0], [0.0, 2.0, 2.0], [1.0, 0.0, 0.0]]


def test_best_order_stays_where_it_stands() -> None:
    """Two readings tell all. Ignition is switched on once, last; the panel stays shut."""
    assert optimal_cost(_problem()) == pytest.approx(1.0 + 3.0)  # test 0, then test 1
    assert best_cost_with_first(_problem(), 1) == pytest.approx(3.0 + 2.0)  # on, and off again
    assert best_cost_with_first(_problem(), 2) == pytest.approx(8.0 + 2.0)
    s = [Stop(repair, 1.0) for repair in range(4)]
    tree = optimal_tree(_problem())
    assert tree == Branch(0, {0: Branch(1, {0: s[0], 1: s[1]}), 1: Branch(1, {0: s[2], 1: s[3]})})
    assert expected_cost(_problem(), tree) == pytest.approx(4.0)


def test_best_order_opens_a_panel_once() -> None:
    """Two readings behind one panel beat two quick ones behind two."""
    moves = Moves(
        zone=np.array([0, 0, 1, 2]), zone_minutes=np.array([4.0, 3.0, 3.0]), setup=np.array(0)
    )
    bits = np.array([[0, 0], [0, 1], [1, 0], [1, 1]])
    problem = pass_or_fail(np.ones(4), np.hstack([bits, bits]), moves=moves)
    assert optimal_cost(problem) == pytest.approx(4.0 + 1.0 + 1.0)
    assert best_cost_with_first(problem, 2) == pytest.approx(4.0 + min(4.0 + 1.0, 3.0 + 1.0))


def test_exact_search_says_when_setups_are_too_many(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the ways to stand make the exact search too long, it says so and what to do."""
    monkeypatch.setattr("loomwise.planning.optimal.MOST_STATES", 3)
    with pytest.raises(InputError, match=r"more than 3 states .* leave out setups or zones"):
        optimal_cost(_problem())


@pytest.mark.parametrize(
    ("moves", "what"),
    [
        (lambda: Moves(setup_minutes=np.zeros((2, 2))), r"give \(n_setups \+ 1, n_setups\)"),
        (lambda: Moves(setup_minutes=-between_setups(2, 1.0)), r"setup_minutes: a time is neg"),
        (lambda: Moves(zone_minutes=np.array([np.nan])), r"zone_minutes: a time is negative or no"),
        (lambda: Moves(np.array([0, 1])), r"setup: a number of no setup .* from 0 to 0"),
        (lambda: Moves(zone=np.array([0])), r"zone: .* from -1 to -1"),
        (lambda: Moves(position=1), r"position: .* from -1 to 0"),
        (lambda: Moves(opened=np.array([True])), r"opened: shape \(1,\), expected \(0,\)"),
        (lambda: Moves().for_tests(3).for_tests(2), r"setup: shape \(3,\), expected \(2,\)"),
    ],
)
def test_moves_that_cannot_be_are_refused(moves: object, what: str) -> None:
    """A setup or panel that does not exist, or a negative time, is refused by name."""
    assert callable(moves)
    with pytest.raises(InputError, match=what):
        moves()
