"""The cheapest tests that catch everything together."""

from collections.abc import Sequence

import numpy as np

from loomwise.advice.cover import cheap_cover


def cover(
    catches: Sequence[Sequence[int]], minutes: Sequence[float], first: Sequence[int] = (),
    shared: float = 0.0, setup: Sequence[int] | None = None,
) -> list[int]:  # fmt: skip
    """The tests chosen, in order of their numbers."""
    made = np.array(catches, dtype=bool)
    places = np.array(setup if setup is not None else range(len(catches)))
    found = cheap_cover(made, np.array(minutes), np.full(len(catches), shared), places, first)
    return sorted(found)


def test_one_test_that_catches_all_is_enough() -> None:
    """Looking at the load once is better than probing at every plug."""
    assert cover([[1, 0, 0], [0, 1, 0], [1, 1, 1]], [1.0, 1.0, 2.0]) == [2]


def test_a_dear_test_gives_way_to_two_cheap_ones() -> None:
    """Two readings of a minute beat one of half an hour."""
    assert cover([[1, 0], [0, 1], [1, 1]], [1.0, 1.0, 30.0]) == [0, 1]


def test_a_needless_check_is_dropped() -> None:
    """What was chosen first is left out again if the later ones catch all that it does."""
    catches = [[1, 1, 1, 1, 0, 0], [1, 1, 0, 0, 1, 0], [0, 0, 1, 1, 0, 1]]
    assert cover(catches, [1.0, 0.9, 0.9]) == [1, 2]


def test_a_check_that_must_be_stays() -> None:
    """The complaint is looked at again even if another check tells more."""
    assert cover([[1, 0], [1, 1]], [1.0, 1.0], first=[0]) == [0, 1]


def test_staying_in_a_setup_is_cheaper() -> None:
    """Of two tests alike the one in a setup the plan needs anyway is taken."""
    found = cover([[1, 0], [0, 1], [0, 1]], [5.0, 5.0, 4.9], first=[0], shared=4.0, setup=[0, 0, 1])
    assert found == [0, 1]


def test_what_nothing_catches_is_left() -> None:
    """No test catches it: the rest is covered all the same."""
    assert cover([[1, 0], [0, 0]], [1.0, 1.0]) == [0]
