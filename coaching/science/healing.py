"""Healing of damage in two stages, given what was last seen and since when; usable taped is a time of its
own.

Re-opening under load is not in this version: a look that finds it open again starts the first stage anew.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science.filtering import ordered_sum
from coaching.science.healing_times import Stretch, deep_share, pace_factors, stretches
from coaching.science.inputs import STAGES, Bools, Episodes, Floats
from coaching.science.normal import cdf, quantile
from coaching.science.outputs import Healing
from coaching.science.quantities import Parameters

PACES = 5
POINTS = 16
LONGEST_D = 60
QUANTILES = (0.1, 0.5, 0.8, 0.9)
OPEN, CLOSING, RIMMED, THINNED, SOUND = range(len(STAGES))


@dataclass(frozen=True)
class Seen:
    """What the last look says, (E,): which stage may still run, and days from the injury to look, stage and
    origin.
    """

    open: Bools  # it opens, or was open
    closing: Bools  # knitting, nobody pulled on it
    closed: Bools  # closed, not yet sound
    sound: Bools
    thinned: Bools
    looked_d: Floats
    since_d: Floats
    origin_d: Floats


@dataclass(frozen=True)
class Slices:
    """Chances by fifth of the athlete's own healing pace, fast to slow, (PACES, E, H)."""

    closed: Floats
    usable: Floats
    sound: Floats


def seen(episodes: Episodes, origin: int) -> Seen:
    """Return what is known of each episode on the origin.

    Parameters: episodes; origin (column).
    Returns: Seen.
    Raises: nothing.
    Assumes: a pull outranks the eye: what opens on a pull is open; what is knitting and does not open is
        closed.
    Source: judgement; tests/unit/test_healing.py.
    """
    pulled_open, pulled_shut = episodes.opens == 1, episodes.opens == 0
    stage = episodes.stage
    knitting = (stage == CLOSING) & ~pulled_open
    closed = ((stage == RIMMED) | (stage == THINNED) | (knitting & pulled_shut)) & ~pulled_open
    looked = np.maximum(np.minimum(episodes.looked, origin) - episodes.noticed, 0).astype(np.float64)
    since = np.clip(episodes.stage_since - episodes.noticed, 0, None).astype(np.float64)
    return Seen(
        open=pulled_open | (stage == OPEN),
        closing=knitting & ~pulled_shut,
        closed=closed,
        sound=(stage == SOUND) & ~pulled_open,
        thinned=(stage == THINNED) & ~pulled_open,
        looked_d=looked,
        since_d=np.minimum(since, looked),
        origin_d=(origin - episodes.noticed).astype(np.float64),
    )


def running(stretch: Stretch, after_d: Floats) -> Floats:
    """Return the chance that a stretch still runs at a time after the injury.

    Parameters: stretch (depth, pace, E); after_d (broadcastable, d).
    Returns: 0-1, broadcast shape.
    Raises: nothing.
    Assumes: log-normal times.
    Source: judgement (two log-normal stages); tests/reference/test_healing_ranges.py.
    """
    gone = after_d - stretch.from_d
    z = np.log(np.where(gone > 0, gone, 1.0) / stretch.median_d) / stretch.log_sd
    return np.where(gone > 0, cdf(-z), 1.0)


def longer(stretch: Stretch) -> Stretch:
    """Return a stretch with a last axis for days."""
    return Stretch(stretch.from_d[..., None], stretch.median_d[..., None], stretch.log_sd[..., None])


def rebased(s: Seen, closes: Stretch, grows: Stretch, p: Parameters) -> tuple[Stretch, Stretch]:
    """Return both stages counted from the look that found the present stage, or found it running far too
    long.

    Parameters: s; closes, grows (depth, pace, E); p.
    Returns: the two stages.
    Raises: nothing.
    Assumes: found closing, about half of the first stage is left; found thinned, a little over half of the
        second;
        a stage that outlasts its table by far is no longer told by it: half a stage is left, widely spread.
    Source: judgement; tests/unit/test_healing.py.
    """
    left = np.where(s.closing, p["healing_closing_left_share"], 1.0)
    first = Stretch(np.where(s.closing, s.since_d, closes.from_d), closes.median_d * left, closes.log_sd)
    rest = np.where(s.thinned, p["healing_thinned_left_share"], 1.0)
    second = Stretch(np.where(s.closed, s.since_d, grows.from_d), grows.median_d * rest, grows.log_sd)
    return outlasted(first, s.open | s.closing, s, p), outlasted(second, s.closed, s, p)


def outlasted(stage: Stretch, runs: Bools, s: Seen, p: Parameters) -> Stretch:
    """Return the stage begun anew at the last look where it has outlasted its table."""
    late = runs & (s.looked_d - stage.from_d > p["healing_outlasted_factor"] * stage.median_d)
    return Stretch(
        np.where(late, s.looked_d, stage.from_d),
        np.where(late, p["healing_closing_left_share"] * stage.median_d, stage.median_d),
        np.where(late, p["healing_outlasted_log_sd"], stage.log_sd),
    )


def evidence(s: Seen, closes: Stretch, grows: Stretch) -> Floats:
    """Return how likely the last look is for each depth and pace.

    Parameters: s; closes, grows (depth, pace, E; as from the injury).
    Returns: (depth, pace, E), relative.
    Raises: nothing.
    Assumes: a look that found it sound says nothing more.
    Source: Bayes' rule; tests/property/test_healing_order.py.
    """
    still = running(closes, s.looked_d)
    second = Stretch(s.since_d + grows.from_d, grows.median_d, grows.log_sd)
    shut = (1.0 - running(closes, s.since_d + 0.5)) * running(second, s.looked_d)
    told = np.where(s.open | s.closing, still, np.where(s.closed, shut, 1.0))
    return np.maximum(told, 1e-200)


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
    Raises: ValueError for a horizon below one day.
    Assumes: pace is one for an athlete; its prior is log-normal.
    Source: judgement; working ranges are common practice, no source; tests/reference/test_healing_ranges.py.
    """
    if horizon_days < 1:
        raise ValueError("horizon_days must be at least 1")
    s = seen(episodes, origin)
    closes, grows, usable = stretches(episodes, pace_factors(PACES, p), p)
    first, second = rebased(s, closes, grows, p)
    deep = deep_share(episodes, p)
    weight = np.stack([1.0 - deep, deep])[:, None] * evidence(s, closes, grows)
    days = s.origin_d[:, None] + np.arange(horizon_days)
    by_depth = chances(s, (first, second, usable), days)
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
