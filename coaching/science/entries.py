"""Readiness of entries: the least over a competition's days, good days of a trip, and what one change would
do.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science import skin
from coaching.science.healing import PACES, Slices
from coaching.science.inputs import Bools, Course, Floats, Ints, Targets
from coaching.science.nodes import node_mean, node_quantiles
from coaching.science.outputs import EntryChance
from coaching.science.quantities import Parameters
from coaching.science.readiness import Panel, at_nodes, tape_factor
from coaching.science.reserve import ReserveDrive, forward_means


@dataclass(frozen=True)
class Frame:
    """Days and damage of M entries, padded to the longest event and to the most episodes."""

    athlete: Ints  # (M,)
    day: Ints  # (M, D) columns
    within: Bools  # (M, D) the day belongs to the event
    trip: Bools  # (M,)
    episode: Ints  # (M, J)
    weight: Floats  # (M, J), 0 where padded


@dataclass(frozen=True)
class Case:
    """Everything that one answer is computed from; parts are the same case with one thing changed."""

    course: Course
    state: skin.State
    frame: Frame
    panel: Panel
    factors: Floats  # (J, PACES, M, D) damage by episode
    p: Parameters

    def pick(self, values: Floats) -> Floats:
        """Take (T, N) to (M, D)."""
        return np.ascontiguousarray(values[self.frame.day, self.frame.athlete[:, None]])

    def damage(self, without: int | None = None) -> Floats:
        """All damage of an entry by fifth of pace, one episode left out if asked, (PACES, M, D)."""
        total = np.ones((PACES, *self.frame.day.shape))
        for j in range(self.factors.shape[0]):
            total = total if j == without else total * self.factors[j]
        return total


def frame(course: Course, targets: Targets) -> Frame:
    """Return days and episodes of entries as padded arrays.

    Parameters: course; targets.
    Returns: Frame.
    Raises: ValueError where an event lies outside the course or begins before the origin.
    Assumes: nothing.
    Source: bookkeeping; tests/unit/test_entries.py.
    """
    if np.any(targets.last >= course.days) or np.any(targets.first > targets.last):
        raise ValueError("an event must end within the course, not before it begins")
    if np.any(targets.last < course.origin):
        raise ValueError("an event must not lie before the origin")
    first = np.maximum(targets.first, course.origin)
    span = int((targets.last - first).max(initial=0)) + 1
    day = first[:, None] + np.arange(span)
    matters = targets.weight > 0
    most = int(matters.sum(axis=1).max(initial=0))
    order = np.argsort(~matters, axis=1, kind="stable")[:, :most]
    weight = np.take_along_axis(targets.weight, order, axis=1)
    last = targets.last[:, None]
    return Frame(targets.athlete, np.minimum(day, last), day <= last, targets.trip, order, weight)


def case(
    course: Course, state: skin.State, panel: Panel, healed: Slices, targets: Targets, p: Parameters
) -> Case:
    """Return everything that the entries' answers are computed from.

    Parameters: course; state; panel (whole course, shifts included); healed (from the origin to the course's
        end);
        targets; p.
    Returns: Case.
    Raises: ValueError as `frame`.
    Assumes: nothing.
    Source: bookkeeping; tests/unit/test_entries.py.
    """
    f = frame(course, targets)
    rows = f.athlete[:, None]
    picked = {
        name: np.ascontiguousarray(values[rows, f.day])
        for name, values in vars(panel).items()
        if name != "shift_pt"
    }
    small = Panel(shift_pt=np.ascontiguousarray(panel.shift_pt[:, f.athlete]), **picked)
    factors = np.ones((f.episode.shape[1], PACES, *f.day.shape))
    for j in range(f.episode.shape[1]):
        index = (slice(None), f.episode[:, j][:, None], f.day - course.origin)
        factors[j] = tape_factor(healed.usable[index], healed.sound[index], f.weight[:, j][:, None], p)
    return Case(course, state, f, small, factors, p)


def least(values: Floats, within: Bools, trip: Bools) -> tuple[Floats, Ints]:
    """Return readiness and the day it is read on: the least day of a competition, day one of a trip.

    Parameters: values (M, D), 0-1; within (M, D); trip (M,).
    Returns: (M,) 0-1; (M,) index of the day.
    Raises: nothing.
    Assumes: at least one day.
    Source: definition of readiness (glossary); tests/unit/test_entries.py.
    """
    at = np.where(trip, 0, np.where(within, values, np.inf).argmin(axis=1))
    return values[np.arange(values.shape[0]), at], at


def chance_of(c: Case, panel: Panel, damage: Floats) -> Floats:
    """Return readiness for a case with one thing changed, (M,)."""
    return least(node_mean(at_nodes(panel, damage, c.p)), c.frame.within, c.frame.trip)[0]


def good_days(nodes: Floats, within: Bools, trip: Bools) -> tuple[Floats, Floats]:
    """Return the days of each trip and the 50, 10 and 90 % points of its good days.

    Parameters: nodes (COUNT, M, D), chance of each day at each node; within (M, D); trip (M,).
    Returns: days (M,), NaN for a competition; (3, M): middle, low, high.
    Raises: nothing.
    Assumes: days are independent given the node (Poisson-binomial count).
    Source: Wang 1993 (Poisson-binomial recursion); tests/unit/test_entries.py.
    """
    points = np.full((3, trip.shape[0]), np.nan)
    days = np.where(trip, within.sum(axis=1).astype(np.float64), np.nan)
    if not trip.any():
        return days, points
    chance = np.where(within, nodes, 0.0)[:, trip]
    count = np.zeros((*chance.shape[:2], chance.shape[2] + 1))
    count[..., 0] = 1.0
    for day in range(chance.shape[2]):
        good = chance[..., day : day + 1]
        moved = count * (1.0 - good)
        moved[..., 1:] = moved[..., 1:] + count[..., :-1] * good
        count = moved
    reached = np.cumsum(node_mean(count), axis=1)
    for k, level in enumerate((0.5, 0.1, 0.9)):
        points[k, trip] = (reached >= level - 1e-12).argmax(axis=1)
    return days, points


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
    """Return mean reserve of the entries under other loads ahead or another reserve today, (M, D) pt."""
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
    Source: judgement (one edit at a time from the same state); tests/unit/test_entries.py.
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
    """Return the change of readiness when one episode alone is taken away, (M, E)."""
    result = np.zeros((base.shape[0], episodes))
    row = np.arange(base.shape[0])
    for j in range(c.frame.episode.shape[1]):
        change = chance_of(c, c.panel, c.damage(without=j)) - base
        result[row, c.frame.episode[:, j]] += np.where(c.frame.weight[:, j] > 0, change, 0.0)
    return result


def protected(c: Case, healed: Slices) -> Floats:
    """Return the chance that all damage that matters is usable taped on the first day.

    Parameters: c; healed (PACES, E, H from the origin).
    Returns: (M,), 0-1; 1 with no damage.
    Raises: nothing.
    Assumes: episodes are independent given the athlete's pace.
    Source: judgement; tests/unit/test_entries.py.
    """
    total = np.ones((PACES, c.frame.athlete.shape[0]))
    first = c.frame.day[:, 0] - c.state.origin
    for j in range(c.frame.episode.shape[1]):
        usable = healed.usable[:, c.frame.episode[:, j], first]
        total = total * np.where(c.frame.weight[:, j] > 0, usable, 1.0)
    return node_mean(total)


def entry_chance(c: Case, healed: Slices) -> EntryChance:
    """Return readiness of entries and what it is made of.

    Parameters: c; healed (PACES, E, H from the origin).
    Returns: EntryChance.
    Raises: nothing.
    Assumes: as its parts.
    Source: definition of readiness (glossary); tests/unit/test_entries.py.
    """
    nodes = at_nodes(c.panel, c.damage(), c.p)
    base, at = least(node_mean(nodes), c.frame.within, c.frame.trip)
    low, high = node_quantiles(nodes[:, np.arange(base.shape[0]), at], (0.1, 0.9))
    days, points = good_days(nodes, c.frame.within, c.frame.trip)
    usual = usual_means(c)
    unhurt = np.ones((PACES, *c.frame.day.shape))
    return EntryChance(
        p=base,
        low=np.minimum(low, base),
        high=np.maximum(high, base),
        good_of=days,
        good_p50=points[0],
        good_low=points[1],
        good_high=points[2],
        p_usual=chance_of(c, c.panel.with_means(**usual), unhurt),
        p_rest=resting(c),
        p_protected=protected(c, healed),
        parts=parts(c, base, usual),
        episode_parts=episode_parts(c, base, healed.usable.shape[1]),
    )
