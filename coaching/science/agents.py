"""How a drying agent comes on and washes out: two stages on, one off, with saturation; one prior for each
ingredient.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science.inputs import INGREDIENTS, Course, Floats
from coaching.science.load import weighted_history
from coaching.science.quantities import Parameters


@dataclass(frozen=True)
class Uptake:
    """Inner state of an agent in skin, each of any shape, 0-1; the second stage acts."""

    first: Floats
    second: Floats


def onset_d(p: Parameters) -> Floats:
    """Return the days of full dose until half of the full effect, by ingredient.

    Parameters: p.
    Returns: (I,) d.
    Raises: nothing.
    Assumes: nothing.
    Source: Goh 1990 (aluminium), common practice (methenamine), assumption (iontophoresis);
        tests/reference/test_agents_published.py.
    """
    return np.array([p[f"onset_{name}_d"] for name in INGREDIENTS])


def washout_d(p: Parameters) -> Floats:
    """Return the time constant of the effect after the last dose, by ingredient.

    Parameters: p.
    Returns: (I,) d.
    Raises: nothing.
    Assumes: nothing.
    Source: Cullen 1975 (methenamine), Goh 1990 (aluminium), assumption (iontophoresis);
        tests/reference/test_agents_published.py.
    """
    return np.array([p[f"washout_{name}_d"] for name in INGREDIENTS])


def half_effect_time(saturation: float) -> float:
    """Return the time, in stage time constants, at which full dose reaches half of the full effect.

    Parameters: saturation (1, > 0).
    Returns: 1.
    Raises: nothing.
    Assumes: two equal stages, so the second holds 1 - (1 + x) exp(-x) after x time constants.
    Source: judgement: defines onset as a time that people can see; tests/unit/test_agents.py.
    """
    wanted = saturation / (1.0 + 2.0 * saturation)  # where (1 + k) u / (u + k) is one half
    low, high = 0.0, 50.0
    for _ in range(80):
        middle = 0.5 * (low + high)
        reached = 1.0 - (1.0 + middle) * np.exp(-middle)
        low, high = (middle, high) if reached < wanted else (low, middle)
    return 0.5 * (low + high)


def effect_frac(held: Floats, saturation: float) -> Floats:
    """Return the share of the full effect in force.

    Parameters: held (any shape, 0-1); saturation (1).
    Returns: same shape, 0-1.
    Raises: nothing.
    Assumes: nothing.
    Source: assumption: saturating response fits simulated courses better than a straight line;
        tests/unit/test_agents.py.
    """
    return (1.0 + saturation) * held / (held + saturation)


def washed_out(stage: Floats, dose: Floats, left: Floats, saturation: float) -> Floats:
    """Return a stage a day later where the dose no longer keeps it up: the effect itself decays.

    Parameters: stage (any shape, 0-1); dose (0-1); left (share of the effect left after a day);
        saturation (1).
    Returns: same shape, 0-1; unchanged where the dose keeps it up.
    Raises: nothing.
    Assumes: wash-out is the time constant of the effect that people feel, not of what is stored.
    Source: judgement: read so, Goh 1990 and Cullen 1975 are met;
        tests/reference/test_agents_published.py.
    """
    floor = effect_frac(np.minimum(dose, stage), saturation)
    effect = floor + (effect_frac(stage, saturation) - floor) * left
    return saturation * effect / (1.0 + saturation - effect)


def take_up(uptake: Uptake, dose: Floats, rates: tuple[Floats, Floats], saturation: float) -> Uptake:
    """Carry an agent one day forward: two stages on, one off.

    Parameters: uptake; dose (0-1 of full dose held through the day); rates (1/d of each stage on, share
        of the effect left after a day off); saturation (1).
    Returns: Uptake.
    Raises: nothing.
    Assumes: the dose acts evenly through the day (exact solution of the two stages).
    Source: assumption for the form; onset and wash-out as their own rows say;
        tests/reference/test_agents_published.py.
    """
    rate, left = rates
    decay = np.exp(-rate)
    gap = uptake.first - dose
    coming = dose + (uptake.second - dose) * decay + gap * rate * decay
    first = np.where(gap <= 0, dose + gap * decay, washed_out(uptake.first, dose, left, saturation))
    rise = np.maximum(coming - uptake.second, 0.0)
    return Uptake(first, washed_out(uptake.second, dose, left, saturation) + rise)


def effect_course(dose: Floats, speed: float, p: Parameters) -> Floats:
    """Return the effect in force on the morning of each day.

    Parameters: dose (N, T, I), 0-1; speed (1, 1 the prior's onset, 2 twice as slow); p.
    Returns: (T, I, N), 0-1.
    Raises: nothing.
    Assumes: no agent in the skin on the first morning.
    Source: as `take_up`; tests/reference/test_agents_published.py.
    """
    rate = (half_effect_time(p["agent_saturation"]) / (onset_d(p) * speed))[:, None]
    left = np.exp(-1.0 / washout_d(p))[:, None]
    saturation = p["agent_saturation"]
    by_day = np.ascontiguousarray(np.moveaxis(dose, 0, -1))
    nothing = np.zeros(by_day.shape[1:])
    uptake = Uptake(nothing, nothing)
    effect = np.zeros(by_day.shape)
    for day in range(by_day.shape[0]):
        effect[day] = effect_frac(uptake.second, saturation)
        uptake = take_up(uptake, by_day[day], (rate, left), saturation)
    return effect


def resolved_dose(course: Course, dose_plan: Floats, p: Parameters) -> Floats:
    """Return the dose that each day stands for: as logged, a share of the plan, or the recent habit.

    Parameters: course; dose_plan (N, T, I), NaN no plan known; p.
    Returns: (N, T, I), 0-1.
    Raises: nothing.
    Assumes: a check-in without a care row on a planned day means even odds that the agent was used.
    Source: assumption: shares from a simulated squad; tests/unit/test_agents.py.
    """
    past = (np.arange(course.days) <= course.origin)[None, :, None]
    done = np.where(past, course.dose_done, np.nan)
    share = np.where(course.answered[:, :, None] & past, p["dose_silent_share"], p["dose_executed_share"])
    guess = np.where(np.isnan(dose_plan), recent_habit(done, course.origin, p), share * dose_plan)
    return np.where(np.isnan(done), guess, done)


def recent_habit(done: Floats, origin: int, p: Parameters) -> Floats:
    """Return the weighted mean dose of the days known so far.

    Parameters: done (N, T, I), NaN not known; origin (column); p.
    Returns: (N, T, I), 0-1; 0 before the first known day; after the origin the value of the origin.
    Raises: nothing.
    Assumes: habits go on.
    Source: judgement; tests/unit/test_agents.py.
    """
    habit = np.zeros(done.shape)
    for ingredient in range(done.shape[2]):
        total, weight = weighted_history(done[:, :, ingredient], p["dose_half_life_d"])
        habit[:, :, ingredient] = total / np.maximum(weight, 1e-9)
    habit[:, origin + 1 :] = habit[:, origin : origin + 1]
    return habit
