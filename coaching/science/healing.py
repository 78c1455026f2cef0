"""Healing of damage in two stages, given what was last seen and since when; usable taped is apart.

A look that finds it open again starts the first stage anew; where a version has it, load may open it ahead as well.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from coaching.science.filtering import ordered_sum
from coaching.science.healing_again import opened_again, opening_chance, unseen
from coaching.science.healing_history import pace_weights, with_habit
from coaching.science.healing_looks import (
    CLOSING,
    LEAST,
    OPEN,
    POINTS,
    RIMMED,
    SOUND,
    THINNED,
    Seen,
    closings,
    evidence,
    outlasted,
    running,
    seen,
)
from coaching.science.healing_times import PACES, Stretch, deep_share, levels, stretches
from coaching.science.inputs import Episodes, Floats, Ints
from coaching.science.normal import quantile
from coaching.science.outputs import Healing
from coaching.science.quantities import Parameters

LONGEST_D = 60
QUANTILES = (0.1, 0.5, 0.8, 0.9)
LIGHTER = 0
"""The level of damage that was recorded as far worse than it is."""

Stages = tuple[Stretch, Stretch, Stretch]


@dataclass(frozen=True)
class Slices:
    """Chances by fifth of the athlete's own healing pace, fast to slow, (PACES, E, H)."""

    closed: Floats
    usable: Floats
    sound: Floats

    def merged(self, other: Slices, rows: Ints, how: np.ufunc) -> Slices:
        """The same with some episodes' chances merged with others' by `np.minimum` or `np.maximum`."""
        mine = {name: values.copy() for name, values in vars(self).items()}
        for name, values in mine.items():
            values[:, rows] = how(values[:, rows], getattr(other, name))
        return Slices(**mine)


def longer(stretch: Stretch) -> Stretch:
    """Return a stretch with a last axis for days.

    Parameters: stretch (depth, level, E).
    Returns: Stretch, (depth, level, E, 1).
    Raises: nothing.
    Assumes: nothing.
    Source: bookkeeping; tests/unit/test_healing.py.
    """
    return Stretch(stretch.from_d[..., None], stretch.median_d[..., None], stretch.log_sd[..., None])


def given(still: Floats, at_look: Floats) -> Floats:
    """Return the chance that a stretch is over, given that it ran at the last look.

    Parameters: still (..., H), chance that it runs; at_look (..., 1), the same at the look.
    Returns: (..., H), 0-1.
    Raises: nothing.
    Assumes: nothing.
    Source: conditional probability; tests/unit/test_healing.py.
    """
    return np.clip(1.0 - still / np.maximum(at_look, LEAST), 0.0, 1.0)


def stretched(s: Seen, stage: int, days: Floats, share: float) -> Floats:
    """Return the days with the time since the look drawn out where the look found the later part of a stage.

    Parameters: s; stage (found by the look); days (E, H) from the injury; share (0-1, left of what was left).
    Returns: (E, H) d: what is over by then in the whole stage is over by `days` in its later part.
    Raises: nothing.
    Assumes: what is left of the stage is shorter by that share, whatever it is.
    Source: judgement; tests/property/test_healing_order.py.
    """
    looked = s.looked_d[:, None]
    return np.where((s.stage == stage)[:, None], looked + (days - looked) / share, days)


def unclosed(s: Seen, stages: Stages, days: Floats, p: Parameters) -> Slices:
    """Return the chances by depth and level of damage that nobody has seen closed.

    Parameters: s; stages (as from the injury); days (E, H) from the injury; p.
    Returns: Slices with arrays (depth, level, E, H).
    Raises: nothing.
    Assumes: usable taped and closing go together (the slower of both, comonotone).
    Source: judgement; tests/unit/test_healing.py.
    """
    closes, grows, usable = (longer(stage) for stage in stages)
    looked = s.looked_d[:, None]
    first = outlasted(closes, s.unclosed[:, None], looked, p)
    at_look = np.where(s.unclosed[:, None], running(first, looked), 1.0)
    share = p["healing_closing_left_share"]
    raw, untaped = running(first, stretched(s, CLOSING, days, share)), running(usable, days)
    closed = given(raw, at_look)
    anew = first.from_d > 0.0  # closing then no longer counts from the injury, as usable does
    held = np.where(anew, np.minimum(closed, 1.0 - untaped), given(np.maximum(raw, untaped), at_look))
    total = np.zeros(closed.shape)
    for k in range(POINTS):
        still = np.maximum(at_look, LEAST) * (1.0 - (k + 0.5) / POINTS)
        shut = first.from_d + first.median_d * np.exp(-first.log_sd * quantile(still))
        shut = np.where((s.stage == CLOSING)[:, None], looked + share * np.maximum(shut - looked, 0.0), shut)
        total = total + (1.0 - running(Stretch(shut, grows.median_d, grows.log_sd), days))
    sound = np.minimum(total / POINTS, held)
    return Slices(np.maximum(closed, held), held, sound)


def closed(s: Seen, stages: Stages, days: Floats, p: Parameters) -> Slices:
    """Return the chances by depth and level of damage that was seen closed, some time between two looks.

    Parameters: s; stages (as from the injury); days (E, H) from the injury; p.
    Returns: Slices with arrays (depth, level, E, H).
    Raises: nothing.
    Assumes: the second stage began when the first ended, not when somebody looked.
    Source: interval-censored times (Turnbull 1976); tests/property/test_healing_order.py.
    """
    looked, usable = s.looked_d[:, None], longer(stages[2])
    later = stretched(s, THINNED, days, p["healing_thinned_left_share"])
    total, weight = np.zeros((2, 1, 1, 1)), np.zeros((2, 1, 1, 1))
    for shut in closings(s, stages[0]):
        plain = Stretch(shut[..., None], stages[1].median_d[..., None], stages[1].log_sd[..., None])
        second = outlasted(plain, s.closed[:, None], looked, p)
        likely = np.maximum(running(plain, looked), LEAST)
        total = total + likely * given(running(second, later), running(second, looked))
        weight = weight + likely
    sound = total / weight
    held = np.maximum(np.where(s.tried[:, None], 1.0, 1.0 - running(usable, days)), sound)
    return Slices(np.ones(held.shape), held, sound)


def rung(s: Seen, stage: int, stages: Stages, days: Floats, p: Parameters) -> Slices:
    """Return the chances by depth and level had the look found that stage.

    Parameters: s; stage (index into STAGES, -1 had nobody looked); stages; days; p, as `unclosed`.
    Returns: Slices with arrays (depth, level, E, H).
    Raises: nothing.
    Assumes: of damage that was recorded as far worse than it is, the same eyes say nothing: it can be climbed on
        taped at once. A pull is no eye.
    Source: judgement; tests/property/test_healing_order.py.
    """
    asked = replace(s, stage=np.full(s.stage.shape, stage))
    found = closed(asked, stages, days, p) if stage in (RIMMED, THINNED) else unclosed(asked, stages, days, p)
    by_eye = ~(s.pulled_open & (stage == OPEN))[:, None]
    light = tuple(Stretch(*(v[:, :1] for v in vars(one).values())) for one in stages)
    table = unclosed(replace(s, stage=np.full(s.stage.shape, -1)), (light[0], light[1], light[2]), days, p)
    for values, at_once in ((found.closed, 1.0), (found.usable, 1.0), (found.sound, table.sound[:, 0])):
        values[:, LIGHTER] = np.where(by_eye, at_once, values[:, LIGHTER])
    return found


def fifths_of(
    s: Seen, stage: int, episodes: Episodes, days: Floats, prior: Floats, p: Parameters
) -> Slices:
    """Return the chances by fifth of healing pace had the look found that stage.

    Parameters: s; stage (index into STAGES, -1 had nobody looked); episodes; days (E, H) from the injury; prior
        (levels, E or 1), as `pace_weights`; p.
    Returns: Slices, (PACES, E, H).
    Raises: nothing.
    Assumes: pace is one for an athlete; its prior is log-normal.
    Source: judgement; tests/property/test_healing_order.py.
    """
    factors = levels(p)[0]
    stages = stretches(episodes, factors, p)
    deep = deep_share(episodes, p)
    asked = replace(s, stage=np.full(s.stage.shape, stage))
    told = evidence(asked, stages[0], stages[1], prior)
    weight = np.stack([1.0 - deep, deep])[:, None] * prior * told
    level_weight = weight[0] + weight[1]
    depth = (weight / level_weight)[..., None]
    parts = share_of_fifths(level_weight / ordered_sum(level_weight))
    by_depth = rung(s, stage, stages, days, p)

    def fifths(chance: Floats) -> Floats:
        by_level = depth[0] * chance[0] + depth[1] * chance[1]
        mixed = [ordered_sum(parts[j][:, :, None] * by_level) for j in range(PACES)]
        return np.clip(np.stack(mixed), 0.0, 1.0)

    return Slices(fifths(by_depth.closed), fifths(by_depth.usable), fifths(by_depth.sound))


def slices(
    episodes: Episodes, origin: int, horizon_days: int, p: Parameters, load_slu: Floats | None = None
) -> Slices:
    """Return the chances by fifth of healing pace; what depth and look say of the pace is averaged in.

    Parameters: episodes (E); origin (column); horizon_days (H, >= 1); p; load_slu (E, H), expected load of the
        athlete on each day, None without re-opening.
    Returns: Slices, (PACES, E, H), day 0 the origin.
    Raises: nothing.
    Assumes: a later stage found on the same day never means less, and open never more than no look at all.
    Source: judgement; working ranges are common practice, no source; tests/reference/test_healing_ranges.py,
        tests/property/test_healing_order.py.
    """
    if p["healing_own_history"] > 0.0:
        episodes = with_habit(replace(episodes, noticed=episodes.begun))  # found open again, it begins anew
    s = seen(episodes, origin)
    prior = pace_weights(s, episodes, p)
    days = s.origin_d[:, None] + np.arange(horizon_days)
    found = fifths_of(s, -1, episodes, days, prior, p)
    for stage in (OPEN, CLOSING, RIMMED, THINNED):
        rows = np.flatnonzero((s.stage >= stage) & (s.stage < SOUND))
        if rows.size:
            own = prior if prior.shape[1] == 1 else prior[:, rows]
            told = fifths_of(s.rows(rows), stage, episodes.rows(rows), days[rows], own, p)
            found = found.merged(told, rows, np.minimum if stage == OPEN else np.maximum)
    if load_slu is not None and p["healing_reopens_per_slu"] > 0.0:
        fresh = replace(episodes, reopened=np.ones_like(episodes.reopened))
        anew = fifths_of(unseen(episodes), -1, fresh, days - days[:, :1], prior, p)
        paths = opened_again(vars(found), vars(anew), opening_chance(episodes, load_slu, p))
        found = Slices(**paths)
    sure = (s.stage == SOUND)[:, None]
    return Slices(*(np.where(sure, 1.0, values) for values in vars(found).values()))


def share_of_fifths(weight: Floats) -> Floats:
    """Return what share of each fifth of the posterior pace each prior level fills.

    Parameters: weight (levels, E), summing to one over the first axis, fast to slow.
    Returns: (fifth, level, E), summing to one over levels.
    Raises: nothing.
    Assumes: nothing.
    Source: judgement: keeps the mean over fifths equal to the mean over levels; tests/unit/test_healing.py.
    """
    top = np.stack([ordered_sum(weight[: k + 1]) for k in range(weight.shape[0])])
    bottom = top - weight
    edge = np.arange(PACES + 1) / PACES
    inside = [
        np.clip(np.minimum(top, edge[j + 1]) - np.maximum(bottom, edge[j]), 0.0, None) for j in range(PACES)
    ]
    shares = np.stack(inside)
    return np.asarray(shares / np.maximum(shares.sum(axis=1, keepdims=True), 1e-12))


def healing(
    episodes: Episodes, origin: int, horizon_days: int, p: Parameters, load_slu: Floats | None = None
) -> Healing:
    """Return the course of each episode from the origin.

    Parameters: episodes (E); origin (column); horizon_days (H, >= 1); p; load_slu, as `slices`, of as many days as
        are looked ahead at most.
    Returns: Healing; times beyond 60 days are inf ("not reached").
    Raises: ValueError for a horizon below one day.
    Assumes: as `slices`.
    Source: judgement; working ranges are common practice, no source; tests/reference/test_healing_ranges.py.
    """
    if horizon_days < 1:
        raise ValueError("horizon_days must be at least 1")
    long = slices(episodes, origin, max(horizon_days, LONGEST_D + 1), p, load_slu)
    closed, usable, sound = (ordered_sum(c) / PACES for c in (long.closed, long.usable, long.sound))
    head = slice(0, horizon_days)
    return Healing(
        closed[:, head],
        usable[:, head],
        sound[:, head],
        days_until(closed),
        days_until(usable),
        days_until(sound),
    )


def days_until(chance: Floats) -> Floats:
    """Return the days at which a growing chance reaches 10, 50, 80 and 90 %, read between whole days.

    Parameters: chance (E, H), 0-1, not falling.
    Returns: (E, 4) d; inf where not reached by day 60, 0 where already reached.
    Raises: nothing.
    Assumes: straight between days.
    Source: judgement; tests/unit/test_healing.py.
    """
    path = chance[:, : LONGEST_D + 1]
    result = np.full((path.shape[0], len(QUANTILES)), np.inf)
    rows = np.arange(path.shape[0])
    for k, level in enumerate(QUANTILES):
        there = path >= level
        first = there.argmax(axis=1)
        before = np.maximum(first - 1, 0)
        low, high = path[rows, before], path[rows, first]
        day = before + np.where(first > 0, (level - low) / np.where(high > low, high - low, 1.0), 0.0)
        result[:, k] = np.where(there.any(axis=1), day, np.inf)
    return result
