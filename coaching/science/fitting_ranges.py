"""How wide a squad's ranges of ratings must be, one and two weeks ahead: narrower or wider, by a proper score."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coaching.science.inputs import Floats
from coaching.science.own_ranges import SCALES, OwnRanges
from coaching.science.panel import Panel
from coaching.science.quantities import QUANTITIES, Parameters
from coaching.science.reported import rating_quantiles

ENDS = (0.10, 0.90)
OUTSIDE = 0.20
STEPS = 41
"""Factors tried between the ends of the register, evenly on a scale of logarithms: 4 % apart."""
BELIEVED = 600
"""Weight of the version's factor, in ratings: fewer tell a width no closer (judgement)."""
HALF_STEP_PT = 0.5
NAMES = ("pt", "known_var", "noise_var")


@dataclass(frozen=True)
class Rated:
    """Forecasts of one evening and the ratings that came; (N, horizons) each."""

    panel: Panel
    own: OwnRanges  # without any factor of the horizon
    reserve_pt: Floats  # NaN none
    dampness_pt: Floats


def ranges_that_score(rated: Sequence[Rated], horizons_d: Sequence[int], p: Parameters) -> dict[str, float]:
    """Return the factors of variance under which 80 % ranges of a squad's ratings score best.

    Parameters: rated (evenings); horizons_d (of the columns); p, of which factors are drawn to.
    Returns: values by name, inside the register, one for each scale and horizon.
    Raises: nothing.
    Assumes: athletes of a squad share what the model misses of days ahead; evenings are alike.
    Source: interval score, Gneiting & Raftery 2007, 6.2; tests/unit/test_fitting_ranges.py.
    """
    found = {}
    for scale in SCALES:
        for column, days in enumerate(horizons_d):
            name = f"{scale}_range_{days}d"
            factors = np.geomspace(QUANTITIES[name].low, QUANTITIES[name].high, STEPS)
            told = [_scores(rated, scale, column, float(factor), p) for factor in factors]
            count = told[0].size
            best = float(factors[int(np.argmin([score.mean() for score in told]))]) if count else p[name]
            share = count / (count + BELIEVED)
            found[name] = round(float(best**share * p[name] ** (1.0 - share)), 6)
    return found


def _scores(rated: Sequence[Rated], scale: str, column: int, factor: float, p: Parameters) -> Floats:
    """Interval scores of every rating of a scale and horizon, the variance times a factor."""
    parts = []
    sd, tails = p[f"{scale}_report_sd_pt"], p["report_tail_df"]
    for one in rated:
        rating = getattr(one, f"{scale}_pt")[:, column]
        there = ~np.isnan(rating)
        mean, known, noise = (getattr(one.panel, f"{scale}_{name}")[there, column] for name in NAMES)
        wide = factor * getattr(one.own, scale)[there, column]
        half = np.full(wide.shape, HALF_STEP_PT)
        low, high = rating_quantiles(mean, (known + noise) * wide, half, (sd * np.sqrt(wide), tails), ENDS)
        parts.append(interval_score(low, high, rating[there]))
    return np.concatenate(parts) if parts else np.zeros(0)


def interval_score(low: Floats, high: Floats, value: Floats) -> Floats:
    """Return the interval score of 80 % ranges: their width, and ten times what a value lies outside.

    Parameters: low, high, value (any shape).
    Returns: same shape, in their unit; lower is better.
    Raises: nothing.
    Assumes: nothing.
    Source: Gneiting & Raftery 2007, eq. 43; tests/unit/test_fitting_ranges.py.
    """
    outside = np.maximum(low - value, 0.0) + np.maximum(value - high, 0.0)
    return np.asarray(high - low + 2.0 / OUTSIDE * outside)
