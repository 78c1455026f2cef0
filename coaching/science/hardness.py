"""Hardness: drawn to the athlete's usual level, raised by agents and dry air, lowered by cream and filing."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science.filtering import Bank, Belief, Leg, Row, advance, condition, rating_reading
from coaching.science.inputs import Course, Floats
from coaching.science.quantities import Parameters

LEVEL: Row = {0: 1.0}
"""A rating of hardness reads the first state: [hardness, usual hardness]."""


@dataclass(frozen=True)
class HardnessTrack:
    """Course of hardness and its states on the morning of the origin."""

    mean_pt: Floats  # (T, N)
    var: Floats  # (T, N)
    state: Floats  # (2, N) hardness and usual hardness on the origin
    kept: Bank | None = None


def push_pt(course: Course, effect_frac: Floats, p: Parameters) -> Floats:
    """Return what moves hardness from one morning to the next.

    Parameters: course; effect_frac (T, I, N) of the agents in force; p.
    Returns: (T, N) pt a day.
    Raises: nothing.
    Assumes: the strongest agent in force counts, iontophoresis left out as it leaves nothing in the skin.
    Source: common practice, no source (agents harden skin); sizes assumed; tests/unit/test_hardness.py.
    """
    past = np.arange(course.days) <= course.origin
    moist = np.nan_to_num(np.where(past, course.moist_done, 0.0), nan=0.0).T
    filed = np.nan_to_num(np.where(past, course.filed_done, 0.0), nan=0.0).T
    dry = np.maximum(p["hardness_dry_air_pct"] - np.nan_to_num(course.rh_pct, nan=100.0), 0.0).T
    agent = np.maximum(effect_frac[:, 0], effect_frac[:, 1])
    return (
        p["hardness_agent_pt"] * agent
        + p["hardness_dry_air_pt_per_pct"] * dry
        - p["hardness_moist_pt"] * moist
        - p["hardness_filed_pt"] * filed
    )


def prior(athletes: int, p: Parameters) -> Bank:
    """Return the filter before anything is known.

    Parameters: athletes (count); p.
    Returns: Bank of one; its weight is always one.
    Raises: nothing.
    Assumes: hardness varies with the usual hardness.
    Source: assumption: own scale; tests/property/test_no_data.py.
    """
    usual_var = p.spread("hardness_usual_pt") ** 2
    table = np.array([[usual_var + 0.5, usual_var], [usual_var, usual_var]])
    mean = np.full((2, athletes), p["hardness_usual_pt"])
    cov = np.broadcast_to(table[:, :, None], (2, 2, athletes)).copy()
    return Bank(np.zeros((1, athletes)), Belief(mean, cov))


def follow(course: Course, push: Floats, p: Parameters, leg: Leg | None = None) -> HardnessTrack:
    """Filter hardness up to the origin and carry it forward.

    Parameters: course; push (T, N) pt a day; p; leg (from which day on, and which morning to keep).
    Returns: HardnessTrack; nil before the leg.
    Raises: nothing.
    Assumes: a missing rating is skipped.
    Source: Durbin & Koopman 2012, 4.3 and 4.10; tests/reference/test_state_space.py,
        tests/property/test_footing.py.
    """
    rating = np.ascontiguousarray(course.hardness_pt.T)
    half = np.ascontiguousarray(course.half_step_pt.T)
    leg = leg or Leg()
    kept, bank = None, leg.bank or prior(course.athletes, p)
    belief = bank.belief
    mean, var = (np.zeros((course.days, course.athletes)) for _ in range(2))
    at_origin = belief.mean
    for day in range(leg.begin, course.days):
        if day == leg.keep:
            kept = Bank(bank.log_weight, belief)
        if day <= course.origin:
            report = (p["hardness_report_sd_pt"], p["report_tail_df"])
            reading = rating_reading(
                belief.mean[0], np.maximum(belief.cov[0, 0], 1e-12), rating[day], half[day], report
            )
            belief = held(condition(belief, LEVEL, reading, ~np.isnan(rating[day])))
            at_origin = belief.mean
        mean[day], var[day] = belief.mean[0], belief.cov[0, 0]
        belief = tomorrow(belief, push[day], p)
    return HardnessTrack(mean, var, at_origin, kept)


def tomorrow(belief: Belief, push: Floats, p: Parameters) -> Belief:
    """Carry hardness to the next morning.

    Parameters: belief (2, N); push (N,) pt; p.
    Returns: Belief.
    Raises: nothing.
    Assumes: nothing.
    Source: assumption; tests/unit/test_hardness.py.
    """
    back = 1.0 / p["hardness_return_d"]
    transition: tuple[Row, ...] = ({0: 1.0 - back, 1: back}, {1: 1.0})
    return held(advance(belief, transition, {0: push}, {0: np.full(push.shape, p["hardness_noise_pt"] ** 2)}))


def held(belief: Belief) -> Belief:
    """Hold the means inside the scale.

    Parameters: belief (2, N).
    Returns: Belief.
    Raises: nothing.
    Assumes: nothing.
    Source: range of the rating; tests/property/test_bounds.py.
    """
    return Belief(np.clip(belief.mean, 0.0, 10.0), belief.cov)


def forward_means(track: HardnessTrack, push: Floats, origin: int, p: Parameters) -> Floats:
    """Carry only the mean forward from the origin under another push.

    Parameters: track; push (T, N) pt a day; origin (column); p.
    Returns: (T, N) pt; columns before the origin as in the track.
    Raises: nothing.
    Assumes: spread as under the care at hand.
    Source: judgement; tests/unit/test_hardness.py.
    """
    mean, back = track.mean_pt.copy(), 1.0 / p["hardness_return_d"]
    level, usual = track.state
    for day in range(origin, mean.shape[0]):
        mean[day] = level
        level = np.clip(level * (1.0 - back) + usual * back + push[day], 0.0, 10.0)
    return mean
