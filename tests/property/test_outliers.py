"""One wild rating moves a belief less than a plain update would, and never past what was said."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from coaching.science.filtering import Belief, condition, exact_reading, predicted, rating_reading
from coaching.science.quantities import defaults

P = defaults()
REPORT = (P["reserve_report_sd_pt"], P["report_tail_df"])
HALF, KNOWN = np.array([0.5]), np.array([True])
means, variances, ratings = st.floats(0, 10), st.floats(0.05, 4.0), st.integers(0, 10).map(float)


def belief(mean: float, var: float) -> Belief:
    return Belief(np.full((1, 1), mean), np.full((1, 1, 1), var))


def moved(mean: float, var: float, rating: float, tail_df: float) -> Belief:
    start = belief(mean, var)
    told = rating_reading(*predicted(start, {0: 1.0}), np.array([rating]), HALF, (REPORT[0], tail_df))
    return condition(start, {0: 1.0}, told, KNOWN)


@given(means, variances, ratings)
@settings(max_examples=200, deadline=None)
def test_a_wild_rating_moves_less_than_the_plain_update(mean: float, var: float, rating: float) -> None:
    """Wild: three and more of its own predicted spreads away. Plain: normal noise of the same report, no steps."""
    total = var + REPORT[0] ** 2
    plain = exact_reading(np.array([mean]), np.array([var]), np.array([rating]), REPORT[0] ** 2)
    by_plain = abs(condition(belief(mean, var), {0: 1.0}, plain, KNOWN).mean[0, 0] - mean)
    by_rating = abs(moved(mean, var, rating, REPORT[1]).mean[0, 0] - mean)
    if abs(rating - mean) >= 3 * np.sqrt(total):
        assert by_rating < by_plain
    assert by_rating <= abs(moved(mean, var, rating, 1e12).mean[0, 0] - mean) + 1e-12


@given(means, variances, ratings)
@settings(max_examples=200, deadline=None)
def test_a_rating_moves_towards_itself_and_narrows(mean: float, var: float, rating: float) -> None:
    after = moved(mean, var, rating, REPORT[1])
    step = after.mean[0, 0] - mean
    if abs(rating - mean) > 0.5 and 0 < rating < 10:
        assert np.sign(step) == np.sign(rating - mean) and abs(step) <= abs(rating - mean)
    if rating == 0:
        assert step <= 1e-12
    if rating == 10:
        assert step >= -1e-12
    assert 0 < after.cov[0, 0, 0] <= var + 1e-12


@given(means, variances, st.integers(0, 4).map(float))
@settings(max_examples=100, deadline=None)
def test_the_scale_reads_alike_from_both_ends(mean: float, var: float, rating: float) -> None:
    low, high = moved(mean, var, rating, REPORT[1]), moved(10 - mean, var, 10 - rating, REPORT[1])
    assert np.isclose(low.mean[0, 0], 10 - high.mean[0, 0], atol=1e-9)
    assert np.isclose(low.cov[0, 0, 0], high.cov[0, 0, 0], rtol=1e-7)
