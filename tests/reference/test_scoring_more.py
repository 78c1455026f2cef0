"""Scores of chances and of ranges against closed forms and SciPy, a general library (named beside each check)."""

import numpy as np
import pytest
from scipy import integrate, stats

from coaching.science.scoring import brier, crps_normal
from coaching.science.scoring_chances import (
    area_under_curve,
    calibration_error,
    resampled,
    share_range,
    skill,
)
from coaching.science.scoring_ranges import coverage, crps_quantiles, transform, transform_shares

RNG = np.random.default_rng(7)


@pytest.mark.parametrize("ties", [False, True])
def test_area_equals_the_rank_sum_of_scipy(ties: bool) -> None:
    """scipy.stats.mannwhitneyu: U over the product of both sizes."""
    score = RNG.normal(size=80).round(0 if ties else 8)
    positive = RNG.random(80) < 0.4
    u = stats.mannwhitneyu(score[positive], score[~positive]).statistic
    assert area_under_curve(score, positive) == pytest.approx(u / (positive.sum() * (~positive).sum()), abs=1e-12)


def test_area_without_either_kind_is_not_known() -> None:
    assert np.isnan(area_under_curve(np.array([0.1, 0.2]), np.array([True, True])))


def test_quantile_crps_of_a_normal_nears_its_closed_form() -> None:
    """Gneiting & Raftery 2007, eq. 21; 2000 quantiles leave less than 1e-3 of a unit (the tails beyond the last)."""
    levels = (np.arange(2000) + 0.5) / 2000
    mean, sd, value = np.array([0.0, 2.0, -1.0]), np.array([1.0, 0.5, 3.0]), np.array([0.3, 3.1, -4.0])
    quantiles = mean + sd * stats.norm.ppf(levels)[:, None]
    assert crps_quantiles(quantiles, levels, value) == pytest.approx(crps_normal(mean, sd, value), abs=1e-3)


def test_quantile_crps_of_a_flat_forecast() -> None:
    """Closed form for the uniform on 0 to 1 at y: 1/3 - y + y^2, integrated by scipy as well."""
    levels, y = (np.arange(4000) + 0.5) / 4000, 0.2
    by_integral = integrate.quad(lambda x: (x - (x >= y)) ** 2, 0, 1, points=[y])[0]
    assert by_integral == pytest.approx(1 / 3 - y + y * y, abs=1e-9)
    assert crps_quantiles(levels[:, None], levels, np.array([y]))[0] == pytest.approx(by_integral, abs=1e-3)


def test_evenly_spaced_levels_weigh_alike() -> None:
    """Twice the mean pinball loss, the form that general libraries of scores use for quantiles."""
    levels = np.array([0.1, 0.3, 0.5, 0.7, 0.9])
    quantiles, value = np.array([[1.0], [2.0], [3.0], [4.0], [6.0]]), np.array([3.5])
    pinball = np.where(value >= quantiles, levels[:, None], levels[:, None] - 1) * (value - quantiles)
    assert crps_quantiles(quantiles, levels, value)[0] == pytest.approx(2 * pinball.mean(), abs=1e-12)


def test_levels_that_do_not_rise_are_refused() -> None:
    with pytest.raises(ValueError, match="rise"):
        crps_quantiles(np.zeros((2, 1)), np.array([0.5, 0.5]), np.zeros(1))


def test_coverage_counts_ends_and_leaves_out_what_is_not_known() -> None:
    low, high, value = np.zeros(4), np.ones(4), np.array([0.0, 1.0, 1.5, np.nan])
    assert coverage(low, high, value) == pytest.approx(2 / 3)
    assert np.isnan(coverage(low[:1], high[:1], value[3:]))


def test_transform_of_a_normal_equals_its_distribution() -> None:
    """scipy.stats.norm.cdf; straight lines between 999 quantiles are off by less than 1e-4."""
    levels = np.arange(1, 1000) / 1000
    quantiles = np.repeat(stats.norm.ppf(levels)[:, None], 3, axis=1)
    value = np.array([-1.2, 0.0, 0.8])
    assert transform(quantiles, levels, value) == pytest.approx(stats.norm.cdf(value), abs=1e-4)
    ends = transform(quantiles[:, :2], levels, np.array([-99.0, 99.0]))
    assert ends == pytest.approx([0.0005, 0.9995])


def test_transforms_of_right_forecasts_of_steps_are_flat() -> None:
    """Czado, Gneiting & Held 2009: exactly flat when each answer has the chance that was forecast."""
    chance = np.array([0.1, 0.2, 0.4, 0.3])
    upper = np.cumsum(chance)
    drawn = np.repeat(np.arange(4), (1000 * chance).astype(int))
    assert transform_shares((upper - chance)[drawn], upper[drawn]) == pytest.approx([0.25] * 4, abs=1e-9)


@pytest.mark.parametrize(("count", "of"), [(0, 1), (1, 1), (0, 10), (3, 10), (10, 10), (81, 263)])
def test_range_of_a_share_equals_scipys_wilson(count: int, of: int) -> None:
    """scipy.stats.binomtest(...).proportion_ci(method="wilson"); z of four decimals explains 1e-5."""
    own = share_range(np.array([float(count)]), np.array([float(of)]), z=1.9600)
    told = stats.binomtest(count, of).proportion_ci(0.95, method="wilson")
    assert (own[0][0], own[1][0]) == pytest.approx((told.low, told.high), abs=1e-5)


def test_nothing_counted_may_be_anything() -> None:
    low, high = share_range(np.zeros(1), np.zeros(1))
    assert (low[0], high[0]) == (0.0, 1.0)


def test_calibration_error_by_hand() -> None:
    """Two bins: 4 forecasts of .25 of which 2 held (gap 1), 6 of .75 of which 3 held (gap 1.5), over 10."""
    p = np.array([0.25] * 4 + [0.75] * 6)
    held = np.array([1, 1, 0, 0, 1, 1, 1, 0, 0, 0], dtype=np.float64)
    assert calibration_error(p, held) == pytest.approx(0.25)
    assert calibration_error(np.array([1.0]), np.array([1.0])) == 0.0
    last = np.array([0.92, 1.0])  # one bin, from .9 up to and with 1: a gap of .92 over two
    assert calibration_error(last, np.array([1.0, 0.0])) == pytest.approx(0.46)


def test_skill_is_the_share_saved() -> None:
    held = np.array([1.0, 0.0, 1.0, 1.0])
    base = brier(np.full(4, 0.75), held)
    assert base == pytest.approx(0.1875)
    assert skill(0.09375, base) == pytest.approx(0.5)
    assert np.isnan(skill(0.1, 0.0))


def test_drawing_athletes_again_holds_the_gain_between_its_ends() -> None:
    """Efron & Tibshirani 1993: for sums of many alike athletes the percentile range is near normal theory's."""
    group = np.repeat(np.arange(200), 5)
    other = np.full(1000, 1.0)
    own = 0.8 + np.repeat(RNG.normal(0, 0.2, 200), 5)
    low, high = resampled(own, other, group, draws=2000)
    mean, half = 1 - own.mean(), 1.96 * own.reshape(200, 5).mean(axis=1).std() / np.sqrt(200)
    assert (low, high) == pytest.approx((mean - half, mean + half), abs=0.15 * half + 0.002)
    assert np.isnan(resampled(own[:5], other[:5], group[:5])[0])


def test_three_athletes_are_enough_to_draw_again_and_two_are_not() -> None:
    own, other = np.full(6, 0.4), np.full(6, 0.5)
    assert resampled(own, other, np.repeat(np.arange(3), 2)) == pytest.approx((0.2, 0.2))
    assert np.isnan(resampled(own[:4], other[:4], np.repeat(np.arange(2), 2))[0])


def test_the_unit_of_scores_does_not_change_the_range_of_a_skill() -> None:
    """A share of two sums: scores a thousand times as small say the same, to rounding."""
    rng = np.random.default_rng(8)
    own, other, group = rng.uniform(0.1, 0.2, 30), rng.uniform(0.2, 0.4, 30), np.arange(30) // 3
    whole = resampled(own, other, group)
    assert resampled(own / 1000, other / 1000, group) == pytest.approx(whole, rel=1e-9)
    assert 0.3 < whole[0] < 1 - own.sum() / other.sum() < whole[1] < 0.7
