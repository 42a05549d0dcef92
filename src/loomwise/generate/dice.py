"""Chance from a seed, the same on every machine."""

from collections.abc import Sequence
from random import Random
from typing import TypeVar

T = TypeVar("T")


class Dice:
    """Draws by a seed. Only ``Random.random`` is used: its sequence is promised to stay."""

    def __init__(self, seed: int) -> None:
        self._next = Random(seed).random

    def chance(self, share: float) -> bool:
        """True in ``share`` of all draws."""
        return self._next() < share

    def between(self, least: int, most: int) -> int:
        """A whole number, both ends included."""
        return least + int(self._next() * (most - least + 1))

    def tenths(self, least: float, most: float) -> float:
        """A number in steps of 0.1, both ends included."""
        return self.between(round(10 * least), round(10 * most)) / 10

    def pick(self, options: Sequence[T]) -> T:
        """One of them."""
        return options[self.between(0, len(options) - 1)]
