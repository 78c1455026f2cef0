"""Dampness: the athlete's usual level, a passing deviation, air and agents, followed by a bank over onset and
response.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science.agents import effect_frac, uptake_course
from coaching.science.filtering import (
    Bank,
    Belief,
    Leg,
    Row,
    advance,
    condition,
    exact_reading,
    mixture,
    ordered_sum,
    predicted,
    rating_reading,
    reweigh,
    weighted_level,
)
from coaching.science.inputs import INGREDIENTS, Course, Floats, TriedAgents
from coaching.science.quantities import Parameters

ONSET_FACTORS = (0.74, 1.0, 1.35, 1.0)
"""Onset over the prior's median; minus and plus one prior sd at the ends. The last component does not
respond.
"""

ONSET_WEIGHTS = (0.3, 0.4, 0.3)
SPEEDS = tuple(sorted(set(ONSET_FACTORS)))
COMPONENTS = len(ONSET_FACTORS)
STATES = 2 + len(INGREDIENTS)


@dataclass(frozen=True)
class DampnessDrive:
    """What moves dampness, days first: effect of the agents in force, air and cream."""

    effect: Floats  # (T, K, I, N) 0-1
    shift_pt: Floats  # (T, N) air and cream
    kept: Floats | None = None  # (SPEEDS, 2, I, N) uptake of the agents on a morning asked for


@dataclass(frozen=True)
class DampnessTrack:
    """Course of dampness and the bank on the morning of the origin."""

    mean_pt: Floats  # (T, N)
    known_var: Floats  # (T, N)
    noise_var: Floats  # (T, N)
    effect_frac: Floats  # (T, I, N)
    log_weight: Floats  # (K, N)
    belief: Belief  # (5, K, N) deviation, usual level, effect by ingredient
    kept: Bank | None = None

    def usual_pt(self) -> Floats:
        """Level without agent in mild air, (N,)."""
        return weighted_level(np.exp(self.log_weight), self.belief.mean[1])

    def no_response_frac(self) -> Floats:
        return np.asarray(np.exp(self.log_weight[-1]))


def air_shift_pt(course: Course, p: Parameters) -> Floats:
    """Return what the air adds to dampness, nil where it is not known.

    Parameters: course; p.
    Returns: (N, T) pt.
    Raises: nothing.
    Assumes: unknown air is mild air; its scatter is part of the day-to-day noise.
    Source: assumption: sign plausible, one field study found no link (Amca et al. 2012);
        tests/unit/test_dampness.py.
    """
    warm = np.nan_to_num(course.temp_c - p["air_mild_c"], nan=0.0)
    humid = np.nan_to_num(course.rh_pct - p["air_mild_pct"], nan=0.0)
    return p["dampness_air_pt_per_c"] * warm + p["dampness_air_pt_per_pct"] * humid


@dataclass(frozen=True)
class InSkin:
    """The agents taken up again on the morning of a day, and the morning on which they are to be kept."""

    begin: int = 0
    uptake: Floats | None = None  # (SPEEDS, 2, I, N) on the morning of `begin`; None no agent
    keep: int = -1  # column; -1 none


def drive(course: Course, dose: Floats, p: Parameters, agents: InSkin | None = None) -> DampnessDrive:
    """Return what moves dampness under these doses.

    Parameters: course; dose (N, T, I), 0-1, no NaN; p; agents (from which day on, and which morning to keep).
    Returns: DampnessDrive; no effect before the first day.
    Raises: nothing.
    Assumes: cream of one day shows next morning.
    Source: as `air_shift_pt` and `effect_course`; tests/unit/test_dampness.py.
    """
    agents = agents or InSkin()
    before = [None] * len(SPEEDS) if agents.uptake is None else list(agents.uptake)
    stages = [uptake_course(dose, s, p, agents.begin, b) for s, b in zip(SPEEDS, before, strict=True)]
    by_speed = {s: effect_frac(held[:, 1], p["agent_saturation"]) for s, held in zip(SPEEDS, stages, strict=True)}
    effect = np.stack([by_speed[speed] for speed in ONSET_FACTORS], axis=1)
    kept = np.stack([held[agents.keep] for held in stages]) if agents.keep >= 0 else None
    moist = np.zeros(course.moist_done.shape)
    past = np.arange(course.days) <= course.origin
    moist[:, 1:] = np.nan_to_num(np.where(past, course.moist_done, 0.0), nan=0.0)[:, :-1]
    shift = air_shift_pt(course, p) + p["dampness_moist_pt"] * moist
    return DampnessDrive(effect, np.ascontiguousarray(shift.T), kept)


def start(athletes: int, p: Parameters) -> tuple[Belief, Floats]:
    """Return the prior of the dampness states and of the components.

    Parameters: athletes (count); p.
    Returns: Belief, mean (5, K, N), covariance (5, 5, K, N); log weights (K, N).
    Raises: nothing.
    Assumes: one athlete responds to all agents or to none.
    Source: Bergstresser & Quero 1976, Cullen 1975 for the share without response;
        tests/property/test_no_data.py.
    """
    shape = (COMPONENTS, athletes)
    mean, cov = np.zeros((STATES, *shape)), np.zeros((STATES, STATES, *shape))
    mean[1] = p["dampness_usual_pt"]
    mean[2:, :-1] = p["agent_effect_pt"]
    cov[0, 0] = p["dampness_noise_pt"] ** 2 / (1.0 - p["dampness_memory_frac"] ** 2)
    cov[1, 1] = p.spread("dampness_usual_pt") ** 2
    for state in range(2, STATES):
        cov[state, state, :-1] = p.spread("agent_effect_pt") ** 2
    without = p["agent_no_response_frac"]
    weights = np.array([*((1.0 - without) * w for w in ONSET_WEIGHTS), without])
    return Belief(mean, cov), np.log(weights)[:, None] * np.ones((1, athletes))


def level_row(effect: Floats) -> Row:
    """Return how a rating of dampness reads the states.

    Parameters: effect (K, I, N), 0-1.
    Returns: Row.
    Raises: nothing.
    Assumes: agents add up.
    Source: assumption; tests/unit/test_dampness.py.
    """
    return {0: 1.0, 1: 1.0, **{2 + i: -effect[:, i] for i in range(len(INGREDIENTS))}}


def prior(athletes: int, p: Parameters) -> Bank:
    """Return the bank before anything is known.

    Parameters: athletes (count); p.
    Returns: Bank.
    Raises: nothing.
    Assumes: as `start`.
    Source: as `start`; tests/property/test_no_data.py.
    """
    belief, log_weight = start(athletes, p)
    return Bank(log_weight, belief)


def follow(course: Course, moved_by: DampnessDrive, p: Parameters, leg: Leg | None = None) -> DampnessTrack:
    """Filter dampness up to the origin and carry it forward under the doses and the air ahead.

    Parameters: course; moved_by; p; leg (from which day on, and which morning to keep).
    Returns: DampnessTrack; nil before the leg.
    Raises: nothing.
    Assumes: a missing rating is skipped.
    Source: Durbin & Koopman 2012, 4.3 and 4.10; tests/reference/test_state_space.py,
        tests/property/test_footing.py.
    """
    rating = np.ascontiguousarray(course.dampness_pt.T)
    half = np.ascontiguousarray(course.half_step_pt.T)
    leg = leg or Leg()
    kept, bank = None, leg.bank or prior(course.athletes, p)
    log_weight, belief = bank.log_weight, bank.belief
    at_origin = (log_weight, belief)
    noise = np.zeros((2, *log_weight.shape))
    mean, known_var, noise_var = (np.zeros((course.days, course.athletes)) for _ in range(3))
    for day in range(leg.begin, course.days):
        row = level_row(moved_by.effect[day])
        if day == leg.keep:
            kept = Bank(log_weight, belief)
        if day <= course.origin:
            answer = (rating[day], half[day], moved_by.shift_pt[day])
            belief, log_weight = take_in(belief, log_weight, row, answer, p)
            belief, log_weight = take_in_trials(belief, log_weight, course.tried, day)
            at_origin = (log_weight, belief)
        middle, var = predicted(belief, row)
        weight = np.exp(log_weight)
        mean[day], known_var[day] = mixture(weight, np.clip(middle + moved_by.shift_pt[day], 0.0, 10.0), var)
        noise_var[day] = ordered_sum(weight * (noise[0] + noise[1]))
        belief, noise = tomorrow(belief, noise, p, day < course.origin)
    effect = ordered_sum(
        np.moveaxis(moved_by.effect, 1, 0)[:-1] * np.array(ONSET_WEIGHTS)[:, None, None, None]
    )
    return DampnessTrack(mean, known_var, noise_var, effect, *at_origin, kept)


def take_in(
    belief: Belief, log_weight: Floats, row: Row, answer: tuple[Floats, Floats, Floats], p: Parameters
) -> tuple[Belief, Floats]:
    """Take in one morning's ratings.

    Parameters: belief; log_weight (K, N); row; answer (rating, NaN not given, its half step, and what air and
        cream
        add, each (N,) pt); p.
    Returns: belief and log weights after it.
    Raises: nothing.
    Assumes: as `rating_reading`.
    Source: as `condition`; tests/property/test_bounds.py.
    """
    rating, half, shift = answer
    middle, var = predicted(belief, row)
    report = (p["dampness_report_sd_pt"], p["report_tail_df"])
    reading = rating_reading(middle + shift, var, rating, half, report)
    moved = condition(belief, row, reading, ~np.isnan(rating))
    mean = moved.mean.copy()
    mean[1] = np.clip(mean[1], 0.0, 10.0)
    mean[2:] = np.clip(mean[2:], 0.0, 8.0)
    return Belief(mean, moved.cov), reweigh(log_weight, reading.log_likelihood)


def take_in_trials(
    belief: Belief, log_weight: Floats, tried: TriedAgents, day: int
) -> tuple[Belief, Floats]:
    """Take in what athletes' own trials that were read on a day say of the full effect of an agent.

    Parameters: belief; log_weight (K, N); tried; day (column).
    Returns: belief and log weights after it, the very same where no trial was read that day; of other athletes
        not a bit is changed.
    Raises: nothing.
    Assumes: a result is a plain measurement of the effect, normal, and independent of the ratings of the mornings.
    Source: Durbin & Koopman 2012, 4.3; tests/unit/test_trial_evidence.py.
    """
    which = np.flatnonzero(tried.column == day)
    if not which.size:
        return belief, log_weight
    mean, cov, weights = belief.mean.copy(), belief.cov.copy(), log_weight.copy()
    for k in which:
        own, row = [int(tried.athlete[k])], {2 + int(tried.ingredient[k]): 1.0}
        before = Belief(mean[..., own], cov[..., own])
        middle, var = predicted(before, row)
        reading = exact_reading(middle, var, np.full_like(middle, tried.effect_pt[k]), float(tried.sd_pt[k]) ** 2)
        after = condition(before, row, reading, np.ones(middle.shape, dtype=np.bool_))
        mean[..., own], cov[..., own] = after.mean, after.cov
        mean[2:, :, own] = np.clip(mean[2:, :, own], 0.0, 8.0)
        weights[:, own] = reweigh(weights[:, own], reading.log_likelihood)
    return Belief(mean, cov), weights


def tomorrow(belief: Belief, noise: Floats, p: Parameters, past: bool) -> tuple[Belief, Floats]:
    """Carry the bank to the next morning; ahead of the origin the noise is kept apart.

    Parameters: belief (5, K, N); noise (2, K, N) pt2 of deviation and usual level; p; past.
    Returns: both a day later.
    Raises: nothing.
    Assumes: the agent's full effect stays as it is.
    Source: assumption; tests/property/test_silence.py.
    """
    memory = p["dampness_memory_frac"]
    added = (p["dampness_noise_pt"] ** 2, p["dampness_drift_pt"] ** 2)
    shape = noise.shape[1:]
    transition: tuple[Row, ...] = ({0: memory}, *({i: 1.0} for i in range(1, STATES)))
    own = {0: np.full(shape, added[0]), 1: np.full(shape, added[1])} if past else {}
    if not past:
        noise = np.stack([memory**2 * noise[0] + added[0], noise[1] + added[1]])
    return advance(belief, transition, {}, own), noise


def forward_means(track: DampnessTrack, moved_by: DampnessDrive, origin: int, p: Parameters) -> Floats:
    """Carry only the means forward from the origin under other doses or other air.

    Parameters: track; moved_by; origin (column); p.
    Returns: (T, N) pt; columns before the origin as in the track.
    Raises: nothing.
    Assumes: spread as under the doses at hand.
    Source: judgement; tests/property/test_agent_monotone.py.
    """
    weight, mean = np.exp(track.log_weight), track.mean_pt.copy()
    state = track.belief.mean.copy()
    for day in range(origin, mean.shape[0]):
        level = state[0] + state[1] + moved_by.shift_pt[day]
        for i in range(len(INGREDIENTS)):
            level = level - moved_by.effect[day, :, i] * state[2 + i]
        mean[day] = weighted_level(weight, np.clip(level, 0.0, 10.0))
        state[0] = p["dampness_memory_frac"] * state[0]
    return mean
