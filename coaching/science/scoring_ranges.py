"""Ranges of ratings against the ratings that came: score, coverage, and where in the range they fell."""

from __future__ import annotations

import numpy as np

from coaching.science.inputs import Floats


def crps_quantiles(quantiles: Floats, levels: Floats, value: Floats) -> Floats:
    """Return the continuous ranked probability score of a forecast given by quantiles.

    Parameters: quantiles (Q, ...), rising, any unit; levels (Q,), rising, 0-1; value (...).
    Returns: (...), the unit of the quantiles.
    Raises: ValueError where levels do not rise within 0-1.
    Assumes: each quantile stands for the chances nearer to it than to its neighbours; levels (k - .5) / Q weigh alike.
    Source: Gneiting & Ranjan 2011, eq. 15 (twice the pinball loss over all chances); Laio & Tamea 2007;
        tests/reference/test_scoring_more.py.
    """
    if np.any(np.diff(levels) <= 0) or levels[0] <= 0 or levels[-1] >= 1:
        raise ValueError("levels must rise between 0 and 1")
    edges = np.concatenate([[0.0], 0.5 * (levels[1:] + levels[:-1]), [1.0]])
    shape = (-1,) + (1,) * (quantiles.ndim - 1)
    level, weight = levels.reshape(shape), np.diff(edges).reshape(shape)
    pinball = np.where(value >= quantiles, level, level - 1.0) * (value - quantiles)
    return np.asarray(2.0 * (weight * pinball).sum(axis=0))


def coverage(low: Floats, high: Floats, value: Floats) -> float:
    """Return the share of values inside their range, ends included.

    Parameters: low, high, value (K,), same unit; NaN values are left out.
    Returns: 0-1; NaN where no value is known.
    Raises: nothing.
    Assumes: nothing.
    Source: definition; tests/reference/test_scoring_more.py.
    """
    known = ~np.isnan(value)
    return float(np.mean((value >= low)[known] & (value <= high)[known])) if known.any() else float("nan")


def transform(quantiles: Floats, levels: Floats, value: Floats) -> Floats:
    """Return the forecast chance of a value at most as large (probability integral transform).

    Parameters: quantiles (Q, K), rising, any unit; levels (Q,), rising, 0-1; value (K,).
    Returns: (K,), straight between quantiles; beyond the outermost, halfway from their level to 0 or 1.
    Raises: nothing.
    Assumes: nothing of the tails but that they are there.
    Source: Dawid 1984; tests/reference/test_scoring_more.py.
    """
    column = np.arange(value.shape[0])
    after = np.clip((quantiles <= value).sum(axis=0), 1, levels.shape[0] - 1)
    left, right = quantiles[after - 1, column], quantiles[after, column]
    share = np.where(right > left, (value - left) / np.where(right > left, right - left, 1.0), 0.5)
    inside = levels[after - 1] + share * (levels[after] - levels[after - 1])
    beyond = np.where(value > quantiles[-1], 0.5 * (1.0 + levels[-1]), inside)
    return np.asarray(np.where(value < quantiles[0], 0.5 * levels[0], beyond))


def transform_shares(below: Floats, up_to: Floats, bins: int = 4) -> Floats:
    """Return the histogram of transforms of answers in steps, each spread evenly over its own step.

    Parameters: below, up_to (K,), transforms just under and just over the step of each answer; bins.
    Returns: (bins,), shares that add up to 1; all alike where forecasts are right.
    Raises: nothing.
    Assumes: at least one answer.
    Source: Czado, Gneiting & Held 2009, eq. 2 and 3; tests/reference/test_scoring_more.py.
    """
    edges = np.linspace(0.0, 1.0, bins + 1)[:, None]
    width = np.maximum(up_to - below, 1e-9)
    return np.asarray(np.diff(np.clip((edges - below) / width, 0.0, 1.0), axis=0).mean(axis=1))
