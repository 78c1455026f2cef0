"""Chances against what happened: skill, calibration, order, and how far such figures can be trusted."""

from __future__ import annotations

import numpy as np

from coaching.science.inputs import Bools, Floats, Ints
from coaching.science.scoring import checked


def skill(score: float, against: float) -> float:
    """Return how much of another's score a forecast saves.

    Parameters: score, against (same kind, lower is better).
    Returns: 1 at most; 0 as good, below 0 worse; NaN where the other's score is nil.
    Raises: nothing.
    Assumes: both scored on the same days.
    Source: Murphy 1988, skill score; tests/reference/test_scoring_more.py.
    """
    return 1.0 - score / against if against > 0 else float("nan")


def calibration_error(p: Floats, happened: Floats, bins: int = 10) -> float:
    """Return the mean gap of chance and share over bins of equal width, each weighed by its forecasts.

    Parameters: p (K,), 0-1; happened (K,), 1 or 0; bins.
    Returns: 0-1.
    Raises: ValueError as `brier`.
    Assumes: nothing; with few forecasts a bin even perfect chances show a gap.
    Source: Naeini, Cooper & Hauskrecht 2015; tests/reference/test_scoring_more.py.
    """
    checked(p, happened)
    place = np.minimum((p * bins).astype(np.int64), bins - 1)
    gap = np.bincount(place, weights=p, minlength=bins) - np.bincount(place, weights=happened, minlength=bins)
    return float(np.abs(gap).sum() / p.shape[0])


def area_under_curve(score: Floats, positive: Bools) -> float:
    """Return the chance that one of the positives scores higher than one of the others, half for ties.

    Parameters: score (K,); positive (K,).
    Returns: 0-1; NaN where there are none of either.
    Raises: nothing.
    Assumes: nothing.
    Source: Hanley & McNeil 1982; tests/reference/test_scoring_more.py.
    """
    count = int(positive.sum())
    others = score.shape[0] - count
    if count == 0 or others == 0:
        return float("nan")
    _, place, size = np.unique(score, return_inverse=True, return_counts=True)
    rank = (np.cumsum(size) - 0.5 * (size - 1))[place]  # the mean rank of equal scores
    return float((rank[positive].sum() - 0.5 * count * (count + 1)) / (count * others))


def share_range(count: Floats, of: Floats, z: float = 1.2816) -> tuple[Floats, Floats]:
    """Return the range in which a share may lie, given how often something happened.

    Parameters: count, of (any shape); z (score of the range's ends; 1.2816 for 80 of 100).
    Returns: low, high (same shape), 0-1; 0 and 1 where nothing was counted.
    Raises: nothing.
    Assumes: each was on its own; days of one athlete are not quite, so the true range is somewhat wider.
    Source: Wilson 1927; tests/reference/test_scoring_more.py.
    """
    n = np.maximum(of, 1.0)
    share, extra = count / n, z * z / n
    middle = (share + 0.5 * extra) / (1.0 + extra)
    half = np.sqrt(extra * (share * (1.0 - share) + 0.25 * extra)) / (1.0 + extra)
    return np.where(of > 0, np.maximum(middle - half, 0.0), 0.0), np.where(of > 0, np.minimum(middle + half, 1.0), 1.0)


def resampled(own: Floats, other: Floats, group: Ints, draws: int = 400) -> tuple[float, float]:
    """Return the 95 % range of the skill of one forecaster against another, whole athletes drawn again.

    Parameters: own, other (K,), scores of the same forecasts; group (K,), 0 to G - 1, the athlete; draws.
    Returns: low, high; NaN with fewer than three athletes.
    Raises: nothing.
    Assumes: athletes are a sample of such athletes; draws are the same every time.
    Source: Efron & Tibshirani 1993, percentile interval; tests/reference/test_scoring_more.py.
    """
    groups = int(group.max(initial=-1)) + 1
    if groups < 3:
        return float("nan"), float("nan")
    sums = [np.bincount(group, weights=part, minlength=groups) for part in (own, other)]
    times = np.random.default_rng(1).multinomial(groups, np.full(groups, 1.0 / groups), size=draws)
    of_other = times @ sums[1]
    gains = 1.0 - (times @ sums[0])[of_other > 0] / of_other[of_other > 0]
    if gains.shape[0] == 0:
        return float("nan"), float("nan")
    low, high = np.quantile(gains, (0.025, 0.975))
    return float(low), float(high)
