"""Combinations of controls, made short: "key run and coolant not cold" for a list of setups.

A combination is a tuple of states, one for each control. A cube gives each control a set of states
and stands for all combinations within it.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import permutations

from loomwise.explain.explanation import Condition

Combination = tuple[str, ...]
Cube = tuple[frozenset[str], ...]
MOST_PERMUTED = 4
"""Up to as many controls that matter, every order of widening is tried; beyond, rotations."""


def condition(
    states: Mapping[str, tuple[str, ...]], yes: Sequence[Combination], no: Sequence[Combination]
) -> Condition:
    """A short condition that holds in every combination of ``yes`` and in none of ``no``.

    Combinations in neither list (never looked at) may fall either way.
    """
    names = _that_matter(tuple(states), yes, no)
    short_yes, short_no = (_projected(tuple(states), names, some) for some in (yes, no))
    cubes = _cover(_primes([states[n] for n in names], short_yes, short_no), short_yes)
    any_of = tuple(
        {
            name: tuple(s for s in states[name] if s in some)
            for name, some in zip(names, cube, strict=True)
            if len(some) < len(states[name])
        }
        for cube in cubes
    )
    return Condition(_text(states, any_of), any_of)


def _that_matter(
    names: tuple[str, ...], yes: Sequence[Combination], no: Sequence[Combination]
) -> tuple[str, ...]:
    """The controls without which the two lists could no longer be told apart."""
    kept = names
    for name in reversed(names):
        fewer = tuple(n for n in kept if n != name)
        if not set(_projected(names, fewer, yes)) & set(_projected(names, fewer, no)):
            kept = fewer
    return kept


def _projected(
    names: tuple[str, ...], kept: tuple[str, ...], some: Sequence[Combination]
) -> tuple[Combination, ...]:
    at = [names.index(n) for n in kept]
    return tuple(dict.fromkeys(tuple(one[k] for k in at) for one in some))


def _within(one: Combination, cube: Cube) -> bool:
    return all(state in some for state, some in zip(one, cube, strict=True))


def _primes(
    states: Sequence[tuple[str, ...]], yes: Sequence[Combination], no: Sequence[Combination]
) -> list[Cube]:
    """Cubes around the combinations that cannot be widened without taking in one of ``no``."""
    found = {
        _widened(states, one, no, order): None for one in yes for order in _orders(len(states))
    }
    return list(found)


def _orders(count: int) -> Iterator[tuple[int, ...]]:
    if count <= MOST_PERMUTED:
        yield from permutations(range(count))
        return
    for k in range(count):
        turned = (*range(k, count), *range(k))
        yield turned
        yield turned[::-1]


def _widened(
    states: Sequence[tuple[str, ...]], one: Combination, no: Sequence[Combination],
    order: tuple[int, ...],
) -> Cube:  # fmt: skip
    cube = [frozenset({state}) for state in one]
    for k in order:
        near = [n for n in no if _within(n[:k] + n[k + 1 :], tuple(cube[:k] + cube[k + 1 :]))]
        cube[k] = frozenset(states[k]) - {n[k] for n in near}
    return tuple(cube)


def _cover(primes: list[Cube], yes: Sequence[Combination]) -> list[Cube]:
    """Few cubes that hold every combination: the largest gain first, no idle ones."""
    left, chosen = set(yes), list[Cube]()
    while left:
        best = max(primes, key=lambda c: (sum(_within(one, c) for one in left), _breadth(c)))
        chosen.append(best)
        left -= {one for one in left if _within(one, best)}
    for cube in list(chosen):
        others = [c for c in chosen if c is not cube]
        if all(any(_within(one, c) for c in others) for one in yes):
            chosen = others
    return chosen


def _breadth(cube: Cube) -> int:
    return sum(len(some) for some in cube)


def _text(
    states: Mapping[str, tuple[str, ...]], any_of: Sequence[Mapping[str, tuple[str, ...]]]
) -> str:
    if not any_of:
        return "never"
    return "; or ".join(_all_of(states, cube) for cube in any_of)


def _all_of(states: Mapping[str, tuple[str, ...]], cube: Mapping[str, tuple[str, ...]]) -> str:
    return " and ".join(_literal(n, states[n], some) for n, some in cube.items()) or "always"


def _literal(name: str, known: tuple[str, ...], some: tuple[str, ...]) -> str:
    if len(known) > 2 and len(some) == len(known) - 1:
        return f"{name} not {next(s for s in known if s not in some)}"
    return f"{name} {' or '.join(some)}"
