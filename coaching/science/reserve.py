"""Reserve: rested level, wear by load and regrowth, followed by a small bank of Kalman filters over the
renewal time.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science.filtering import (
    Bank,
    Belief,
    Leg,
    Row,
    advance,
    condition,
    mixture,
    ordered_sum,
    rating_reading,
    reweigh,
    weighted_level,
)
from coaching.science.inputs import Course, Floats
from coaching.science.quantities import QUANTITIES, Parameters

RENEWAL_FACTORS = (0.7, 1.0, 1.4)
RENEWAL_WEIGHTS = (0.3, 0.4, 0.3)

LEVEL: Row = {0: 1.0}
"""A rating of reserve reads the first state: [reserve, rested level, wear per unit of load]."""


@dataclass(frozen=True)
class ReserveTrack:
    """Course of the reserve and the bank on the morning of the origin."""

    mean_pt: Floats  # (T, N)
    known_var: Floats  # (T, N)
    noise_var: Floats  # (T, N)
    log_weight: Floats  # (K, N)
    belief: Belief  # (3, K, N) on the origin, its rating taken in
    kept: Bank | None = None

    def rested_pt(self) -> Floats:
        return weighted_level(np.exp(self.log_weight), self.belief.mean[1])

    def worked_pt(self, usual_load_slu: Floats, p: Parameters) -> Floats:
        """Level at which the reserve settles under the athlete's usual load, (N,)."""
        level = self.belief.mean[1] - renewal_d(p) * self.belief.mean[2] * usual_load_slu
        return weighted_level(np.exp(self.log_weight), np.clip(level, 0.0, 10.0))


@dataclass(frozen=True)
class ReserveDrive:
    """What moves the reserve, days first: load with its variance, and filing."""

    load_slu: Floats  # (T, N)
    load_var: Floats  # (T, N)
    filed: Floats  # (T, N)


def renewal_d(p: Parameters) -> Floats:
    """Return the renewal times of the bank.

    Parameters: p.
    Returns: (K, 1) d.
    Raises: nothing.
    Assumes: three points stand for the prior.
    Source: judgement on Baker & Kligman 1967; tests/reference/test_reserve_recursion.py.
    """
    return p["reserve_renewal_d"] * np.array(RENEWAL_FACTORS)[:, None]


def start(athletes: int, p: Parameters) -> Belief:
    """Return the prior of the reserve states.

    Parameters: athletes (count); p.
    Returns: Belief, mean (3, K, N), covariance (3, 3, K, N).
    Raises: nothing.
    Assumes: the reserve varies with the rested level.
    Source: assumption: own scale; tests/property/test_no_data.py.
    """
    shape = (len(RENEWAL_FACTORS), athletes)
    mean = np.stack(
        [
            np.full(shape, p[name])
            for name in ("reserve_start_pt", "reserve_rested_pt", "reserve_wear_pt_per_slu")
        ]
    )
    rested = p.spread("reserve_rested_pt") ** 2
    wear = (p.spread("reserve_wear_pt_per_slu") * wear_scale(p)) ** 2
    table = [
        [rested + p.spread("reserve_start_pt") ** 2, rested, 0.0],
        [rested, rested, 0.0],
        [0.0, 0.0, wear],
    ]
    return Belief(mean, np.broadcast_to(np.array(table)[:, :, None, None], (3, 3, *shape)).copy())


def wear_scale(p: Parameters) -> float:
    """Return how the unit of load differs from the register's, so that the spread follows a change of unit.

    Parameters: p.
    Returns: 1.
    Raises: nothing.
    Assumes: the spread is a share of the mean.
    Source: judgement; tests/property/test_units.py.
    """
    return p["reserve_wear_pt_per_slu"] / QUANTITIES["reserve_wear_pt_per_slu"].default


def prior(athletes: int, p: Parameters) -> Bank:
    """Return the bank before anything is known.

    Parameters: athletes (count); p.
    Returns: Bank.
    Raises: nothing.
    Assumes: as `start`.
    Source: as `start`; tests/property/test_no_data.py.
    """
    log_weight = np.log(np.array(RENEWAL_WEIGHTS))[:, None] * np.ones((1, athletes))
    return Bank(log_weight, start(athletes, p))


def follow(course: Course, drive: ReserveDrive, p: Parameters, leg: Leg | None = None) -> ReserveTrack:
    """Filter the reserve up to the origin and carry it forward under the load ahead.

    Parameters: course; drive (days first); p; leg (from which day on, and which morning to keep).
    Returns: ReserveTrack; nil before the leg.
    Raises: nothing.
    Assumes: a missing rating is skipped, never read as well or unwell.
    Source: Durbin & Koopman 2012, 4.3 and 4.10; tests/reference/test_state_space.py,
        tests/reference/test_reserve_recursion.py, tests/property/test_footing.py.
    """
    rating = np.ascontiguousarray(course.reserve_pt.T)
    half = np.ascontiguousarray(course.half_step_pt.T)
    leg = leg or Leg()
    kept, bank = None, leg.bank or prior(course.athletes, p)
    log_weight, belief = bank.log_weight, bank.belief
    noise = np.zeros(log_weight.shape)
    mean, known_var, noise_var = (np.zeros((course.days, course.athletes)) for _ in range(3))
    at_origin = (log_weight, belief)
    for day in range(leg.begin, course.days):
        if day == leg.keep:
            kept = Bank(log_weight, belief)
        if day <= course.origin:
            belief, log_weight = take_in(belief, log_weight, rating[day], half[day], p)
            at_origin = (log_weight, belief)
        weight = np.exp(log_weight)
        mean[day], known_var[day] = mixture(weight, belief.mean[0], belief.cov[0, 0])
        noise_var[day] = ordered_sum(weight * noise)
        belief, added = tomorrow(belief, drive, day, p, day < course.origin)
        noise = (1.0 - 1.0 / renewal_d(p)) ** 2 * noise + added if day >= course.origin else noise
    return ReserveTrack(mean, known_var, noise_var, *at_origin, kept)


def take_in(
    belief: Belief, log_weight: Floats, rating: Floats, half: Floats, p: Parameters
) -> tuple[Belief, Floats]:
    """Take in one morning's ratings.

    Parameters: belief; log_weight (K, N); rating (N,) pt, NaN not given; half (N,) pt; p.
    Returns: belief and log weights after it.
    Raises: nothing.
    Assumes: as `rating_reading`.
    Source: as `condition`; tests/property/test_bounds.py.
    """
    given = ~np.isnan(rating)
    report = (p["reserve_report_sd_pt"], p["report_tail_df"])
    reading = rating_reading(belief.mean[0], np.maximum(belief.cov[0, 0], 1e-12), rating, half, report)
    return held(condition(belief, LEVEL, reading, given), p), reweigh(log_weight, reading.log_likelihood)


def tomorrow(
    belief: Belief, drive: ReserveDrive, day: int, p: Parameters, past: bool
) -> tuple[Belief, Floats]:
    """Carry the bank to the next morning; ahead of the origin the day's noise is returned apart.

    Parameters: belief (3, K, N); drive; day (column); p; past (the noise belongs to what is not known).
    Returns: belief of the next morning; variance added by the day (K, N), pt2.
    Raises: nothing.
    Assumes: wear is in proportion to load.
    Source: assumption: own scale; tests/reference/test_reserve_recursion.py.
    """
    load, filed = drive.load_slu[day], drive.filed[day]
    back = 1.0 / renewal_d(p)
    wear = belief.mean[2]
    added = (
        p["reserve_noise_pt"] ** 2
        + (p["reserve_wear_noise_share"] * wear * load) ** 2
        + wear**2 * drive.load_var[day]
    )
    transition: tuple[Row, ...] = ({0: 1.0 - back, 1: back, 2: -load}, {1: 1.0}, {2: 1.0})
    nothing = np.zeros(added.shape)
    moved = advance(
        belief, transition, {0: -p["reserve_sanding_pt"] * filed + nothing}, {0: added if past else nothing}
    )
    return held(moved, p), added


def held(belief: Belief, p: Parameters) -> Belief:
    """Hold the means inside their ranges.

    Parameters: belief (3, K, N); p.
    Returns: Belief.
    Raises: nothing.
    Assumes: nothing.
    Source: ranges of the register; tests/property/test_bounds.py.
    """
    wear = p["reserve_wear_pt_per_slu"]
    mean = np.stack(
        [
            np.clip(belief.mean[0], 0.0, 10.0),
            np.clip(belief.mean[1], 4.0, 10.0),
            np.clip(belief.mean[2], 0.1 * wear, 4.0 * wear),
        ]
    )
    return Belief(mean, belief.cov)


def forward_means(
    track: ReserveTrack, drive: ReserveDrive, origin: int, start_shift_pt: Floats, p: Parameters
) -> Floats:
    """Carry only the means forward from the origin under another load or another start.

    Parameters: track; drive; origin (column); start_shift_pt (N,) added to today's reserve; p.
    Returns: (T, N) pt; columns before the origin as in the track.
    Raises: nothing.
    Assumes: spread as under the load at hand, so that a heavier plan cannot look better by being less
        certain.
    Source: judgement; tests/property/test_load_monotone.py.
    """
    weight, back = np.exp(track.log_weight), 1.0 / renewal_d(p)
    level, rested, wear = track.belief.mean
    level = np.clip(level + start_shift_pt, 0.0, 10.0)
    mean = track.mean_pt.copy()
    for day in range(origin, mean.shape[0]):
        mean[day] = weighted_level(weight, level)
        moved = level * (1.0 - back) + rested * back - wear * drive.load_slu[day]
        level = np.clip(moved - p["reserve_sanding_pt"] * drive.filed[day], 0.0, 10.0)
    return mean
