"""State of a batch of athletes at the origin: the three tracks, what drives them, and other loads or doses
ahead.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from coaching.science import agents, dampness, hardness, reserve
from coaching.science.answering import answers_told
from coaching.science.dampness import DampnessDrive, DampnessTrack, InSkin
from coaching.science.filtering import Belief
from coaching.science.footing import RECENT_DAYS, Footing, prior, remembered, since
from coaching.science.hardness import HardnessTrack
from coaching.science.inputs import Course, Episodes, Floats, Ints
from coaching.science.load import (
    FROM_THE_FIRST_DAY,
    Since,
    done_slu,
    resolved_load_slu,
    usual_load_slu,
    weighted_history,
)
from coaching.science.outputs import Estimate
from coaching.science.panel import Panel, tracks_panel, widened
from coaching.science.quantities import Parameters
from coaching.science.readiness import usable_answers
from coaching.science.reserve import ReserveDrive, ReserveTrack

WIDEST_SD_PT = 5.0
"""No value on a scale of 0 to 10 can spread further than half of it; the filters know no ends, what they tell does."""


@dataclass(frozen=True)
class State:
    """Frozen state of N athletes at the origin; days first, athletes last. Opaque outside science."""

    origin: int
    reserve: ReserveTrack
    reserve_drive: ReserveDrive
    dampness: DampnessTrack
    dampness_drive: DampnessDrive
    hardness: HardnessTrack
    hardness_push: Floats  # (T, N)
    usual_load_slu: Floats  # (N,)
    footing: Footing  # what the pass began with

    def panel(self, p: Parameters) -> Panel:
        return tracks_panel((self.reserve, self.dampness, self.hardness), self.origin, p)


def follow(course: Course, p: Parameters, footing: Footing | None = None, keep: int = -1) -> State:
    """Filter a course up to its origin and carry it forward as planned.

    Parameters: course; p; footing (of the same athletes, to go on from; None from the first column on); keep
        (column of the morning that `stood` will be asked for, -1 none).
    Returns: State; of days before the footing only what the footing remembers, else NaN.
    Raises: ValueError where the origin is not a column, or the footing not one up to it.
    Assumes: nothing observed right of the origin is read.
    Source: as the filters; tests/property/test_no_look_ahead.py, tests/property/test_footing.py.
    """
    if not 0 <= course.origin < course.days:
        raise ValueError("origin must be a column of the course")
    footing = footing or prior(course.first_ordinal, course.athletes, p)
    if not 0 <= footing.begin(course) <= course.origin:
        raise ValueError("a footing must be a morning of the course up to its origin")
    legs, (loads, habit) = footing.legs(course, keep), since(footing, course)
    drive = reserve_drive(course, course.load_plan_slu, p, loads)
    dose = agents.resolved_dose(course, course.dose_plan, p, habit)
    damp_drive = dampness.drive(course, dose, p, InSkin(footing.begin(course), footing.uptake, keep))
    damp = dampness.follow(course, damp_drive, p, legs[1])
    push = hardness.push_pt(course, damp.effect_frac, p)
    tracks = (reserve.follow(course, drive, p, legs[0]), damp, hardness.follow(course, push, p, legs[2]))
    usual = usual_load_slu(course, p, loads)[:, course.origin]
    return _with_past(State(course.origin, tracks[0], drive, damp, damp_drive, tracks[2], push, usual, footing), course)


def _with_past(state: State, course: Course) -> State:
    """The tracks with the days before the footing, as far as it remembers them."""
    recent, begin = state.footing.recent, state.footing.begin(course)

    def filled(values: Floats, which: int) -> Floats:
        return remembered(recent, begin, values, which)

    r, d, h = state.reserve, state.dampness, state.hardness
    return replace(
        state,
        reserve=replace(r, mean_pt=filled(r.mean_pt, 0), known_var=filled(r.known_var, 1)),
        dampness=replace(d, mean_pt=filled(d.mean_pt, 2), known_var=filled(d.known_var, 3)),
        hardness=replace(h, mean_pt=filled(h.mean_pt, 4), var=filled(h.var, 5)),
    )


def told(course: Course, state: State, episodes: Episodes, p: Parameters, upto: int) -> Floats:
    """Return what the answers before a day said of the personal shift of the odds.

    Parameters: course; state; episodes; p; upto (column, not before the footing, at most one past the origin).
    Returns: (cells, N), log likelihood.
    Raises: nothing.
    Assumes: as `answers_told`.
    Source: as `answers_told`; tests/property/test_footing.py.
    """
    days = slice(state.footing.begin(course), upto)
    answer = usable_answers(course, episodes)[:, days]
    return answers_told(answer, state.panel(p).columns(days), state.footing.told, p)


def stood(course: Course, state: State, episodes: Episodes, p: Parameters, at: int) -> Footing:
    """Return the footing on the morning that `follow` was told to keep.

    Parameters: course; state; episodes; p; at (the column kept).
    Returns: Footing.
    Raises: ValueError where that morning was not kept.
    Assumes: nothing.
    Source: bookkeeping; tests/property/test_footing.py.
    """
    reserve_bank, damp_bank, hard_bank = state.reserve.kept, state.dampness.kept, state.hardness.kept
    uptake = state.dampness_drive.kept
    if reserve_bank is None or damp_bank is None or hard_bank is None or uptake is None:
        raise ValueError("this morning was not kept")
    loads, habit = since(state.footing, course)
    return Footing(
        course.first_ordinal + at,
        reserve_bank,
        damp_bank,
        hard_bank,
        uptake=uptake,
        habit=_sums_before(agents.habit_sums(agents.done_dose(course), p, habit), at, habit),
        usual=_sums_before(_load_sums(course, p, loads), at, loads),
        told=told(course, state, episodes, p, at),
        recent=_recent(state, at),
    )


def _load_sums(course: Course, p: Parameters, loads: Since) -> tuple[Floats, Floats]:
    total, weight = weighted_history(done_slu(course), p["load_usual_half_life_d"], loads)
    return total.T, weight.T


def _sums_before(sums: tuple[Floats, Floats], at: int, history: Since) -> Floats:
    """The sums of all days before a morning, (2, ...)."""
    if at == history.begin:
        return np.stack([np.broadcast_to(before, sums[0].shape[1:]) for before in history[1:]])
    return np.stack([by_day[at - 1] for by_day in sums])


def _recent(state: State, at: int) -> Floats:
    r, d, h = state.reserve, state.dampness, state.hardness
    values = (r.mean_pt, r.known_var, d.mean_pt, d.known_var, h.mean_pt, h.var)
    missing = np.full((max(RECENT_DAYS - at, 0), r.mean_pt.shape[1]), np.nan)
    return np.stack([np.concatenate([missing, days[max(at - RECENT_DAYS, 0) : at]]) for days in values])


def reserve_drive(
    course: Course, load_plan_slu: Floats, p: Parameters, loads: Since = FROM_THE_FIRST_DAY
) -> ReserveDrive:
    """Return what moves the reserve under a plan.

    Parameters: course; load_plan_slu (N, T), NaN no plan known; p; loads (history taken up again).
    Returns: ReserveDrive.
    Raises: nothing.
    Assumes: nothing is filed after the origin.
    Source: as `resolved_load_slu`; tests/property/test_load_monotone.py.
    """
    load, var = resolved_load_slu(course, load_plan_slu, p, loads)
    past = np.arange(course.days) <= course.origin
    filed = np.nan_to_num(np.where(past, course.filed_done, 0.0), nan=0.0)
    return ReserveDrive(*(np.ascontiguousarray(a.T) for a in (load, var, filed)))


def without_planned_doses(course: Course, state: State, p: Parameters) -> tuple[Floats, Floats]:
    """Return mean dampness and hardness ahead if no planned dose is taken.

    Parameters: course; state; p.
    Returns: two arrays (T, N), pt.
    Raises: nothing.
    Assumes: spread as under the plan.
    Source: judgement (one change at a time); tests/property/test_agent_monotone.py.
    """
    days = np.arange(course.days)
    ahead = (days > course.origin)[None, :, None] | (
        (days == course.origin)[None, :, None] & np.isnan(course.dose_done)
    )
    footing = state.footing
    habit = since(footing, course)[1]
    dose = np.where(ahead, 0.0, agents.resolved_dose(course, course.dose_plan, p, habit))
    damp_drive = dampness.drive(course, dose, p, InSkin(footing.begin(course), footing.uptake))
    weights = np.array(dampness.ONSET_WEIGHTS)
    effect = sum(damp_drive.effect[:, k] * weights[k] for k in range(len(weights)))
    push = hardness.push_pt(course, np.asarray(effect), p)
    return (
        dampness.forward_means(state.dampness, damp_drive, state.origin, p),
        hardness.forward_means(state.hardness, push, state.origin, p),
    )


def in_mild_air(course: Course, state: State, p: Parameters) -> Floats:
    """Return mean dampness ahead in mild air.

    Parameters: course; state; p.
    Returns: (T, N) pt.
    Raises: nothing.
    Assumes: air of past days has left no trace.
    Source: as `air_shift_pt`; tests/unit/test_entries.py.
    """
    shift = state.dampness_drive.shift_pt - dampness.air_shift_pt(course, p).T
    return dampness.forward_means(
        state.dampness, replace(state.dampness_drive, shift_pt=shift), state.origin, p
    )


def reserve_rows(state: State, athlete: Ints) -> tuple[ReserveTrack, ReserveDrive]:
    """Return the reserve of some athletes, one row for each index.

    Parameters: state; athlete (M,), rows.
    Returns: track and drive with M in place of N.
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/property/test_batches.py.
    """
    t, d = state.reserve, state.reserve_drive
    belief = Belief(t.belief.mean[..., athlete], t.belief.cov[..., athlete])
    track = ReserveTrack(
        t.mean_pt[:, athlete],
        t.known_var[:, athlete],
        t.noise_var[:, athlete],
        t.log_weight[:, athlete],
        belief,
    )
    return track, ReserveDrive(d.load_slu[:, athlete], d.load_var[:, athlete], d.filed[:, athlete])


def estimate(state: State, p: Parameters) -> Estimate:
    """Return the state as numbers for others.

    Parameters: state; p.
    Returns: Estimate.
    Raises: nothing.
    Assumes: nothing.
    Source: as the filters; no sd above half the scale (Popoviciu's inequality); tests/property/test_bounds.py.
    """
    reserve_known, reserve_noise = widened(state.reserve, state.origin, p)
    damp_known, damp_noise = widened(state.dampness, state.origin, p)
    hard = state.hardness

    def out(values: Floats) -> Floats:
        return np.ascontiguousarray(values.T)

    def spread(var: Floats) -> Floats:
        return out(np.minimum(np.sqrt(var), WIDEST_SD_PT))

    return Estimate(
        reserve_mean_pt=out(state.reserve.mean_pt),
        reserve_sd_pt=spread(reserve_known + reserve_noise),
        reserve_known_sd_pt=spread(reserve_known),
        dampness_mean_pt=out(state.dampness.mean_pt),
        dampness_sd_pt=spread(damp_known + damp_noise),
        dampness_known_sd_pt=spread(damp_known),
        hardness_mean_pt=out(hard.mean_pt),
        hardness_sd_pt=spread(hard.var),
        usual_reserve_pt=state.reserve.rested_pt(),
        agent_effect_frac=np.ascontiguousarray(np.moveaxis(state.dampness.effect_frac, 2, 0)),
        worked_reserve_pt=state.reserve.worked_pt(state.usual_load_slu, p),
        usual_dampness_pt=state.dampness.usual_pt(),
        usual_load_slu=state.usual_load_slu,
        no_response_frac=state.dampness.no_response_frac(),
    )
