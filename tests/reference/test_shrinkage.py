"""What little is known of one is drawn to what is known of all: the steps of the filters on two classic data sets,
against a general library (statsmodels, recorded by make.py).
"""

import json
from pathlib import Path

import numpy as np
import pytest

from coaching.science.filtering import Belief, advance, condition, exact_reading, predicted
from coaching.science.trial_shrink import Prior, at_spread, shrink

MADE = json.loads((Path(__file__).parents[2] / "fixtures/reference/shrinkage.json").read_text())
SCHOOLS, SLEEP = MADE["schools"], MADE["sleep"]
KNOWN = np.array([True])
WIDE_VAR = 1e8


def taken(belief: Belief, row: dict, value: float, noise_var: float) -> Belief:
    reading = exact_reading(*predicted(belief, row), np.array([value]), noise_var)
    return condition(belief, row, reading, KNOWN)


def all_schools(spread: float) -> Belief:
    """The mean of all, from school to school; each adds an effect of its own, forgotten before the next."""
    belief = Belief(np.zeros((2, 1)), np.diag([WIDE_VAR, spread**2])[..., None])
    for effect, se in SCHOOLS["effect_and_se"]:
        belief = taken(belief, {0: 1.0, 1: 1.0}, effect, se**2)
        belief = advance(belief, ({0: 1.0}, {1: 0.0}), {}, {1: np.array([spread**2])})
    return belief


@pytest.mark.parametrize("pooled", SCHOOLS["pooled"])
def test_mean_of_the_schools(pooled: dict) -> None:
    """Weighted least squares with 1 / (se^2 + spread^2); a start of 1e8 in place of none costs two in ten million."""
    belief = all_schools(pooled["spread"])
    assert belief.mean[0, 0] == pytest.approx(pooled["mean"], rel=1e-6)
    assert np.sqrt(belief.cov[0, 0, 0]) == pytest.approx(pooled["se"], rel=1e-6)


# Gelman et al. 2013, 5.4: at a known spread each effect is a mean weighted by both precisions; first and third school.
DRAWN = [(5.0, 9.8659, 6.8856), (10.0, 14.2414, 5.0011)]


@pytest.mark.parametrize(("spread", "first", "third"), DRAWN)
def test_single_schools_are_drawn_to_all(spread: float, first: float, third: float) -> None:
    pooled = next(row["mean"] for row in SCHOOLS["pooled"] if row["spread"] == spread)
    for place, expected in ((0, first), (2, third)):
        effect, se = SCHOOLS["effect_and_se"][place]
        prior = Belief(np.full((1, 1), pooled), np.full((1, 1, 1), spread**2))
        got = taken(prior, {0: 1.0}, effect, se**2)
        by_hand = (effect / se**2 + pooled / spread**2) / (1 / se**2 + 1 / spread**2)
        assert got.mean[0, 0] == pytest.approx(expected, abs=5e-5)  # printed to four decimals
        assert got.mean[0, 0] == pytest.approx(by_hand, rel=1e-12)
        assert got.cov[0, 0, 0] == pytest.approx(1 / (1 / se**2 + 1 / spread**2), rel=1e-12)


@pytest.mark.parametrize("subject", SLEEP["subjects"])
def test_level_and_slope_of_one_sleeper(subject: str) -> None:
    """Day after day from the squad's mean and covariance: the best linear unbiased predictor of the mixed model, and
    how well it is known. Published fit (lme4, REML): 251.405, 10.467; variances 612.1, 35.07; residual 654.9.
    """
    assert SLEEP["fixed"] == pytest.approx([251.405, 10.467], abs=5e-4)
    assert SLEEP["noise_var"] == pytest.approx(654.94, rel=1e-3)
    own = SLEEP["subjects"][subject]
    belief = Belief(np.array(SLEEP["fixed"])[:, None], np.array(SLEEP["cov"])[..., None])
    for day, reaction in zip(own["days"], own["reaction_ms"], strict=True):
        belief = taken(belief, {0: 1.0, 1: float(day)}, reaction, SLEEP["noise_var"])
    effects = belief.mean[:, 0] - np.array(SLEEP["fixed"])
    assert effects == pytest.approx(own["effects"], rel=1e-6, abs=1e-6)  # two ways to the same normal equations
    np.testing.assert_allclose(belief.cov[..., 0], own["effects_cov"], rtol=1e-6)


LEVELS = SLEEP["levels"]


def test_a_level_of_each_ones_own_as_a_trial_is_drawn_to_the_squad() -> None:
    """`trial_shrink` on eighteen sleepers: means of ten days with their standard errors, against the predictors of the
    mixed model with one slope for all. Published fit (lme4, REML): 251.405, 10.467; variance 1378.18, residual 960.46,
    criterion 1786.465; another optimiser moves variances by less than two in a thousand.
    """
    assert (LEVELS["var"], LEVELS["noise_var"]) == pytest.approx((1378.18, 960.46), rel=2e-3)
    assert LEVELS["minus_2_log_likelihood"] == pytest.approx(1786.465, abs=5e-3)
    mean, se = np.array(LEVELS["mean_ms"]), np.sqrt(LEVELS["noise_var"] / np.array(LEVELS["days"]))
    at_middle = LEVELS["fixed"][0] + LEVELS["fixed"][1] * LEVELS["mean_day"][0]
    own, var, common, _ = at_spread(mean, se, float(np.sqrt(LEVELS["var"])), Prior(0.0, np.inf, 1.0))
    assert common == pytest.approx(at_middle, rel=1e-9)
    np.testing.assert_allclose(own, at_middle + np.array(LEVELS["effects"]), rtol=1e-9)
    assert np.all(var < se**2)


def test_a_spread_that_is_not_known_is_found_near_the_mixed_models() -> None:
    """Eighteen sleepers say the spread to about a sixth of itself (chi-square of 17 degrees of freedom); the weak prior
    leaves it there, and each sleeper within a fifth of their standard error of the mixed model's predictor.
    """
    mean, se = np.array(LEVELS["mean_ms"]), np.sqrt(LEVELS["noise_var"] / np.array(LEVELS["days"]))
    found = shrink(mean, se, Prior(0.0, np.inf, 30.0))
    assert found.spread == pytest.approx(np.sqrt(LEVELS["var"]), rel=1 / 6)
    at_middle = LEVELS["fixed"][0] + LEVELS["fixed"][1] * LEVELS["mean_day"][0]
    assert np.max(np.abs(found.mean - at_middle - np.array(LEVELS["effects"]))) < 0.2 * se[0]
    assert found.common == pytest.approx(at_middle, rel=1e-3)


def test_a_sleeper_of_whom_little_is_known_stays_near_all() -> None:
    """Two days leave the squad's slope nearly as it was; ten go most of the way to the sleeper's own."""
    own = SLEEP["subjects"]["335"]
    plain = np.polyfit(own["days"], own["reaction_ms"], 1)[0]
    slopes = []
    for days in (2, 10):
        belief = Belief(np.array(SLEEP["fixed"])[:, None], np.array(SLEEP["cov"])[..., None])
        for day in range(days):
            belief = taken(belief, {0: 1.0, 1: float(day)}, own["reaction_ms"][day], SLEEP["noise_var"])
        slopes.append(belief.mean[1, 0])
    early, late = (abs(slope - SLEEP["fixed"][1]) for slope in slopes)
    assert early < 1.0 < late and plain < slopes[1] < slopes[0]
