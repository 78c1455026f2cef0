"""How a drying agent comes on and washes out: two stages on, one off, with saturation; one prior for each
ingredient.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science.inputs import INGREDIENTS, Course, Floats
from coaching.science.load import Since, weighted_history
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
    return effect_frac(uptake_course(dose, speed, p)[:, 1], p["agent_saturation"])


def uptake_course(
    dose: Floats, speed: float, p: Parameters, begin: int = 0, before: Floats | None = None
) -> Floats:
    """Return the inner state of the agents on the morning of each day.

    Parameters: dose (N, T, I), 0-1; speed, as `effect_course`; p; begin (column); before (2, I, N), both
        stages on the morning of `begin`, None for no agent in the skin.
    Returns: (T, 2, I, N), 0-1; nil before `begin`.
    Raises: nothing.
    Assumes: nothing.
    Source: as `take_up`; tests/property/test_footing.py.
    """
    rate = (half_effect_time(p["agent_saturation"]) / (onset_d(p) * speed))[:, None]
    left = np.exp(-1.0 / washout_d(p))[:, None]
    saturation = p["agent_saturation"]
    by_day = np.ascontiguousarray(np.moveaxis(dose, 0, -1))
    stages = np.zeros((by_day.shape[0], 2, *by_day.shape[1:]))
    uptake = Uptake(stages[0, 0], stages[0, 1]) if before is None else Uptake(*before)
    for day in range(begin, by_day.shape[0]):
        stages[day, 0], stages[day, 1] = uptake.first, uptake.second
        uptake = take_up(uptake, by_day[day], (rate, left), saturation)
    return stages


NO_HABIT = Since()


def resolved_dose(course: Course, dose_plan: Floats, p: Parameters, since: Since = NO_HABIT) -> Floats:
    """Return the dose that each day stands for: as logged, a share of the plan, or the recent habit.

    Parameters: course; dose_plan (N, T, I), NaN no plan known; p; since, as `recent_habit`.
    Returns: (N, T, I), 0-1.
    Raises: nothing.
    Assumes: a check-in without a care row on a planned day means even odds that the agent was used.
    Source: assumption: shares from a simulated squad; tests/unit/test_agents.py.
    """
    past = (np.arange(course.days) <= course.origin)[None, :, None]
    done = done_dose(course)
    share = np.where(course.answered[:, :, None] & past, p["dose_silent_share"], p["dose_executed_share"])
    guess = np.where(np.isnan(dose_plan), recent_habit(done, course.origin, p, since), share * dose_plan)
    return np.where(np.isnan(done), guess, done)


def done_dose(course: Course) -> Floats:
    """Return the doses taken, as known on the origin.

    Parameters: course.
    Returns: (N, T, I), 0-1, NaN not known, and after the origin.
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/property/test_no_look_ahead.py.
    """
    return np.where((np.arange(course.days) <= course.origin)[None, :, None], course.dose_done, np.nan)


def habit_sums(done: Floats, p: Parameters, since: Since = NO_HABIT) -> tuple[Floats, Floats]:
    """Return the weighted sum of doses known so far and the sum of their weights.

    Parameters: done (N, T, I), NaN not known; p; since (sums (I, N) of the days before its column).
    Returns: two arrays (T, I, N), 1 and d.
    Raises: nothing.
    Assumes: nothing.
    Source: as `weighted_history`; tests/property/test_footing.py.
    """
    before = (np.broadcast_to(sums, (done.shape[2], done.shape[0])) for sums in since[1:])
    sums = [
        weighted_history(done[:, :, i], p["dose_half_life_d"], Since(since.begin, total, weight))
        for i, (total, weight) in enumerate(zip(*before, strict=True))
    ]
    total, weight = (np.stack([pair[k].T for pair in sums], axis=1) for k in (0, 1))
    return total, weight


def recent_habit(done: Floats, origin: int, p: Parameters, since: Since = NO_HABIT) -> Floats:
    """Return the weighted mean dose of the days known so far.

    Parameters: done (N, T, I), NaN not known; origin (column); p; since, as `habit_sums`.
    Returns: (N, T, I), 0-1; 0 before the first known day; after the origin the value of the origin.
    Raises: nothing.
    Assumes: habits go on.
    Source: judgement; tests/unit/test_agents.py.
    """
    total, weight = habit_sums(done, p, since)
    habit = np.moveaxis(total / np.maximum(weight, 1e-9), 2, 0).copy()
    habit[:, origin + 1 :] = habit[:, origin : origin + 1]
    return habit
