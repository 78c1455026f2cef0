"""Ratings that would be reported: against a simulation of what the quantiles approximate, and at the ends."""

import numpy as np
import pytest
from scipy import optimize, stats

from coaching.science.inputs import Floats
from coaching.science.normal import quantile
from coaching.science.reported import LEVELS, rating_quantiles
from coaching.science.versions import CURRENT, get
from tests.courses import DAYS, ORIGIN, calm, told

MODEL = get(CURRENT)


def noise(rng: np.random.Generator, draws: int) -> Floats:
    """Student's t of 6 degrees, brought to a variance of one (it has 6 / 4)."""
    return np.asarray(rng.standard_t(6, draws) * np.sqrt(4 / 6))


def test_with_a_wide_state_and_no_noise_it_is_the_normal_quantile() -> None:
    """Normal quantiles (Abramowitz & Stegun 1964, table 26.5); the step left of the answer adds 1e-9."""
    one = np.array([5.0])
    said = rating_quantiles(one, np.ones(1), np.array([1e-5]), (1e-5, 6.0))[:, 0]
    np.testing.assert_allclose(said, 5.0 + quantile(np.array(LEVELS)), atol=1e-6)


@pytest.mark.parametrize(("mean", "sd"), [(5.0, 0.6), (5.3, 1.2), (4.6, 1.8)])
def test_the_quantiles_are_those_of_simulated_ratings_before_rounding_to_the_end(mean: float, sd: float) -> None:
    """Normal state plus Student's t (6 degrees) plus a flat step, drawn. Tolerance 0.06 pt: the sampling error of
    the outermost quantile of 400 000 draws is 0.01 pt, the rest is that four moments do not fix a distribution.
    """
    rng, draws = np.random.default_rng(3), 400_000
    told_pt = mean + sd * rng.normal(size=draws) + 0.95 * noise(rng, draws) + rng.uniform(-0.5, 0.5, draws)
    said = rating_quantiles(np.array([mean]), np.array([sd**2]), np.array([0.5]), (0.95, 6.0))[:, 0]
    np.testing.assert_allclose(said, np.clip(np.quantile(told_pt, LEVELS), 0, 10), atol=0.06)


@pytest.mark.parametrize("mean", [0.3, 2.1, 4.9, 6.5, 9.6])
def test_the_80_percent_range_covers_rounded_ratings(mean: float) -> None:
    """Within 0.68-0.97 for one mean (whole numbers fall in or out together), at the ends wider still."""
    rng, draws = np.random.default_rng(4), 60_000
    raw = mean + 1.1 * rng.normal(size=draws) + 0.95 * noise(rng, draws)
    answer = np.clip(np.round(raw), 0, 10)
    said = rating_quantiles(np.array([mean]), np.array([1.21]), np.array([0.5]), (0.95, 6.0))[:, 0]
    assert 0.68 < np.mean((answer >= said[1]) & (answer <= said[5])) < 0.97


def test_over_many_means_the_80_percent_range_covers_four_in_five() -> None:
    """Means spread over the middle of the scale; 0.77-0.83 is the range asked of the whole model."""
    rng, draws = np.random.default_rng(5), 60_000
    mean = rng.uniform(3.5, 6.5, draws)
    answer = np.clip(np.round(mean + 1.1 * rng.normal(size=draws) + 0.95 * noise(rng, draws)), 0, 10)
    said = rating_quantiles(mean, np.full(draws, 1.21), np.full(draws, 0.5), (0.95, 6.0))
    assert 0.77 < np.mean((answer >= said[1]) & (answer <= said[5])) < 0.83


def test_quantiles_rise_with_their_chance_and_stay_on_the_scale() -> None:
    said = MODEL.reported(told(np.random.default_rng(1), 6))
    for values in (said.reserve_pt, said.dampness_pt):
        assert values.shape == (len(LEVELS), 6, DAYS)
        assert np.all(np.diff(values, axis=0) >= 0) and values.min() >= 0 and values.max() <= 10


def test_days_are_picked_by_slice_or_by_index() -> None:
    course = told(np.random.default_rng(2), 3)
    _, state = MODEL.filter(course)
    whole = MODEL.reported(course, state=state)
    some = MODEL.reported(course, state=state, days=np.array([ORIGIN + 7, ORIGIN + 14]))
    assert np.array_equal(some.reserve_pt, whole.reserve_pt[:, :, [ORIGIN + 7, ORIGIN + 14]])
    part = MODEL.reported(course, days=slice(ORIGIN, None))
    assert np.array_equal(part.dampness_pt, whole.dampness_pt[:, :, ORIGIN:])


SUMS = [(1.2, 0.95, 6.0, 0.5), (0.3, 1.4, 5.0, 1.0), (2.0, 0.5, 12.0, 0.5)]


@pytest.mark.parametrize(("var", "sd", "df", "half"), SUMS)
def test_variance_and_kurtosis_are_those_of_the_sum(var: float, sd: float, df: float, half: float) -> None:
    """scipy.stats: of independent parts variances and fourth cumulants add up; a flat step, and noise of Student's t
    brought to its variance, beside a normal state. The step's own fourth cumulant is left out, as Sheppard does.
    """
    total = var + sd**2 + stats.uniform(-half, 2 * half).var()
    kurtosis = float(stats.t(df).stats("k")) * sd**4 / total**2
    whole_df = optimize.brentq(lambda x: float(stats.t(x).stats("k")) - kurtosis, 4.01, 1e4)
    law = stats.t(whole_df, loc=5.0, scale=np.sqrt(total / stats.t(whole_df).var()))
    said = rating_quantiles(np.array([5.0]), np.array([var]), np.array([half]), (sd, df))[:, 0]
    np.testing.assert_allclose(said, np.clip(law.ppf(LEVELS), 0, 10), rtol=1e-6)  # of the search for the degrees


def test_a_noise_without_fourth_moment_is_refused() -> None:
    with pytest.raises(ValueError, match="degrees"):
        rating_quantiles(np.ones(1), np.ones(1), np.ones(1), (1.0, 4.0))


def test_silence_forecasts_the_prior() -> None:
    said = MODEL.reported(calm(2))
    assert np.array_equal(said.reserve_pt[:, 0], said.reserve_pt[:, 1])
