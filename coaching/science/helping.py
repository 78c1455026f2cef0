"""What would help an entry most: the same case with one plan changed at a time, under the spread of that plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from coaching.science import agents, dampness, hardness, reserve, skin
from coaching.science.contributions import reserve_means
from coaching.science.dampness import DampnessTrack, InSkin
from coaching.science.entry_case import Case, least
from coaching.science.filtering import Belief
from coaching.science.footing import since
from coaching.science.hardness import HardnessTrack
from coaching.science.inputs import INGREDIENTS, Bools, Course, Floats, Ints
from coaching.science.nodes import node_mean, node_quantiles
from coaching.science.panel import Panel
from coaching.science.readiness import at_nodes

OPTIONS: tuple[str, ...] = ("half-load", "rest-last-days", "agent-on", "agent-off", "soften", "sand")
"""Order of the first axis of every field of `Help`."""

CLEAR_GAIN = 0.03
"""A best gain below this is no clear winner (judgement)."""
NO_LOSS = -0.005
"""The low end of a change from which on it is told as no loss, in whole points of 100."""

REST_DAYS, SAND_DAYS_BEFORE = 4, 3
TRIED_INGREDIENT, TRIED_DOSE = INGREDIENTS.index("methenamine"), 0.5


@dataclass(frozen=True)
class Help:
    """Options of each entry; NaN and rank 0 where an option may not be taken or changes nothing of the plan."""

    gain: Floats  # (O, M) change of readiness
    low: Floats  # (O, M) 10 % of that change over today's state and the personal parameters
    high: Floats  # (O, M) 90 %
    rank: Ints  # (O, M) 1 the best; what may as well cost comes after what does not
    clear: Bools  # (M,) the best gains enough to be called so, and does not cost at the low end


def helping(c: Case, may: Mapping[str, Bools]) -> Help:
    """Return what each option would change, ranked.

    Parameters: c; may (option -> (M,), whether rules and label let this entry take it; absent: it may not).
    Returns: Help.
    Raises: ValueError for an option that is not one of OPTIONS.
    Assumes: one change at a time; gains do not add up, and are shrunk: ranks and ranges are to be shown, not sums.
    Source: judgement (one edit at a time from the same state); tests/property/test_helping.py.
    """
    if set(may) - set(OPTIONS):
        raise ValueError(f"options are {', '.join(OPTIONS)}")
    entries = c.frame.athlete.shape[0]
    base, at, base_nodes = _read(c, c.panel)
    row = np.arange(entries)
    gain, low, high = (np.full((len(OPTIONS), entries), np.nan) for _ in range(3))
    for place, option in enumerate(OPTIONS):
        allowed = may.get(option, np.zeros(entries, dtype=bool)) & _changes(c, option)
        if not allowed.any():
            continue
        p, _, nodes = _read(c, c.panel.with_means(**_means(c, option)))
        change = p - base
        ends = node_quantiles((nodes - base_nodes)[:, row, at], (0.1, 0.9))  # on one day, the plan's own least
        gain[place] = np.where(allowed, change, np.nan)
        low[place] = np.where(allowed, np.minimum(ends[0], change), np.nan)
        high[place] = np.where(allowed, np.maximum(ends[1], change), np.nan)
    safe = low >= NO_LOSS
    return Help(gain, low, high, ranks(gain, safe), np.any(safe & (gain >= CLEAR_GAIN), axis=0))


def ranks(gain: Floats, safe: Bools) -> Ints:
    """Return the rank of every option: the safe ones first, the best of them before; of two alike the earlier.

    Parameters: gain (O, M), NaN not an option; safe (O, M), its low end is no loss.
    Returns: (O, M), 1 the best, 0 not an option.
    Raises: nothing.
    Assumes: nothing.
    Source: judgement: of 900 picks on a simulated squad fewer than before did harm (4 in 100 became 2);
        tests/property/test_helping.py.
    """
    later = 2.0 * ~safe  # gains are below one
    order = np.argsort(np.where(np.isnan(gain), np.inf, later - gain), axis=0, kind="stable")
    place = np.argsort(order, axis=0, kind="stable") + 1
    return np.where(np.isnan(gain), 0, place).astype(np.int64)


def _read(c: Case, panel: Panel) -> tuple[Floats, Ints, Floats]:
    """Readiness, (M,), the day that it is read on, (M,), and the points of all days, (COUNT, M, D)."""
    nodes = at_nodes(panel, c.damage(), c.p)
    return *least(node_mean(nodes), c.frame.within, c.frame.trip), nodes


def _before(c: Case) -> Bools:
    """The days after the origin and before each entry's first, (T, M)."""
    days = np.arange(c.course.days)[:, None]
    return np.asarray((days > c.state.origin) & (days < c.frame.day[:, 0]))


def doses(c: Case) -> Floats:
    """Return the doses of each entry's athlete: as done, planned or taken from habit.

    Parameters: c.
    Returns: (M, T, I), 0-1.
    Raises: nothing.
    Assumes: as `agents.resolved_dose`.
    Source: bookkeeping; tests/property/test_helping.py.
    """
    habit = since(c.state.footing, c.course)[1]
    return agents.resolved_dose(c.course, c.course.dose_plan, c.p, habit)[c.frame.athlete]


def _changes(c: Case, option: str) -> Bools:
    """Whether the option changes anything of the plan, (M,)."""
    before = _before(c)
    if option in ("half-load", "rest-last-days"):
        load = c.state.reserve_drive.load_slu[:, c.frame.athlete]
        return np.asarray((before & (load > 0)).any(axis=0))
    dosed = (before.T[:, :, None] & (doses(c) > 0)).any(axis=(1, 2))
    if option in ("agent-on", "agent-off"):
        return np.asarray(before.any(axis=0) & (dosed == (option == "agent-off")))
    return np.asarray(before.any(axis=0))


def _means(c: Case, option: str) -> dict[str, Floats]:
    """Means of the entries under one option, by name of the panel's field, (M, D) pt."""
    before, first = _before(c), c.frame.day[:, 0]
    days = np.arange(c.course.days)[:, None]
    load = c.state.reserve_drive.load_slu[:, c.frame.athlete]
    nil = np.zeros(c.frame.athlete.shape[0])
    if option == "half-load":
        return {"reserve_pt": reserve_means(c, np.where(before, 0.5 * load, load), nil)}
    if option == "rest-last-days":
        idle = before & (days >= first - REST_DAYS)
        return {"reserve_pt": reserve_means(c, np.where(idle, 0.0, load), nil)}
    if option in ("agent-on", "agent-off"):
        dose, tried = doses(c), before.T
        if option == "agent-off":
            return care_means(c, np.where(tried[:, :, None], 0.0, dose), np.zeros(load.shape), np.zeros(load.shape))
        dose[:, :, TRIED_INGREDIENT] = np.where(tried, TRIED_DOSE, dose[:, :, TRIED_INGREDIENT])
        return care_means(c, dose, np.zeros(load.shape), np.zeros(load.shape))
    if option == "soften":
        return care_means(c, doses(c), before.astype(np.float64), np.zeros(load.shape))
    day = np.maximum(first - SAND_DAYS_BEFORE, c.state.origin + 1)
    filed = (before & (days == day)).astype(np.float64)
    track, drive = skin.reserve_rows(c.state, c.frame.athlete)
    means = reserve.forward_means(track, replace(drive, filed=drive.filed + filed), c.state.origin, nil, c.p)
    return {"reserve_pt": _of_entry(c, means), **care_means(c, doses(c), np.zeros(load.shape), filed)}


def care_means(c: Case, dose: Floats, moist: Floats, filed: Floats) -> dict[str, Floats]:
    """Return mean dampness and hardness of the entries under other care.

    Parameters: c; dose (M, T, I), 0-1; moist (T, M), 1 a cream more than at hand; filed (T, M), 1 a filing more.
    Returns: means by name of the panel's field, (M, D) pt.
    Raises: nothing.
    Assumes: spread as under the plan.
    Source: as the forward runs of dampness and hardness; tests/property/test_helping.py.
    """
    rows, state, p = c.frame.athlete, c.state, c.p
    course = _rows(c.course, rows)
    uptake = state.footing.uptake
    held = InSkin(state.footing.begin(c.course), None if uptake is None else uptake[..., rows])
    drive = dampness.drive(course, dose, p, held)
    next_morning = np.zeros(moist.shape)
    next_morning[1:] = moist[:-1]
    drive = replace(drive, shift_pt=drive.shift_pt + p["dampness_moist_pt"] * next_morning)
    weights = np.array(dampness.ONSET_WEIGHTS)
    effect = sum(drive.effect[:, k] * weights[k] for k in range(len(weights)))
    push = hardness.push_pt(course, np.asarray(effect), p)
    push = push - p["hardness_moist_pt"] * moist - p["hardness_filed_pt"] * filed
    damp, hard = _tracks(c)
    return {
        "dampness_pt": _of_entry(c, dampness.forward_means(damp, drive, state.origin, p)),
        "hardness_pt": _of_entry(c, hardness.forward_means(hard, push, state.origin, p)),
    }


def _tracks(c: Case) -> tuple[DampnessTrack, HardnessTrack]:
    """Dampness and hardness with one row for each entry in place of each athlete."""
    rows, d, h = c.frame.athlete, c.state.dampness, c.state.hardness
    belief = Belief(d.belief.mean[..., rows], d.belief.cov[..., rows])
    damp = DampnessTrack(
        d.mean_pt[:, rows],
        d.known_var[:, rows],
        d.noise_var[:, rows],
        d.effect_frac[..., rows],
        d.log_weight[:, rows],
        belief,
    )
    return damp, HardnessTrack(h.mean_pt[:, rows], h.var[:, rows], h.state[:, rows])


def _rows(course: Course, rows: Ints) -> Course:
    picked: dict[str, Any] = {k: v[rows] for k, v in vars(course).items() if isinstance(v, np.ndarray)}
    return replace(course, **picked)


def _of_entry(c: Case, means: Floats) -> Floats:
    """Take (T, M) to (M, D)."""
    return np.ascontiguousarray(means[c.frame.day, np.arange(means.shape[1])[:, None]])
