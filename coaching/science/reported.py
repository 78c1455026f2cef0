"""Ratings an athlete would report on a day: the state's forecast, the noise of reporting, and the ends of the scale."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science.inputs import Floats
from coaching.science.own_ranges import OwnRanges
from coaching.science.panel import Panel
from coaching.science.quantities import Parameters

LEVELS = (0.025, 0.10, 0.25, 0.50, 0.75, 0.90, 0.975)
"""Chances at which a reported rating is forecast."""


@dataclass(frozen=True)
class Reported:
    """Quantiles of reported ratings in the order of LEVELS, whole numbers not insisted on."""

    reserve_pt: Floats  # (Q, N, D) 0-10
    dampness_pt: Floats  # (Q, N, D) 0-10


def reported(panel: Panel, half_step_pt: Floats, p: Parameters, own: OwnRanges | None = None) -> Reported:
    """Return the quantiles of the ratings that would be reported.

    Parameters: panel (N, D); half_step_pt (N, D), half width of an answer; p; own (N, D), factors of the variance
        before rounding, None as the squad.
    Returns: Reported.
    Raises: nothing.
    Assumes: the rating is unbiased on the athlete's own scale, and answered.
    Source: as `rating_quantiles`; tests/unit/test_reported.py, tests/unit/test_own_ranges.py.
    """
    reserve_var = panel.reserve_known_var + panel.reserve_noise_var
    damp_var = panel.dampness_known_var + panel.dampness_noise_var
    reserve_sd, damp_sd, tails = p["reserve_report_sd_pt"], p["dampness_report_sd_pt"], p["report_tail_df"]
    if own is None:
        return Reported(
            rating_quantiles(panel.reserve_pt, reserve_var, half_step_pt, (reserve_sd, tails)),
            rating_quantiles(panel.dampness_pt, damp_var, half_step_pt, (damp_sd, tails)),
        )
    reserve_own = (reserve_sd * np.sqrt(own.reserve), tails)
    damp_own = (damp_sd * np.sqrt(own.dampness), tails)
    return Reported(
        rating_quantiles(panel.reserve_pt, reserve_var * own.reserve, half_step_pt, reserve_own),
        rating_quantiles(panel.dampness_pt, damp_var * own.dampness, half_step_pt, damp_own),
    )


def rating_quantiles(
    mean_pt: Floats,
    var: Floats,
    half_step_pt: Floats,
    report: tuple[Floats | float, float],
    levels: tuple[float, ...] = LEVELS,
) -> Floats:
    """Return quantiles of one rating: normal state, noise of Student's t, rounded, held to the scale.

    Parameters: mean_pt, var (any shape; pt, pt2); half_step_pt (same shape, pt); report (sd in pt, of
        the same shape or one, and degrees of freedom of the noise, above 4); levels (chances).
    Returns: (Q, ...), pt, 0-10, in the order of the levels.
    Raises: ValueError where the noise has no fourth moment.
    Assumes: the sum is near a Student's t of the same variance and kurtosis; rounding adds the variance of a flat
        step (Sheppard's correction).
    Source: Johnson, Kotz & Balakrishnan 1995, 28.3 (moments of t); Kendall & Stuart 1977, 3.18 (Sheppard);
        tests/unit/test_reported.py.
    """
    from scipy.special import stdtrit

    sd_pt, df = report
    if not df > 4.0:
        raise ValueError("the noise of reporting needs more than 4 degrees of freedom")
    total = var + sd_pt**2 + half_step_pt**2 / 3.0
    kurtosis = 6.0 / (df - 4.0) * (sd_pt**2 / total) ** 2
    whole_df = 4.0 + 6.0 / kurtosis
    sd = np.sqrt(total * (whole_df - 2.0) / whole_df)
    return np.stack([np.clip(mean_pt + sd * stdtrit(whole_df, level), 0.0, 10.0) for level in levels])
