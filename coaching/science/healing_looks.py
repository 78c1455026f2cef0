"""What a look says of damage: which stage runs, counted from when, and how likely each depth and pace is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science.healing_times import Stretch
from coaching.science.inputs import STAGES, Bools, Episodes, Floats
from coaching.science.normal import cdf
from coaching.science.quantities import Parameters

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
    """Return the stage begun anew at the last look where it has outlasted its table.

    Parameters: stage (depth, pace, E); runs (E,), the stage ran at the look; s; p.
    Returns: Stretch.
    Raises: nothing.
    Assumes: a log-normal with a thin tail would promise a late wound an early end.
    Source: judgement; tests/unit/test_healing.py.
    """
    late = runs & (s.looked_d - stage.from_d > p["healing_outlasted_factor"] * stage.median_d)
    return Stretch(
        np.where(late, s.looked_d, stage.from_d),
        np.where(late, p["healing_outlasted_left_share"] * stage.median_d, stage.median_d),
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
