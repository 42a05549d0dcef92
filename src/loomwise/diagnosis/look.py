"""All evidence as some hypotheses see it, each choice settled for each of them.

A choice is settled hypothesis by hypothesis: the alternative that fits the items best by
themselves is taken, and what the others add to its chance is kept. With one alternative far ahead,
or readings that hang together by the battery only, this is the sum over all of them.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import lgamma

import numpy as np

from loomwise.diagnosis.choices import PRESENT_SHARE, Alternative, Choice
from loomwise.diagnosis.joint import Columns, each_alone
from loomwise.solver.network import Floats, Ints


@dataclass(frozen=True)
class Number:
    """One numeric reading as f rows predict it; see ``Columns``."""

    mean: Floats  # (f,)
    sensitivity: Floats  # (f, k + 1)
    variance: Floats  # (f,)
    bad: Floats  # (f,)
    value: float
    slip: float


Piece = Number | Floats
"""A number, or the log-chances (f,) of a word."""


@dataclass(frozen=True)
class Settled:
    """A choice with the log-posterior (a, f) of its alternatives and the one taken (f,)."""

    choice: Choice
    log_share: Floats
    taken: Ints


@dataclass(frozen=True)
class Look:
    """Numeric readings, words (f, w), and log-chances (f,) of the choices, all taken together."""

    columns: Columns
    words: Floats
    extra: Floats
    settled: tuple[Settled, ...]

    def rows(self, index: Ints) -> "Look":
        """The same for some of the rows; how choices were settled is left out."""
        return Look(self.columns.rows(index), self.words[index], self.extra[index], ())

    @property
    def apart(self) -> Floats:
        """Log-chance (f,) of the words and the choices: all but the numbers."""
        return np.asarray(self.words.sum(axis=1) + self.extra)

    def each(self, variances: Floats) -> Floats:
        """Log-likelihood (f, items) of each item by itself, numbers first."""
        return np.concatenate([each_alone(self.columns, variances), self.words], axis=1)


def alone(piece: Piece, variances: Floats) -> Floats:
    """Log-likelihood (f,) of one item by itself."""
    return each_alone(columns([piece]), variances)[:, 0] if isinstance(piece, Number) else piece


def columns(numbers: Sequence[Number]) -> Columns:
    """Numeric readings side by side (at least one)."""
    return Columns(
        np.stack([n.mean for n in numbers], axis=1),
        np.stack([n.sensitivity for n in numbers], axis=1),
        np.stack([n.variance for n in numbers], axis=1),
        np.array([n.value for n in numbers]),
        np.array([n.slip for n in numbers]),
        np.stack([n.bad for n in numbers], axis=1),
    )


def picked(ways: Sequence[Piece], taken: Ints) -> Piece:
    """Row by row one of several ways to see an item."""
    f = np.arange(len(taken))
    first = ways[0]
    if not isinstance(first, Number):
        return np.asarray(np.stack([w for w in ways if not isinstance(w, Number)])[taken, f])
    numbers = [w for w in ways if isinstance(w, Number)]
    return replace(
        first,
        mean=np.stack([n.mean for n in numbers])[taken, f],
        sensitivity=np.stack([n.sensitivity for n in numbers])[taken, f],
        variance=np.stack([n.variance for n in numbers])[taken, f],
        bad=np.stack([n.bad for n in numbers])[taken, f],
    )


def settle(
    choice: Choice, alternatives: Sequence[Sequence[Piece]], variances: Floats
) -> tuple[list[Piece], Settled, Floats]:
    """Pieces as taken, the choice settled, and its log-chance (f,) beyond the pieces' own.

    ``alternatives`` holds the pieces of the choice's items for each alternative.
    """
    fits = [[alone(p, variances) for p in pieces] for pieces in alternatives]
    score = np.stack([
        a.log_chance + np.sum(fit, axis=0)
        for a, fit in zip(choice.alternatives, fits, strict=True)
    ])  # fmt: skip
    taken = score.argmax(axis=0)
    total = np.logaddexp.reduce(score, axis=0)
    fit_taken = np.stack([np.sum(fit, axis=0) for fit in fits])[taken, np.arange(len(taken))]
    pieces = [picked(ways, taken) for ways in zip(*alternatives, strict=True)]
    return pieces, Settled(choice, score - total, taken), total - fit_taken


def together(settled: Sequence[Settled]) -> Floats | float:
    """What one unknown chance behind all comings and goings adds (f,): the more alike they are,
    the likelier. Uniform prior; the chance itself is integrated out (beta-binomial)."""
    taken = [s.taken for s in settled if s.choice.comes_and_goes]
    if not taken:
        return 0.0
    n, away = len(taken), np.sum(taken, axis=0)
    log_beta = np.array([lgamma(k + 1) + lgamma(n - k + 1) - lgamma(n + 2) for k in range(n + 1)])
    return np.asarray(log_beta[away] - n * np.log(PRESENT_SHARE))


def blind(number: Number) -> Number:
    """The same reading by a meter whose lead has come off."""
    return replace(
        number,
        mean=np.zeros_like(number.mean),
        sensitivity=np.zeros_like(number.sensitivity),
        variance=np.full_like(number.variance, 0.1**2),
    )


def unchanged(a: Alternative, first: bool) -> bool:
    """Whether an alternative leaves the pieces as they are."""
    return first and a.rows is None and not a.blind
