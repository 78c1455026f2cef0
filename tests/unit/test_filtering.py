"""Readings of a rating, weights and mixtures of the bank."""

import numpy as np
import pytest
from scipy import stats

from coaching.science.filtering import Belief, condition, mixture, predicted, rating_reading, reweigh, weighted_level
from tests.plain_filters import Plain, rated

REPORT = (0.9, 6.0)


@pytest.mark.parametrize("half", [0.5, 1.0])
@pytest.mark.parametrize("rating", [0.0, 2.0, 6.0, 9.0, 10.0])
def test_a_rating_is_an_interval_with_heavy_tails(rating: float, half: float) -> None:
    """The same step with a matrix and a truncated normal of scipy.stats; readings near and far, states correlated."""
    mean, cov = np.array([5.5, 1.0]), np.array([[0.8, 0.3], [0.3, 0.5]])
    z = np.array([1.0, -0.6])
    plain = Plain(mean, cov)
    rated(plain, z, 0.0, (rating, half), REPORT)
    belief, row = Belief(mean[:, None], cov[..., None]), {0: 1.0, 1: -0.6}
    read = rating_reading(*predicted(belief, row), np.array([rating]), np.array([half]), REPORT)
    after = condition(belief, row, read, np.array([True]))
    assert after.mean[:, 0] == pytest.approx(plain.mean, rel=1e-9)
    np.testing.assert_allclose(after.cov[..., 0], plain.cov, rtol=1e-8)
    assert read.log_likelihood[0] == pytest.approx(plain.log_likelihood, rel=1e-9)


def test_a_rating_that_did_not_come_says_nothing() -> None:
    one = np.ones(1)
    assert rating_reading(5 * one, one, np.nan * one, 0.5 * one, REPORT).log_likelihood[0] == 0.0



def test_mean_and_variance_of_a_mixture_are_those_of_its_density() -> None:
    """Numerical moments of the summed densities (scipy.stats) on a fine grid."""
    weight, mean, var = np.array([0.2, 0.5, 0.3]), np.array([3.0, 6.5, 5.0]), np.array([0.4, 0.1, 1.2])
    got_mean, got_var = mixture(weight[:, None], mean[:, None], var[:, None])
    x = np.linspace(-5, 15, 40_001)
    density = sum(w * stats.norm.pdf(x, m, np.sqrt(v)) for w, m, v in zip(weight, mean, var, strict=True))
    step = x[1] - x[0]
    middle = (x * density).sum() * step
    assert got_mean[0] == pytest.approx(middle, rel=1e-9)
    assert got_var[0] == pytest.approx(((x - middle) ** 2 * density).sum() * step, rel=1e-9)  # smooth, so exact


def test_rounding_never_leaves_the_scale() -> None:
    third = np.full((3, 1), 1 / 3 + 1e-9)
    assert weighted_level(third, np.full((3, 1), 10.0))[0] == 10.0
    assert weighted_level(third, np.full((3, 1), -1e-9))[0] == 0.0


def test_weights_follow_bayes_rule_however_unlikely_the_reading() -> None:
    """Products of prior and likelihood over their sum; so unlikely that no likelihood itself can be written down."""
    prior = np.array([[0.5], [0.3], [0.2]])
    log_likelihood = np.array([[-1.0], [-2.0], [-0.5]])
    by_hand = prior * np.exp(log_likelihood)
    for shift in (0.0, -2000.0, 900.0):
        weight = np.exp(reweigh(np.log(prior), log_likelihood + shift))
        assert weight == pytest.approx(by_hand / by_hand.sum(), rel=1e-9)
