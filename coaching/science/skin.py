"""State of a batch of athletes at the origin: the three tracks, what drives them, and other loads or doses
ahead.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from coaching.science import agents, dampness, hardness, reserve
from coaching.science.dampness import DampnessDrive, DampnessTrack
from coaching.science.filtering import Belief
from coaching.science.hardness import HardnessTrack
from coaching.science.inputs import Course, Floats, Ints
from coaching.science.load import resolved_load_slu, usual_load_slu
from coaching.science.outputs import Estimate
from coaching.science.quantities import Parameters
from coaching.science.readiness import Panel, tracks_panel, widened
from coaching.science.reserve import ReserveDrive, ReserveTrack


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

    def panel(self, p: Parameters) -> Panel:
        return tracks_panel((self.reserve, self.dampness, self.hardness), self.origin, p)


def follow(course: Course, p: Parameters) -> State:
    """Filter a course up to its origin and carry it forward as planned.

    Parameters: course; p.
    Returns: State.
    Raises: ValueError where the origin is not a column.
    Assumes: nothing observed right of the origin is read.
    Source: as the filters; tests/property/test_no_look_ahead.py.
    """
    if not 0 <= course.origin < course.days:
        raise ValueError("origin must be a column of the course")
    drive = reserve_drive(course, course.load_plan_slu, p)
    damp_drive = dampness.drive(course, agents.resolved_dose(course, course.dose_plan, p), p)
    damp = dampness.follow(course, damp_drive, p)
    push = hardness.push_pt(course, damp.effect_frac, p)
    usual = usual_load_slu(course, p)[:, course.origin]
    return State(
        course.origin,
        reserve.follow(course, drive, p),
        drive,
        damp,
        damp_drive,
        hardness.follow(course, push, p),
        push,
        usual,
    )


def reserve_drive(course: Course, load_plan_slu: Floats, p: Parameters) -> ReserveDrive:
    """Return what moves the reserve under a plan.

    Parameters: course; load_plan_slu (N, T), NaN no plan known; p.
    Returns: ReserveDrive.
    Raises: nothing.
    Assumes: nothing is filed after the origin.
    Source: as `resolved_load_slu`; tests/property/test_load_monotone.py.
    """
    load, var = resolved_load_slu(course, load_plan_slu, p)
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
    dose = np.where(ahead, 0.0, agents.resolved_dose(course, course.dose_plan, p))
    damp_drive = dampness.drive(course, dose, p)
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
    Source: as the filters; tests/property/test_bounds.py.
    """
    reserve_known, reserve_noise = widened(state.reserve, state.origin, p)
    damp_known, damp_noise = widened(state.dampness, state.origin, p)
    hard = state.hardness

    def out(values: Floats) -> Floats:
        return np.ascontiguousarray(values.T)

    return Estimate(
        reserve_mean_pt=out(state.reserve.mean_pt),
        reserve_sd_pt=out(np.sqrt(reserve_known + reserve_noise)),
        reserve_known_sd_pt=out(np.sqrt(reserve_known)),
        dampness_mean_pt=out(state.dampness.mean_pt),
        dampness_sd_pt=out(np.sqrt(damp_known + damp_noise)),
        dampness_known_sd_pt=out(np.sqrt(damp_known)),
        hardness_mean_pt=out(hard.mean_pt),
        hardness_sd_pt=out(np.sqrt(hard.var)),
        usual_reserve_pt=state.reserve.rested_pt(),
        agent_effect_frac=np.ascontiguousarray(np.moveaxis(state.dampness.effect_frac, 2, 0)),
        worked_reserve_pt=state.reserve.worked_pt(state.usual_load_slu, p),
        usual_dampness_pt=state.dampness.usual_pt(),
        usual_load_slu=state.usual_load_slu,
        no_response_frac=state.dampness.no_response_frac(),
    )
