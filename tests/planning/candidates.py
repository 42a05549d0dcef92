"""Sets of bad parts as hypotheses, for the worked examples from the literature."""

from collections.abc import Iterable, Sequence
from itertools import combinations

import numpy as np

from loomwise.planning.arrays import Floats

Parts = frozenset[str]


def all_sets(parts: Sequence[str]) -> list[Parts]:
    """Every set of bad parts, the empty one first."""
    sizes = range(len(parts) + 1)
    return [frozenset(chosen) for size in sizes for chosen in combinations(parts, size)]


def independent(sets: Sequence[Parts], n_parts: int, p_bad: float) -> Floats:
    """Weight of each set where every part fails by itself with the same probability."""
    sizes = np.array([len(bad) for bad in sets])
    weights: Floats = p_bad**sizes * (1.0 - p_bad) ** (n_parts - sizes)
    return weights


def minimal(sets: Sequence[Parts], weights: Floats) -> set[Parts]:
    """The sets still possible that contain no smaller one still possible."""
    possible = [bad for bad, weight in zip(sets, weights, strict=True) if weight > 0.0]
    return {bad for bad in possible if not any(other < bad for other in possible)}


def named(*diagnoses: str) -> set[Parts]:
    """``named("A1", "A2 M2")`` is {{A1}, {A2, M2}}."""
    return {frozenset(text.split()) for text in diagnoses}


def share_with(part: str, sets: Iterable[Parts], weights: Floats) -> float:
    """How likely a part is to be among the bad ones."""
    return float(sum(w for bad, w in zip(sets, weights, strict=True) if part in bad))
