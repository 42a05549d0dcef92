"""Likelihood of all numeric readings at once, with at most two of them bad.

A hypothesis predicts the readings as one Gaussian: mean m, covariance S V S' + N, where V holds the
variances of the vehicle's own values (battery first) and N the meter's. Leaving one reading out
comes from the inverse covariance Q: the left-out residual is (Q e)_r / Q_rr with variance 1 / Q_rr
(a standard identity of the multivariate normal, likewise for two with a 2 x 2 block of Q), so every
"all but one or two" is at hand.
"""

from dataclasses import dataclass

import numpy as np

from loomwise.solver.network import Floats, Ints

MARGIN = 40.0
"""Rows this far below the best by themselves are not judged jointly. [nat]"""
LOG_2PI = float(np.log(2.0 * np.pi))


@dataclass(frozen=True)
class Columns:
    """Predictions of r numeric readings by h hypotheses, beside what was read.

    mean, variance, bad (h, r); sensitivity (h, r, k + 1); value, slip (r,). ``slip`` is the chance
    that a reading is bad, ``bad`` the density of the value if it is.
    """

    mean: Floats
    sensitivity: Floats
    variance: Floats
    value: Floats
    slip: Floats
    bad: Floats

    def rows(self, index: Ints) -> "Columns":
        """The same readings for some of the hypotheses."""
        return Columns(
            self.mean[index],
            self.sensitivity[index],
            self.variance[index],
            self.value,
            self.slip,
            self.bad[index],
        )

    def without(self, r: int) -> "Columns":
        """One reading fewer."""
        keep = np.arange(len(self.value)) != r
        return Columns(
            self.mean[:, keep], self.sensitivity[:, keep], self.variance[:, keep],
            self.value[keep], self.slip[keep], self.bad[:, keep],
        )  # fmt: skip


@dataclass(frozen=True)
class Joint:
    """Log-likelihood (h,), chance that each reading is bad (h, r), and the vehicle as learned.

    shift (h, k + 1) and cover (h, k + 1, k + 1): mean and covariance of the uncertain values given
    the readings, the row's own value last.
    """

    log_like: Floats
    bad: Floats


def joint(columns: Columns, variances: Floats) -> Joint:
    """Log-likelihood of the readings under each hypothesis; ``variances`` (k + 1,)."""
    h, r = columns.mean.shape
    if r == 0:
        return Joint(np.zeros(h), np.zeros((h, 0)))
    s = columns.sensitivity
    cover = np.einsum("hrk,k,hsk->hrs", s, variances, s)
    cover[:, np.arange(r), np.arange(r)] += columns.variance
    precision = np.linalg.inv(cover)
    e = columns.value - columns.mean
    a = np.einsum("hrs,hs->hr", precision, e)
    log_det = np.linalg.slogdet(cover)[1]
    all_good = -0.5 * (np.einsum("hr,hr->h", e, a) + log_det + r * LOG_2PI)
    q = precision[:, np.arange(r), np.arange(r)]
    alone = -0.5 * (a * a / q - np.log(q) + LOG_2PI)
    slipped = np.log(columns.slip) - np.log1p(-columns.slip) + np.log(columns.bad)
    one_bad = all_good[:, None] - alone + slipped
    first, second = np.triu_indices(r, 1)
    two_bad = all_good[:, None] - _both(precision, a, first, second)
    two_bad += slipped[:, first] + slipped[:, second]
    terms = np.concatenate([all_good[:, None], one_bad, two_bad], axis=1)
    top = terms.max(axis=1, keepdims=True)
    weights = np.exp(terms - top)
    weights /= weights.sum(axis=1, keepdims=True)
    log_like = np.logaddexp.reduce(terms, axis=1) + np.log1p(-columns.slip).sum()
    bad = weights[:, 1 : r + 1].copy()
    for t, (one, two) in enumerate(zip(first.tolist(), second.tolist(), strict=True)):
        bad[:, one] += weights[:, r + 1 + t]
        bad[:, two] += weights[:, r + 1 + t]
    return Joint(log_like, bad)


def joint_of_likely(columns: Columns, variances: Floats, alone: Floats, log_prior: Floats) -> Joint:
    """``joint`` for the rows that may matter; for the others what each reading says by itself.

    ``alone`` (h,) sums the readings' log-likelihoods by themselves, ``log_prior`` (h,) holds all
    else. The battery alone can make readings agree that seem unlikely one by one, so the margin is
    wide.
    """
    rough = log_prior + alone
    rows = np.flatnonzero(rough > rough.max(initial=-np.inf) - MARGIN)
    found = joint(columns.rows(rows), variances)
    log_like, bad = alone.copy(), np.zeros_like(columns.mean)
    log_like[rows], bad[rows] = found.log_like, found.bad
    return Joint(log_like, bad)


def _both(precision: Floats, a: Floats, first: Ints, second: Ints) -> Floats:
    """Log-density (h, pairs) of two readings given all others."""
    p, q, c = precision[:, first, first], precision[:, second, second], precision[:, first, second]
    det = p * q - c * c
    x, y = a[:, first], a[:, second]
    square = (q * x * x - 2.0 * c * x * y + p * y * y) / det
    return np.asarray(-0.5 * (square - np.log(det) + 2.0 * LOG_2PI))


def learned(columns: Columns, bad: Floats, variances: Floats) -> tuple[Floats, Floats]:
    """The vehicle's values given the readings: mean (h, k + 1) and covariance (h, k + 1, k + 1).

    A reading counts by the chance that it is good.
    """
    s = columns.sensitivity
    trust = (1.0 - bad) / columns.variance
    precision = np.einsum("hrk,hr,hrl->hkl", s, trust, s)
    k = len(variances)
    precision[:, np.arange(k), np.arange(k)] += 1.0 / variances
    cover = np.linalg.inv(precision)
    pull = np.einsum("hrk,hr->hk", s, trust * (columns.value - columns.mean))
    return np.einsum("hkl,hl->hk", cover, pull), cover


def each_alone(columns: Columns, variances: Floats) -> Floats:
    """Log-likelihood (h, r) of each reading by itself, bad ones allowed: quick, for screening."""
    spread = np.einsum("hrk,k->hr", columns.sensitivity**2, variances) + columns.variance
    e = columns.value - columns.mean
    good = -0.5 * (e * e / spread + np.log(spread) + LOG_2PI)
    return np.asarray(
        np.logaddexp(good + np.log1p(-columns.slip), np.log(columns.bad * columns.slip))
    )
