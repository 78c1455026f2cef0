"""What readiness is made of: the same case with one thing changed at a time, under the spread of the plan."""

from __future__ import annotations

import numpy as np

from coaching.science import skin
from coaching.science.entry_case import Case, chance_of
from coaching.science.inputs import Floats
from coaching.science.reserve import ReserveDrive, forward_means


def usual_means(c: Case) -> dict[str, Floats]:
    """Return the athlete's usual reserve, dampness and hardness on every day of the event.

    Parameters: c.
    Returns: mean by name of the panel's field, (M, D) pt.
    Raises: nothing.
    Assumes: usual dampness that does not suit is brought just inside the band that does, so that an athlete
        who is
        always too damp is told so; the same for hardness.
    Source: judgement; tests/unit/test_entries.py.
    """
    p, state, rows = c.p, c.state, c.frame.athlete
    shape = c.frame.day.shape
    mild = np.clip(
        state.dampness.usual_pt(),
        p["too_dry_pt"] + p["mild_margin_pt"],
        p["too_damp_pt"] - p["mild_margin_pt"],
    )
    soft = np.minimum(state.hardness.state[1], p["soft_enough_pt"])
    worked = state.reserve.worked_pt(state.usual_load_slu, p)
    usual = {"reserve_pt": worked, "dampness_pt": mild, "hardness_pt": soft}
    return {name: np.broadcast_to(values[rows][:, None], shape) for name, values in usual.items()}


def reserve_means(c: Case, loads: Floats | None, start_shift_pt: Floats) -> Floats:
    """Return mean reserve of the entries under other loads ahead or another reserve today.

    Parameters: c; loads (T, M) SLU, None as planned; start_shift_pt (M,) added to today's reserve.
    Returns: (M, D) pt.
    Raises: nothing.
    Assumes: spread as under the plan.
    Source: as the forward run of the reserve; tests/unit/test_entries.py.
    """
    track, drive = skin.reserve_rows(c.state, c.frame.athlete)
    moved = drive if loads is None else ReserveDrive(loads, drive.load_var, drive.filed)
    means = forward_means(track, moved, c.state.origin, start_shift_pt, c.p)
    return np.ascontiguousarray(means[c.frame.day, np.arange(c.frame.athlete.shape[0])[:, None]])


def parts(c: Case, base: Floats, usual: dict[str, Floats]) -> dict[str, Floats]:
    """Return the change of readiness when one thing alone is set to the athlete's usual.

    Parameters: c; base (M,), readiness as planned; usual, as `usual_means`.
    Returns: code -> (M,); they do not add up.
    Raises: nothing.
    Assumes: the spread stays that of the plan, so that nothing looks better by being less certain.
    Source: judgement (one edit at a time from the same state); tests/unit/test_entries.py,
        tests/reference/test_plans_plainly.py.
    """
    damage, panel, state = c.damage(), c.panel, c.state
    ahead = (np.arange(c.course.days) > state.origin)[:, None]
    rows = c.frame.athlete
    usual_load = np.where(ahead, state.usual_load_slu[rows], state.reserve_drive.load_slu[:, rows])
    today = state.reserve.mean_pt[state.origin, rows]
    damp_less, hard_less = skin.without_planned_doses(c.course, state, c.p)
    changes: dict[str, dict[str, Floats]] = {
        "reserve": {"reserve_pt": reserve_means(c, None, usual["reserve_pt"][:, 0] - today)},
        "load": {"reserve_pt": reserve_means(c, usual_load, np.zeros(rows.shape[0]))},
        "dampness": {"dampness_pt": np.minimum(panel.dampness_pt, usual["dampness_pt"])},
        "dryness": {"dampness_pt": np.maximum(panel.dampness_pt, usual["dampness_pt"])},
        "glassy": {"hardness_pt": np.minimum(panel.hardness_pt, usual["hardness_pt"])},
        "agent": {"dampness_pt": c.pick(damp_less), "hardness_pt": c.pick(hard_less)},
        "air": {"dampness_pt": c.pick(skin.in_mild_air(c.course, state, c.p))},
    }
    return {code: chance_of(c, panel.with_means(**means), damage) - base for code, means in changes.items()}


def resting(c: Case) -> Floats:
    """Return readiness with no load from tomorrow until the first day.

    Parameters: c.
    Returns: (M,), 0-1.
    Raises: nothing.
    Assumes: the event itself is climbed as planned; spread as under the plan.
    Source: judgement; tests/property/test_load_monotone.py.
    """
    days = np.arange(c.course.days)[:, None]
    idle = (days > c.state.origin) & (days < c.frame.day[:, 0])
    loads = np.where(idle, 0.0, c.state.reserve_drive.load_slu[:, c.frame.athlete])
    means = reserve_means(c, loads, np.zeros(c.frame.athlete.shape[0]))
    return chance_of(c, c.panel.with_means(reserve_pt=means), c.damage())


def episode_parts(c: Case, base: Floats, episodes: int) -> Floats:
    """Return the change of readiness when one episode alone is taken away.

    Parameters: c; base (M,), readiness as planned; episodes (count, E).
    Returns: (M, E); 0 where the episode does not matter.
    Raises: nothing.
    Assumes: nothing.
    Source: judgement (one edit at a time from the same state); tests/unit/test_entries.py.
    """
    result = np.zeros((base.shape[0], episodes))
    row = np.arange(base.shape[0])
    for j in range(c.frame.episode.shape[1]):
        change = chance_of(c, c.panel, c.damage(without=j)) - base
        result[row, c.frame.episode[:, j]] += np.where(c.frame.weight[:, j] > 0, change, 0.0)
    return result
