"""Simple forecasters to be measured against: what a coach's habit would say, and a tuned logistic regression."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science.inputs import Floats

RIDGES = (0.3, 3.0, 30.0)
"""Weights of the ridge that are tried."""
HELD_OUT = 0.25
"""The latest share of the days learned from, on which the ridge is chosen."""
STEPS, SETTLED = 25, 1e-9


@dataclass(frozen=True)
class Logistic:
    """A fitted regression of log odds: what to take off and divide by for each column, then the weights."""

    centre: Floats  # (F,)
    scale: Floats  # (F,)
    weight: Floats  # (1 + F,), the constant first

    def chance(self, x: Floats) -> Floats:
        """Return the chance of each row.

        Parameters: x (K, F), NaN not known.
        Returns: (K,), 0-1.
        Raises: nothing.
        Assumes: what is not known is as the mean of what was learned from.
        Source: definition; tests/unit/test_rivals.py.
        """
        return _chance(_design(x, self.centre, self.scale), self.weight)


def logistic(x: Floats, happened: Floats, ridge: float) -> Logistic:
    """Return the regression that is likeliest under a ridge on all weights but the constant.

    Parameters: x (K, F), NaN not known; happened (K,), 1 or 0; ridge (> 0), weight of the squares.
    Returns: Logistic.
    Raises: ValueError without a row.
    Assumes: log odds are linear in the columns.
    Source: iteratively reweighted least squares, McCullagh & Nelder 1989, 2.5; ridge, le Cessie & van Houwelingen
        1992; tests/unit/test_rivals.py.
    """
    if happened.shape[0] == 0:
        raise ValueError("nothing to learn from")
    known = ~np.isnan(x)
    count = np.maximum(known.sum(axis=0), 1)
    centre = np.where(known, x, 0.0).sum(axis=0) / count
    spread = np.sqrt(np.where(known, (x - centre) ** 2, 0.0).sum(axis=0) / count)
    scale = np.where(spread > 0, spread, 1.0)
    design = _design(x, centre, scale)
    penalty = np.full(design.shape[1], ridge)
    penalty[0] = 1e-6  # else a squad of one mind would ask for infinite odds
    weight = np.zeros(design.shape[1])
    for _ in range(STEPS):
        p = _chance(design, weight)
        slope = design.T @ (happened - p) - penalty * weight
        bend = (design * (p * (1.0 - p))[:, None]).T @ design + np.diag(penalty)
        step = np.linalg.solve(bend, slope)
        weight = weight + step
        if np.abs(step).max() < SETTLED:
            break
    return Logistic(centre, scale, weight)


def tuned(x: Floats, happened: Floats) -> Logistic:
    """Return the regression whose ridge tells the latest days best from the earlier ones, then learned from all.

    Parameters: x (K, F), NaN not known, by time; happened (K,), 1 or 0.
    Returns: Logistic.
    Raises: ValueError without a row.
    Assumes: rows stand in the order of their days.
    Source: judgement; tests/unit/test_rivals.py.
    """
    cut = int(round((1.0 - HELD_OUT) * happened.shape[0]))
    if cut == 0 or cut == happened.shape[0]:
        return logistic(x, happened, max(RIDGES))
    losses = []
    for ridge in RIDGES:
        p = np.clip(logistic(x[:cut], happened[:cut], ridge).chance(x[cut:]), 1e-9, 1.0 - 1e-9)
        losses.append(-np.mean(np.log(np.where(happened[cut:] > 0.5, p, 1.0 - p))))
    return logistic(x, happened, RIDGES[int(np.argmin(losses))])


def trailing_mean(values: Floats, days: int) -> Floats:
    """Return the mean of what is known of the last days, each day among them.

    Parameters: values (N, T), NaN not known; days.
    Returns: (N, T); NaN where nothing is known.
    Raises: nothing.
    Assumes: nothing.
    Source: definition; tests/unit/test_rivals.py.
    """
    known = ~np.isnan(values)
    total, count = (_trailing_sum(part, days) for part in (np.where(known, values, 0.0), known * 1.0))
    return np.where(count > 0, total / np.maximum(count, 1.0), np.nan)


def last_known(values: Floats) -> Floats:
    """Return the latest known value, each day among them.

    Parameters: values (N, T), NaN not known.
    Returns: (N, T); NaN before the first.
    Raises: nothing.
    Assumes: nothing.
    Source: definition; tests/unit/test_rivals.py.
    """
    at = np.maximum.accumulate(np.where(np.isnan(values), -1, np.arange(values.shape[1])), axis=1)
    rows = np.arange(values.shape[0])[:, None]
    return np.where(at >= 0, values[rows, np.maximum(at, 0)], np.nan)


def _trailing_sum(values: Floats, days: int) -> Floats:
    total = np.cumsum(values, axis=1)
    total[:, days:] = total[:, days:] - np.cumsum(values, axis=1)[:, :-days]
    return total


def _design(x: Floats, centre: Floats, scale: Floats) -> Floats:
    unit = np.nan_to_num((x - centre) / scale, nan=0.0)
    return np.concatenate([np.ones((x.shape[0], 1)), unit], axis=1)


def _chance(design: Floats, weight: Floats) -> Floats:
    return np.asarray(1.0 / (1.0 + np.exp(-np.clip(design @ weight, -35.0, 35.0))))
