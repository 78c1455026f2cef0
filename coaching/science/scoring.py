"""Scores of forecasts against what happened; lower is better, but for resolution."""

from __future__ import annotations

import numpy as np

from coaching.science.inputs import Floats
from coaching.science.normal import cdf, density


def brier(p: Floats, happened: Floats) -> float:
    """Return the mean squared gap between chance and outcome.

    Parameters: p (K,), 0-1; happened (K,), 1 or 0.
    Returns: 0-1.
    Raises: ValueError for a chance outside 0-1 or an outcome that is not 0 or 1.
    Assumes: nothing.
    Source: Brier 1950; tests/reference/test_scoring_published.py.
    """
    checked(p, happened)
    return float(np.mean((p - happened) ** 2))


def log_score(p: Floats, happened: Floats) -> float:
    """Return the mean negative logarithm of the chance given to what happened.

    Parameters: p (K,), 0-1; happened (K,), 1 or 0.
    Returns: 0 or more; infinite where a sure thing failed.
    Raises: ValueError for a chance outside 0-1 or an outcome that is not 0 or 1.
    Assumes: nothing.
    Source: Gneiting & Raftery 2007, 4.1; tests/reference/test_scoring_published.py.
    """
    checked(p, happened)
    with np.errstate(divide="ignore"):
        return float(np.mean(-np.log(np.where(happened == 1, p, 1.0 - p))))


def checked(p: Floats, happened: Floats) -> None:
    """Refuse what is not a chance with its outcome.

    Parameters: p (K,); happened (K,).
    Returns: nothing.
    Raises: ValueError for a chance outside 0-1 or an outcome that is not 0 or 1.
    Assumes: nothing.
    Source: definition; tests/reference/test_scoring_published.py.
    """
    if p.shape != happened.shape or not np.all((p >= 0) & (p <= 1)):
        raise ValueError("p must be chances of the outcomes, 0-1")
    if not np.all((happened == 0) | (happened == 1)):
        raise ValueError("happened must be 0 or 1")


def crps_normal(mean: Floats, sd: Floats, value: Floats) -> Floats:
    """Return the continuous ranked probability score of a normal forecast.

    Parameters: mean, sd (> 0), value (same shape and unit).
    Returns: same shape and unit.
    Raises: ValueError for an sd that is not positive.
    Assumes: nothing.
    Source: Gneiting & Raftery 2007, eq. 21; tests/reference/test_scoring_published.py.
    """
    if np.any(sd <= 0):
        raise ValueError("sd must be positive")
    z = (value - mean) / sd
    return np.asarray(sd * (z * (2.0 * cdf(z) - 1.0) + 2.0 * density(z) - 1.0 / np.sqrt(np.pi)))


def interval_score(low: Floats, high: Floats, value: Floats, outside: float) -> Floats:
    """Return the score of a range: its width, and a penalty for a value outside it.

    Parameters: low, high, value (same shape and unit); outside (0-1): share meant to be outside.
    Returns: same shape and unit.
    Raises: ValueError where `outside` is not between 0 and 1.
    Assumes: low is not over high.
    Source: Gneiting & Raftery 2007, eq. 43; tests/reference/test_scoring_published.py.
    """
    if not 0 < outside < 1:
        raise ValueError("outside must lie between 0 and 1")
    miss = np.maximum(low - value, 0.0) + np.maximum(value - high, 0.0)
    return (high - low) + 2.0 / outside * miss


def murphy_parts(p: Floats, happened: Floats) -> tuple[float, float, float]:
    """Return reliability, resolution and uncertainty; Brier is the first less the second plus the third.

    Parameters: p (K,), 0-1, grouped by equal values; happened (K,), 1 or 0.
    Returns: reliability, resolution, uncertainty, each 0-1.
    Raises: ValueError as `brier`.
    Assumes: few distinct chances.
    Source: Murphy 1973; tests/reference/test_scoring_published.py.
    """
    checked(p, happened)
    values, group = np.unique(p, return_inverse=True)
    count = np.bincount(group).astype(np.float64)
    share = np.bincount(group, weights=happened) / count
    base = float(happened.mean())
    reliability = float((count * (values - share) ** 2).sum() / p.shape[0])
    resolution = float((count * (share - base) ** 2).sum() / p.shape[0])
    return reliability, resolution, base * (1.0 - base)
