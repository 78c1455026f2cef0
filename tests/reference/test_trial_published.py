"""An athlete's own trial against worked values, a general library (SciPy) and published shrinkage."""

from itertools import product

import numpy as np
import pytest
from scipy import stats

from coaching.science.trial_exact import LEAST_PAIRS, exact, order_gap, smallest_p
from coaching.science.trial_shrink import Prior, at_spread, shrink

CHANGE = np.array([12.0, 15.0, 11.0, 14.0, 13.0, 16.0])
USUAL = np.array([10.0, 11.0, 12.0, 10.0, 11.0, 12.0])
"""Six made-up pairs; their p by SciPy's permutation_test on the day they were made up."""


def mean_gap(x: np.ndarray, y: np.ndarray, axis: int = -1) -> np.ndarray:
    return np.mean(x, axis=axis) - np.mean(y, axis=axis)


def test_the_worked_pairs() -> None:
    found = exact(CHANGE - USUAL)
    assert (found.effect, found.p_more, found.p_two) == (2.5, 0.03125, 0.0625)
    assert not found.may_claim


@pytest.mark.parametrize("seed", range(8))
def test_p_is_that_of_the_library(seed: int) -> None:
    """SciPy: paired permutation over all sign changes; exact to rounding. Wilcoxon's signed ranks where ranks are the
    values themselves."""
    rng = np.random.default_rng(seed)
    pairs = int(rng.integers(5, 10))
    gap = np.rint(rng.normal(0.4, 2.0, pairs) * 5) / 5 if seed % 2 else rng.normal(0.4, 1.0, pairs)
    found = exact(gap)
    for side, own in (("greater", found.p_more), ("less", found.p_less)):
        asked = stats.permutation_test(
            (gap, np.zeros(pairs)), mean_gap, permutation_type="samples", n_resamples=np.inf, alternative=side,
            vectorized=True,
        )  # fmt: skip
        assert own == pytest.approx(asked.pvalue, abs=1e-12)
    ranks = np.arange(1.0, pairs + 1) * np.sign(rng.normal(0, 1, pairs))
    assert exact(ranks).p_more == pytest.approx(stats.wilcoxon(ranks, alternative="greater", method="exact").pvalue)
    assert exact(ranks).p_two == pytest.approx(stats.wilcoxon(ranks, method="exact").pvalue)


def test_of_unpaired_splits_all_924_are_tried() -> None:
    """The same twelve numbers as two groups: 0.028139 of 924 splits (SciPy, permutation_type="independent")."""
    both = np.concatenate([CHANGE, USUAL])
    found = order_gap(both, np.arange(12) < 6)
    asked = stats.permutation_test(
        (CHANGE, USUAL), mean_gap, permutation_type="independent", n_resamples=np.inf, alternative="two-sided"
    )
    assert (found.gap, found.p_two) == (2.5, pytest.approx(asked.pvalue, abs=1e-12))
    assert found.p_two == pytest.approx(0.028139, abs=5e-7)


SMALLEST = [(3, 0.25), (4, 0.125), (5, 0.0625), (6, 0.03125), (7, 0.015625), (8, 0.0078125)]


@pytest.mark.parametrize(("pairs", "p"), SMALLEST)
def test_the_smallest_p_of_so_many_pairs(pairs: int, p: float) -> None:
    """Counting: the order that was drawn and its mirror, of 2^P. Under six pairs nothing can be claimed."""
    clear = exact(np.linspace(5.0, 6.0, pairs))
    assert smallest_p(pairs) == clear.p_two == p
    assert clear.may_claim == (pairs >= LEAST_PAIRS)


def test_the_interval_is_what_the_test_does_not_rule_out() -> None:
    """Inverted by brute force: every order, every shift of a fine grid."""
    gap, share = np.array([0.4, -0.2, 1.7, 0.9, 1.1, 0.3, 2.2]), np.array([1.0, 0.5, 0.8, 0.9, 0.3, 0.7, 1.0])
    found = exact(gap, share)
    signs = np.array(list(product([1, -1], repeat=7)))
    kept = []
    for shift in np.arange(-3.0, 6.0, 0.0101):
        rest = gap - shift * share
        seen, means = rest.mean(), (signs @ rest) / 7
        if min(np.mean(means >= seen - 1e-12), np.mean(means <= seen + 1e-12)) > 0.025:
            kept.append(shift)
    assert (found.low, found.high) == (pytest.approx(kept[0], abs=0.0102), pytest.approx(kept[-1], abs=0.0102))
    assert found.level == 1 - 6 / 128  # three orders of 128 left out on each side


# Efron & Morris 1975/1977 (J Am Stat Assoc 70:311-319; Scientific American 236(5)): first 45 times at bat of 18
# players, 1970; c = 0.212, .400 -> .294, .156 -> .242.
BATS = np.array([18, 17, 16, 15, 14, 14, 13, 12, 11, 11, 10, 10, 10, 10, 10, 9, 8, 7]) / 45
BAT_SE = np.sqrt(BATS.mean() * (1 - BATS.mean()) / 45)


def test_baseball_at_the_published_shrinkage() -> None:
    kept = 1 - 15 * BAT_SE**2 / ((BATS - BATS.mean()) ** 2).sum()
    assert kept == pytest.approx(0.212, abs=5e-4)
    spread = BAT_SE * np.sqrt(kept / (1 - kept))
    mean, *_ = at_spread(BATS, np.full(18, BAT_SE), spread, Prior(0.0, np.inf, 1.0))
    assert mean[0] == pytest.approx(0.294, abs=6e-4) and mean[-1] == pytest.approx(0.242, abs=6e-4)


def test_baseball_with_the_spread_not_known() -> None:
    """The weak prior keeps to the same: a fifth to a third of each player's distance is their own."""
    found = shrink(BATS, np.full(18, BAT_SE), Prior(0.0, np.inf, 0.05))
    own = (found.mean[0] - found.common) / (BATS[0] - BATS.mean())
    assert 0.15 < own < 0.35 and found.common == pytest.approx(BATS.mean(), abs=1e-6)


# Rubin 1981; Gelman et al. 2013, Bayesian Data Analysis, 5.5.
SCHOOLS = np.array([28.0, 8.0, -3.0, 7.0, -1.0, 1.0, 18.0, 12.0])
SCHOOL_SE = np.array([15.0, 10.0, 16.0, 11.0, 9.0, 11.0, 10.0, 18.0])
DRAWN = [(5.0, 7.8510, 9.8659, 6.8856), (10.0, 8.1265, 14.2414, 5.0011)]


@pytest.mark.parametrize(("spread", "common", "first", "third"), DRAWN)
def test_eight_schools_at_a_known_spread(spread: float, common: float, first: float, third: float) -> None:
    """Weighted least squares (statsmodels, fixtures/reference/shrinkage.json); printed to four decimals."""
    mean, _, middle, _ = at_spread(SCHOOLS, SCHOOL_SE, spread, Prior(0.0, np.inf, 1.0))
    assert (middle, mean[0], mean[2]) == pytest.approx((common, first, third), abs=5e-5)


def test_where_the_moment_estimate_of_the_spread_is_nil_personal_effects_do_not_vanish() -> None:
    """DerSimonian-Laird says nil for the schools (Q 4.7071 under 7 degrees of freedom); the weak prior does not, and no
    school keeps its own figure either. Posterior sds of 5-8 as in the book's table 5.2 (from memory, not deciding).
    """
    weight = 1 / SCHOOL_SE**2
    pooled = (weight @ SCHOOLS) / weight.sum()
    assert pooled == pytest.approx(7.6856, abs=5e-5)
    assert weight @ (SCHOOLS - pooled) ** 2 == pytest.approx(4.7071, abs=5e-5)
    found = shrink(SCHOOLS, SCHOOL_SE, Prior(0.0, np.inf, 10.0))
    assert found.mean[0] - found.mean[2] > 2.0 and found.mean[0] < 14.0
    assert np.all((found.sd > 4.5) & (found.sd < 9.0))
