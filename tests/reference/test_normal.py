"""Truncated normal moments against a general library, and the interval reading of a rating."""

import numpy as np
import pytest
from scipy import stats

from coaching.science.filtering import rating_reading
from coaching.science.normal import cdf, density, quantile, truncated_moments

BOUNDS = [
    (-1.0, 0.5),
    (0.2, 0.9),
    (-np.inf, -1.3),
    (2.0, np.inf),
    (3.0, 4.0),
    (-8.0, -7.5),
    (-6.0, 6.0),
    (4.5, 4.6),
    (7.5, 8.0),
]


@pytest.mark.parametrize(("low", "high"), BOUNDS)
def test_moments_equal_scipy_truncnorm(low: float, high: float) -> None:
    mass, mean, var = (float(m[0]) for m in truncated_moments(np.array([low]), np.array([high])))
    law = stats.truncnorm(low, high)
    # Far in the tail the variance is a small difference of large numbers in either code: one in a million.
    assert mass == pytest.approx(stats.norm.cdf(high) - stats.norm.cdf(low), rel=1e-6)
    assert mean == pytest.approx(law.mean(), rel=1e-9, abs=1e-12)
    assert var == pytest.approx(law.var(), rel=1e-6)


@pytest.mark.parametrize("far", [38.0, 60.0, 1e3])
def test_beyond_all_digits_the_nearer_bound_is_left_and_nothing_is_open(far: float) -> None:
    """Mills ratio (Abramowitz & Stegun 1964, 26.2.13): so far out all that is left lies within 1 / far of the bound."""
    _, mean, var = truncated_moments(np.array([far, -far - 1.0]), np.array([far + 1.0, -far]))
    assert mean == pytest.approx([far, -far], abs=1 / far) and np.all((var >= 0) & (var <= 1 / far**2))


def test_distribution_function_of_a_printed_table() -> None:
    """Abramowitz & Stegun 1964, Table 26.1: P(1) .84134 47461, P(1.96) .97500 21049; Z(0) .39894 22804."""
    assert cdf(np.array([1.0, 1.96])) == pytest.approx([0.8413447461, 0.9750021049], abs=5e-11)
    assert density(np.array([0.0]))[0] == pytest.approx(0.3989422804, abs=5e-11)
    assert quantile(np.array([0.9750021049]))[0] == pytest.approx(1.96, abs=1e-9)


def test_rating_in_the_middle_moves_the_mean_as_quadrature_does() -> None:
    """Bayes by brute force on a fine grid: prior N(5, 1), rating 7 read as 6.5 to 7.5 with report sd 0.9, no
    tails.
    """
    level = np.linspace(-5, 15, 200_001)
    told = stats.norm.cdf((7.5 - level) / 0.9) - stats.norm.cdf((6.5 - level) / 0.9)
    weight = stats.norm.pdf(level, 5, 1) * told
    mean = (weight * level).sum() / weight.sum()
    one = np.ones(1)
    reading = rating_reading(5 * one, one, 7 * one, 0.5 * one, (0.9, 1e12))
    moved = 5 + (reading.seen_mean - reading.mean) / reading.var
    assert moved[0] == pytest.approx(mean, abs=1e-6)  # step of the grid
    assert np.exp(reading.log_likelihood[0]) == pytest.approx(
        weight.sum() / stats.norm.pdf(level, 5, 1).sum(), rel=1e-6
    )


def test_a_wild_rating_moves_less_than_the_plain_update() -> None:
    one = np.ones(1)
    heavy = rating_reading(8 * one, one, 1 * one, 0.5 * one, (0.9, 6.0))
    plain = rating_reading(8 * one, one, 1 * one, 0.5 * one, (0.9, 1e12))
    move = [abs(float((r.seen_mean - r.mean)[0] / r.var[0])) for r in (heavy, plain)]
    assert move[0] < 0.6 * move[1]
