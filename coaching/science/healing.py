"""Healing of damage in two stages, given what was last seen and since when; usable taped is apart.

Re-opening under load is not in this version: a look that finds it open again starts the first stage anew.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from coaching.science.filtering import ordered_sum
from coaching.science.healing_looks import Seen, evidence, rebased, running, seen
from coaching.science.healing_times import Stretch, deep_share, pace_factors, stretches
from coaching.science.inputs import Episodes, Floats
from coaching.science.normal import quantile
from coaching.science.outputs import Healing
from coaching.science.quantities import Parameters

PACES = 5
POINTS = 16
LONGEST_D = 60
QUANTILES = (0.1, 0.5, 0.8, 0.9)


@dataclass(frozen=True)
class Slices:
    """Chances by fifth of the athlete's own healing pace, fast to slow, (PACES, E, H)."""

    closed: Floats
    usable: Floats
    sound: Floats


def longer(stretch: Stretch) -> Stretch:
    """Return a stretch with a last axis for days.

    Parameters: stretch (depth, pace, E).
    Returns: Stretch, (depth, pace, E, 1).
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
    return np.clip(1.0 - still / np.maximum(at_look, 1e-200), 0.0, 1.0)


def chances(s: Seen, stages: tuple[Stretch, Stretch, Stretch], days: Floats) -> Slices:
    """Return the chances by depth and pace.

    Parameters: s; stages (first, second as rebased; usable from the injury); days (E, H) from the injury.
    Returns: Slices with arrays (depth, pace, E, H).
    Raises: nothing.
    Assumes: usable taped and closing go together (the slower of both, comonotone).
    Source: judgement; tests/unit/test_healing.py.
    """
    first, second, usable = (longer(stage) for stage in stages)
    looked, shut, sure = s.looked_d[:, None], s.closed[:, None], s.sound[:, None]
    at_look = np.where((s.open | s.closing)[:, None], running(first, looked), 1.0)
    raw, untaped = running(first, days), running(usable, days)
    closed = np.where(shut, 1.0, given(raw, at_look))
    own_clock = (first.from_d == 0.0) & ~shut  # closing still counts from the injury, as usable does
    held = np.where(own_clock, given(np.maximum(raw, untaped), at_look), np.minimum(closed, 1.0 - untaped))
    sound = np.where(
        shut, given(running(second, days), running(second, looked)), summed(first, second, at_look, days)
    )
    closed, held, sound = (np.where(sure, 1.0, c) for c in (closed, held, sound))
    held = np.maximum(held, sound)
    return Slices(np.maximum(closed, held), held, sound)


def from_look(s: Seen, stages: tuple[Stretch, Stretch, Stretch], days: Floats, p: Parameters) -> Slices:
    """Return the chances by depth and pace, found closing never further off than found open on the same day.

    Parameters: s; stages (closes, grows, usable as from the injury); days (E, H) from the injury; p.
    Returns: Slices with arrays (depth, pace, E, H).
    Raises: nothing.
    Assumes: knitting is a step forward.
    Source: judgement; tests/unit/test_healing.py.
    """
    closes, grows, usable = stages
    told = chances(s, (*rebased(s, closes, grows, p), usable), days)
    if not s.closing.any():
        return told
    as_open = replace(s, open=s.open | s.closing, closing=np.zeros_like(s.closing))
    least = chances(as_open, (*rebased(as_open, closes, grows, p), usable), days)
    return Slices(*(np.maximum(a, b) for a, b in zip(vars(told).values(), vars(least).values(), strict=True)))


def summed(first: Stretch, second: Stretch, at_look: Floats, days: Floats) -> Floats:
    """Return the chance that both stages are over, the first given that it ran at the last look.

    Parameters: first, second, at_look (depth, pace, E, 1); days (E, H).
    Returns: (depth, pace, E, H), 0-1.
    Raises: nothing.
    Assumes: the stages are independent given depth and pace.
    Source: judgement; sixteen equally likely lengths of the first stage;
        tests/reference/test_healing_ranges.py.
    """
    total = np.zeros(np.broadcast_shapes(first.median_d.shape, days.shape))
    for k in range(POINTS):
        still = np.maximum(at_look, 1e-200) * (1.0 - (k + 0.5) / POINTS)
        shut = first.from_d + first.median_d * np.exp(-first.log_sd * quantile(still))
        total = total + (1.0 - running(Stretch(shut, second.median_d, second.log_sd), days))
    return total / POINTS


def slices(episodes: Episodes, origin: int, horizon_days: int, p: Parameters) -> Slices:
    """Return the chances by fifth of healing pace, depth and what the look says of the pace averaged in.

    Parameters: episodes (E); origin (column); horizon_days (H, >= 1); p.
    Returns: Slices, (PACES, E, H), day 0 the origin.
    Raises: nothing.
    Assumes: pace is one for an athlete; its prior is log-normal.
    Source: judgement; working ranges are common practice, no source; tests/reference/test_healing_ranges.py.
    """
    s = seen(episodes, origin)
    closes, grows, usable = stretches(episodes, pace_factors(PACES, p), p)
    deep = deep_share(episodes, p)
    weight = np.stack([1.0 - deep, deep])[:, None] * evidence(s, closes, grows)
    days = s.origin_d[:, None] + np.arange(horizon_days)
    by_depth = from_look(s, (closes, grows, usable), days, p)
    pace_weight = weight[0] + weight[1]
    depth = (weight / pace_weight)[..., None]
    parts = share_of_fifths(pace_weight / ordered_sum(pace_weight))

    def fifths(chance: Floats) -> Floats:
        by_pace = depth[0] * chance[0] + depth[1] * chance[1]
        mixed = [ordered_sum(parts[j][:, :, None] * by_pace) for j in range(PACES)]
        return np.clip(np.stack(mixed), 0.0, 1.0)

    return Slices(fifths(by_depth.closed), fifths(by_depth.usable), fifths(by_depth.sound))


def share_of_fifths(weight: Floats) -> Floats:
    """Return what share of each fifth of the posterior pace each prior level fills.

    Parameters: weight (PACES, E), summing to one over the first axis, fast to slow.
    Returns: (fifth, level, E), summing to one over levels.
    Raises: nothing.
    Assumes: nothing.
    Source: judgement: keeps the mean over fifths equal to the mean over levels; tests/unit/test_healing.py.
    """
    top = np.stack([ordered_sum(weight[: k + 1]) for k in range(PACES)])
    bottom = top - weight
    edge = np.arange(PACES + 1) / PACES
    inside = [
        np.clip(np.minimum(top, edge[j + 1]) - np.maximum(bottom, edge[j]), 0.0, None) for j in range(PACES)
    ]
    shares = np.stack(inside)
    return np.asarray(shares / np.maximum(shares.sum(axis=1, keepdims=True), 1e-12))


def healing(episodes: Episodes, origin: int, horizon_days: int, p: Parameters) -> Healing:
    """Return the course of each episode from the origin.

    Parameters: episodes (E); origin (column); horizon_days (H, >= 1); p.
    Returns: Healing; times beyond 60 days are inf ("not reached").
    Raises: ValueError for a horizon below one day.
    Assumes: as `slices`.
    Source: judgement; working ranges are common practice, no source; tests/reference/test_healing_ranges.py.
    """
    if horizon_days < 1:
        raise ValueError("horizon_days must be at least 1")
    long = slices(episodes, origin, max(horizon_days, LONGEST_D + 1), p)
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
