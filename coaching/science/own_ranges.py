"""How far an athlete's own ratings scatter about what the filters hold of them, and so how wide their ranges must be.

The filters assume one noise of reporting for a squad. Where a version asks for it, the variance of the ratings forecast
is multiplied by what the athlete's own past says of it, and by a factor of the horizon that a squad's past teaches.
Chances of readiness are not touched: how somebody fills in a scale is no matter of skin.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coaching.science.filtering import ordered_sum
from coaching.science.footing import RECENT_DAYS
from coaching.science.inputs import Course, Floats, Ints
from coaching.science.panel import Panel
from coaching.science.quantities import Parameters
from coaching.science.reporting import same_answers

SCALES = ("reserve", "dampness")
HORIZONS_D = (0.0, 7.0, 14.0)
FARTHEST_SD = 4.0
"""A rating further off than so many sds counts as that far: a slip tells nothing of the usual scatter (judgement)."""
LEAST_VAR = 0.1
"""What is left of the noise of reporting once a rating has been taken in, at least (judgement), pt2."""
LEAST = 0.4
"""No athlete's ratings are held to scatter less than this share of the squad's variance (judgement)."""


class OwnRanges(NamedTuple):
    """Factors of the variance of a rating, (N, D) each, 1 as the squad."""

    reserve: Floats
    dampness: Floats

    def columns(self, days: slice | Ints) -> OwnRanges:
        """The same for some days."""
        return OwnRanges(self.reserve[:, days], self.dampness[:, days])


def asks(p: Parameters) -> bool:
    """Return whether a version asks an athlete's own past ratings how wide their ranges must be.

    Parameters: p.
    Returns: bool.
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/unit/test_own_ranges.py.
    """
    return p["rating_own_known_n"] > 0.0


def own_ranges(course: Course, panel: Panel, p: Parameters) -> OwnRanges:
    """Return by how much the variance of each athlete's ratings differs from what the squad's noise says.

    Parameters: course; panel (of the whole course, from the same filters); p.
    Returns: OwnRanges, (N, T): one number an athlete up to the origin, then with the factor of the horizon; variances
        times these never fall with the days ahead.
    Raises: nothing.
    Assumes: an athlete's scatter is one over the last weeks; nothing right of the origin is read.
    Source: variance learned from scaled residuals with a prior worth some answers, West & Harrison 1997, 4.5;
        tests/unit/test_own_ranges.py.
    """
    ahead = np.maximum(np.arange(course.days) - course.origin, 0.0)
    found = []
    for scale, rating in zip(SCALES, (course.reserve_pt, course.dampness_pt), strict=True):
        mean, known, noise = (getattr(panel, f"{scale}_{name}") for name in ("pt", "known_var", "noise_var"))
        own = scatter(course.origin, rating, mean, known, (scale, p))
        by_day = np.interp(ahead, HORIZONS_D, [1.0, *(p[f"{scale}_range_{days:.0f}d"] for days in HORIZONS_D[1:])])
        var = known + noise + p[f"{scale}_report_sd_pt"] ** 2
        wide = var * by_day
        wide[:, course.origin :] = np.maximum.accumulate(wide[:, course.origin :], axis=1)
        found.append(own[:, None] * wide / var)
    return OwnRanges(*found)


def scatter(origin: int, rating: Floats, mean_pt: Floats, known_var: Floats, of: tuple[str, Parameters]) -> Floats:
    """Return how widely ratings scattered about what the filter held after each, over what is usual.

    Parameters: origin (column); rating (N, T) pt, NaN not given; mean_pt, known_var (N, T), of the filter, the day's
        own rating taken in; of (scale, p).
    Returns: (N,), 1 where nothing was answered.
    Raises: nothing.
    Assumes: what a rating leaves of itself has the variance of the noise less what is still not known; who always
        gives the same number is not held to be surer for it.
    Source: residuals after the update, Durbin & Koopman 2012, 4.5; tests/unit/test_own_ranges.py.
    """
    scale, p = of
    days = slice(max(origin - RECENT_DAYS + 1, 0), origin + 1)
    told, held, var = rating[:, days].T, mean_pt[:, days].T, known_var[:, days].T
    there = ~np.isnan(told) & ~np.isnan(held)
    rounding = 1.0 / 12.0  # of an answer of whole numbers (Sheppard)
    left = np.maximum(p[f"{scale}_report_sd_pt"] ** 2 - var + rounding, LEAST_VAR)
    square = np.minimum((told - held) ** 2 / left, FARTHEST_SD**2)
    total, count = (ordered_sum(np.where(there, part, 0.0)) for part in (square, np.ones(told.shape)))
    worth = p["rating_own_known_n"]
    share = np.maximum((worth + total / p[f"{scale}_scatter_usual"]) / (worth + count), LEAST)
    steady = same_answers(rating[:, days], origin - days.start).same
    return np.where(steady, np.maximum(share, 1.0), share)
