from itertools import combinations

import numpy as np
import pytest

from loomwise.diagnosis.joint import Columns, each_alone, joint, learned
from loomwise.solver.network import Floats

VARIANCES = np.array([0.09, 0.04, 1.0])


def some_columns(r: int, seed: int, h: int = 6) -> Columns:
    """Random predictions of r readings by h hypotheses; some fit, some do not."""
    rng = np.random.default_rng(seed)
    mean = rng.normal(6.0, 4.0, (h, r))
    return Columns(
        mean,
        rng.normal(0.0, 1.0, (h, r, len(VARIANCES))),
        rng.uniform(0.001, 0.2, (h, r)),
        mean[0] + rng.normal(0.0, 0.5, r),
        rng.uniform(0.01, 0.1, r),
        rng.uniform(0.01, 0.4, (h, r)),
    )


def gaussian_log(c: Columns, row: int, good: tuple[int, ...]) -> float:
    """Log-density of the good readings alone, by the textbook formula."""
    if not good:
        return 0.0
    k = list(good)
    s = c.sensitivity[row][k]
    cover = s @ np.diag(VARIANCES) @ s.T + np.diag(c.variance[row][k])
    e = (c.value - c.mean[row])[k]
    chi2 = float(e @ np.linalg.solve(cover, e))
    return -0.5 * (chi2 + float(np.log(np.linalg.det(2.0 * np.pi * cover))))


def by_listing(c: Columns, row: int, most_bad: int) -> tuple[float, Floats]:
    """Log-likelihood, and each reading's chance to be bad, by listing which are bad."""
    r = len(c.value)
    total, bad = 0.0, np.zeros(r)
    for n in range(most_bad + 1):
        for which in combinations(range(r), n):
            good = tuple(k for k in range(r) if k not in which)
            density = np.exp(gaussian_log(c, row, good)) * np.prod(1.0 - c.slip[list(good)])
            density *= np.prod([c.slip[k] * c.bad[row, k] for k in which])
            total += density
            bad[list(which)] += density
    return float(np.log(total)), bad / total


@pytest.mark.parametrize("r", [1, 2, 3, 5])
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_likelihood_is_that_of_listing_the_bad_readings(r: int, seed: int) -> None:
    """Up to two readings may be bad: the short way equals listing every pair of them."""
    columns = some_columns(r, seed)
    got = joint(columns, VARIANCES)
    for row in range(len(columns.mean)):
        log_like, bad = by_listing(columns, row, 2)
        assert got.log_like[row] == pytest.approx(log_like, rel=1e-9, abs=1e-9)
        assert got.bad[row] == pytest.approx(bad, abs=1e-9)


def test_leaving_one_reading_out() -> None:
    """If a reading is surely bad, the rest count as if it had never been taken."""
    columns = some_columns(4, seed=5)
    for k in range(4):
        slip = np.full(4, 1e-12)
        slip[k] = 1.0 - 1e-12
        bad = np.ones_like(columns.bad)
        sure = Columns(
            columns.mean, columns.sensitivity, columns.variance, columns.value, slip, bad
        )
        expected = gaussian_log(columns.without(k), 0, (0, 1, 2))
        assert joint(sure, VARIANCES).log_like[0] == pytest.approx(expected, abs=1e-6)


def test_no_reading_says_nothing() -> None:
    """Before the first reading every suspect stands where its weight puts it."""
    assert np.array_equal(joint(some_columns(0, 1), VARIANCES).log_like, np.zeros(6))


def test_one_reading_alone_is_the_same_both_ways() -> None:
    """The quick look at each reading by itself equals the joint one of a single reading."""
    columns = some_columns(1, seed=7)
    quick, whole = each_alone(columns, VARIANCES)[:, 0], joint(columns, VARIANCES).log_like
    assert quick == pytest.approx(whole, rel=1e-9)


def test_order_of_columns_does_not_matter() -> None:
    """Readings in another order weigh the same."""
    c, order = some_columns(4, seed=9), np.array([2, 0, 3, 1])
    turned = Columns(
        c.mean[:, order], c.sensitivity[:, order], c.variance[:, order],
        c.value[order], c.slip[order], c.bad[:, order],
    )  # fmt: skip
    one, other = joint(c, VARIANCES), joint(turned, VARIANCES)
    assert other.log_like == pytest.approx(one.log_like, rel=1e-9)
    assert other.bad == pytest.approx(one.bad[:, order], abs=1e-9)


@pytest.mark.parametrize("seed", [1, 2])
def test_what_is_learned_of_the_vehicle(seed: int) -> None:
    """Readings narrow the vehicle's values as least squares with the prior as data would."""
    c = some_columns(4, seed)
    doubt = np.random.default_rng(seed).uniform(0.0, 0.9, c.mean.shape)
    shift, cover = learned(c, doubt, VARIANCES)
    for row in range(len(c.mean)):
        sd = np.sqrt(c.variance[row] / (1.0 - doubt[row]))
        rows = np.vstack([c.sensitivity[row] / sd[:, None], np.diag(VARIANCES**-0.5)])
        right = np.concatenate([(c.value - c.mean[row]) / sd, np.zeros(len(VARIANCES))])
        fitted, *_ = np.linalg.lstsq(rows, right, rcond=None)
        assert shift[row] == pytest.approx(fitted, rel=1e-8, abs=1e-10)
        _, upper = np.linalg.qr(rows)
        inverse = np.linalg.inv(upper)
        assert cover[row] == pytest.approx(inverse @ inverse.T, rel=1e-7, abs=1e-10)


def test_a_reading_surely_bad_teaches_nothing() -> None:
    """What a missed probe showed does not move the battery's voltage."""
    c = some_columns(2, seed=3)
    shift, cover = learned(c, np.ones_like(c.mean), VARIANCES)
    assert shift == pytest.approx(0.0)
    assert cover == pytest.approx(np.broadcast_to(np.diag(VARIANCES), cover.shape))
