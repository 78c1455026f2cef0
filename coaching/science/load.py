"""Load of skin and body: units, sums over known days, monotony, and means that never take an unknown day for
zero.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from coaching.science.inputs import Course, Floats, Ints
from coaching.science.quantities import QUANTITIES, Parameters

SURFACE_FACTORS: Mapping[str, float] = {
    words: QUANTITIES["surface_" + words.replace(" ", "_")].default
    for words in ("wood", "plastic", "fresh plastic", "fine rock", "ordinary rock", "sharp rock")
}
"""Wear of one unit of load by surface, plastic 1."""

MONOTONY_REASONS: tuple[str, ...] = ("ok", "days-unknown", "all-zero", "all-equal")
"""Why a monotony is not a number; index as returned by `monotony`."""


class SevenDays(NamedTuple):
    """Load of seven days to each day, (N, T): sum of the known ones, and how many are not known."""

    sum_slu: Floats
    unknown_days: Ints


class Since(NamedTuple):
    """A weighted history taken up again: the column to go on from, and the sums of all days before it."""

    begin: int = 0
    total: Floats | float = 0.0  # (N,), in the unit of the load
    weight: Floats | float = 0.0  # (N,), d


FROM_THE_FIRST_DAY = Since()


class Monotony(NamedTuple):
    """Mean over sample sd of a week, NaN where undefined, and the index of why in MONOTONY_REASONS."""

    value: Floats
    reason: Ints


def skin_load_slu(minutes: Floats, rpe: Floats, hard_tries: Floats, surface_factor: Floats) -> Floats:
    """Return the skin load of sessions: by hard tries where they are known, else by minutes and effort.

    Parameters: minutes (any shape, min, >= 0); rpe (0-10); hard_tries (>= 0); surface_factor (1, > 0); NaN
        not known.
    Returns: same shape, SLU: 1 is an hour at effort 5, or twelve hard tries, on plastic; NaN where neither is
        known.
    Raises: ValueError for a negative value or an effort over 10.
    Assumes: tries wear skin alike whatever their length.
    Source: judgement: tries say more about skin than time; effort times minutes after Foster et al. 2001;
        tests/unit/test_load.py.
    """
    for name, values, top in (
        ("minutes", minutes, np.inf),
        ("rpe", rpe, 10.0),
        ("hard_tries", hard_tries, np.inf),
    ):
        if np.any(values < 0) or np.any(values > top):
            raise ValueError(f"{name} out of range")
    by_tries = hard_tries / QUANTITIES["hard_tries_per_slu"].default
    by_time = (minutes / 60.0) * (rpe / 5.0)
    return np.where(np.isnan(by_tries), by_time, by_tries) * surface_factor


def strain_au(minutes: Floats, effort: Floats) -> Floats:
    """Return the body load of sessions.

    Parameters: minutes (any shape, min, >= 0); effort (0-10); NaN not known.
    Returns: same shape, arbitrary units (min x effort).
    Raises: ValueError for a negative value.
    Assumes: nothing.
    Source: Foster et al. 2001, session load; tests/unit/test_load.py.
    """
    if np.any(minutes < 0) or np.any(effort < 0):
        raise ValueError("minutes and effort must not be negative")
    return minutes * effort


def seven_day_sum(load_slu: Floats) -> SevenDays:
    """Return for each day the sum of the known loads of that day and the six before, and how many are
    unknown.

    Parameters: load_slu (N, T), SLU, NaN not known.
    Returns: SevenDays: sum (N, T) SLU, NaN where no day is known; unknown days (N, T), 0-7.
    Raises: nothing.
    Assumes: days before the first column are not known.
    Source: judgement: an unknown day is not a day of rest; tests/unit/test_load.py.
    """
    padded = np.concatenate([np.full((load_slu.shape[0], 6), np.nan), load_slu], axis=1)
    window = np.lib.stride_tricks.sliding_window_view(padded, 7, axis=1)
    known = ~np.isnan(window)
    unknown = (7 - known.sum(axis=-1)).astype(np.int64)
    total = np.zeros(load_slu.shape)
    for k in range(7):
        total = total + np.where(known[..., k], window[..., k], 0.0)
    return SevenDays(np.where(unknown == 7, np.nan, total), unknown)


def monotony(week: Floats) -> Monotony:
    """Return mean over sample standard deviation of seven daily loads, or the reason why there is none.

    Parameters: week (..., 7), any load unit, NaN not known.
    Returns: monotony (...), NaN where undefined; index into MONOTONY_REASONS (...).
    Raises: ValueError where the last axis is not seven days.
    Assumes: loads of several sessions a day are summed before.
    Source: Foster 1998 (mean over SD; the abstract does not say which SD, sample taken);
        tests/reference/test_load_published.py.
    """
    if week.shape[-1] != 7:
        raise ValueError("a week has seven days")
    scale = np.max(np.where(np.isnan(week), 0.0, np.abs(week)), axis=-1, keepdims=True)
    shares = week / np.where(scale > 0, scale, 1.0)  # so that no unit of load can make equal days look uneven
    mean = shares.sum(axis=-1) / 7.0
    sd = np.sqrt(((shares - mean[..., None]) ** 2).sum(axis=-1) / 6.0)
    unknown = np.isnan(week).any(axis=-1)
    zero = ~unknown & (week == 0).all(axis=-1)
    equal = ~unknown & ~zero & (week == week[..., :1]).all(axis=-1)
    reason = np.select([unknown, zero, equal], [1, 2, 3], default=0).astype(np.int64)
    value = np.where(reason == 0, mean / np.where(sd > 0, sd, 1.0), np.nan)
    return Monotony(value, reason)


def observed_mean(load: Floats, half_life_d: float) -> Floats:
    """Return for each day the exponentially weighted mean over the days known so far, weights normalised over
    them.

    Parameters: load (N, T), NaN not known; half_life_d (d, > 0): age at which a day counts half.
    Returns: (N, T) in the unit of the load; NaN before the first known day.
    Raises: ValueError for a half-life that is not positive.
    Assumes: nothing about unknown days.
    Source: Moussa et al. 2019 (weights normalised over observed days);
        tests/reference/test_load_published.py.
    """
    if half_life_d <= 0:
        raise ValueError("half_life_d must be positive")
    total, weight = weighted_history(load, half_life_d)
    return np.where(weight > 0, total / np.where(weight > 0, weight, 1.0), np.nan)


def weighted_history(
    load: Floats, half_life_d: float, since: Since = FROM_THE_FIRST_DAY
) -> tuple[Floats, Floats]:
    """Return for each day the weighted sum of the days known so far and the sum of their weights.

    Parameters: load (N, T), NaN not known; half_life_d (d); since (what the days before its column left).
    Returns: weighted sum (N, T), in the unit of the load; weights (N, T), in days; nil before `since.begin`.
    Raises: nothing.
    Assumes: nothing about unknown days.
    Source: Moussa et al. 2019; tests/reference/test_load_published.py.
    """
    keep = 0.5 ** (1.0 / half_life_d)
    known = ~np.isnan(load)
    filled = np.where(known, load, 0.0)
    total, weight = np.zeros(load.shape), np.zeros(load.shape)
    running, seen = np.zeros(load.shape[0]) + since.total, np.zeros(load.shape[0]) + since.weight
    for day in range(since.begin, load.shape[1]):
        running = keep * running + filled[:, day]
        seen = keep * seen + known[:, day]
        total[:, day], weight[:, day] = running, seen
    return total, weight


def own_percentile(week: SevenDays, fewest: int = 28) -> Floats:
    """Return where the last day's 7-day sum stands among the athlete's own earlier complete 7-day sums.

    Parameters: week, as from `seven_day_sum`; fewest (complete earlier sums needed).
    Returns: (N,), 0-100, ties counted half; NaN where the last day or the past is not complete enough.
    Raises: nothing.
    Assumes: nothing.
    Source: judgement: compare with the own past, no risk bands (Impellizzeri et al. 2020);
        tests/unit/test_load.py.
    """
    complete = np.where(week.unknown_days == 0, week.sum_slu, np.nan)
    past, now = complete[:, :-1], complete[:, -1:]
    count = (~np.isnan(past)).sum(axis=1)
    rank = (past < now).sum(axis=1) + 0.5 * (past == now).sum(axis=1)
    enough = (count >= fewest) & ~np.isnan(now[:, 0])
    return np.where(enough, 100.0 * rank / np.maximum(count, 1), np.nan)


def usual_load_slu(course: Course, p: Parameters, since: Since = FROM_THE_FIRST_DAY) -> Floats:
    """Return the athlete's usual day of load as known on each day, drawn to the squad's where little is
    known.

    Parameters: course; p; since (what the days before its column left; nothing is returned of them).
    Returns: (N, T) SLU a day, rest days counted; after the origin the value of the origin.
    Raises: nothing.
    Assumes: known days stand for unknown ones.
    Source: judgement: shrinkage by a stated number of days; tests/unit/test_load.py.
    """
    total, weight = weighted_history(done_slu(course), p["load_usual_half_life_d"], since)
    prior_d = p["load_usual_known_d"]
    usual = (total + prior_d * p["load_usual_slu"]) / (weight + prior_d)
    usual[:, course.origin + 1 :] = usual[:, course.origin : course.origin + 1]
    return usual


def done_slu(course: Course) -> Floats:
    """Return the load done, as known on the origin.

    Parameters: course.
    Returns: (N, T) SLU, NaN not known, and after the origin.
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/property/test_no_look_ahead.py.
    """
    return np.where(np.arange(course.days) <= course.origin, course.load_done_slu, np.nan)


def resolved_load_slu(
    course: Course, load_plan_slu: Floats, p: Parameters, since: Since = FROM_THE_FIRST_DAY
) -> tuple[Floats, Floats]:
    """Return the load that each day stands for: as logged, as planned, or, where neither is known, a day of
    that trip or else the usual day.

    Parameters: course; load_plan_slu (N, T), NaN no plan known; p; since, as `usual_load_slu`.
    Returns: mean (N, T) SLU and variance (N, T) SLU2, nil where the day was logged.
    Raises: nothing.
    Assumes: an unlogged day of a plan was climbed about as planned; nothing stands for rest but a known
        nought.
    Source: assumption: shares from a simulated squad; tests/unit/test_load.py.
    """
    done = done_slu(course)
    usual = usual_load_slu(course, p, since)
    unplanned = np.where(np.isnan(course.load_trip_slu), usual, course.load_trip_slu)
    planned = p["load_executed_share"] * load_plan_slu + p["load_executed_extra_slu"]
    no_plan = np.isnan(load_plan_slu)
    guess = np.where(no_plan, unplanned, planned)
    guess_sd = np.where(
        no_plan, p["load_unknown_sd_share"] * unplanned, p["load_executed_sd_share"] * load_plan_slu
    )
    logged = ~np.isnan(done)
    return np.where(logged, done, guess), np.where(logged, 0.0, guess_sd**2)
