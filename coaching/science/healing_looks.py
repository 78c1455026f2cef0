"""What a look says of damage: which stage it found, between which looks it closed, and how likely each depth and
pace is.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from coaching.science.filtering import ordered_sum
from coaching.science.healing_times import LEVELS, Stretch
from coaching.science.inputs import STAGES, Bools, Episodes, Floats, Ints
from coaching.science.normal import cdf, quantile
from coaching.science.quantities import Parameters

OPEN, CLOSING, RIMMED, THINNED, SOUND = range(len(STAGES))
POINTS = 8
LEAST = 1e-200


@dataclass(frozen=True)
class Seen:
    """What the last look says, (E,): the stage it found, and days from the injury to looks and origin."""

    stage: Ints  # index into STAGES once the pull has had its say, -1 nobody looked
    pulled_open: Bools
    tried: Bools  # a taped try went well
    looked_d: Floats
    after_d: Floats  # last look that found it not closed
    by_d: Floats  # first look that found it closed
    origin_d: Floats

    @property
    def unclosed(self) -> Bools:
        return np.isin(self.stage, (OPEN, CLOSING))

    @property
    def closed(self) -> Bools:
        return np.isin(self.stage, (RIMMED, THINNED))

    def rows(self, rows: Ints) -> Seen:
        """The same for some episodes."""
        return Seen(**{one.name: getattr(self, one.name)[rows] for one in fields(self)})


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
    stage = np.where((episodes.stage == CLOSING) & pulled_shut, RIMMED, episodes.stage)
    looked = np.maximum(np.minimum(episodes.looked, origin) - episodes.noticed, 0).astype(np.float64)
    by = np.clip(episodes.shut_by - episodes.noticed, 0, looked).astype(np.float64)
    return Seen(
        stage=np.where(pulled_open, OPEN, stage),
        pulled_open=pulled_open,
        tried=episodes.tried & ~pulled_open,
        looked_d=looked,
        after_d=np.clip(episodes.shut_after - episodes.noticed, 0, by).astype(np.float64),
        by_d=by,
        origin_d=(origin - episodes.noticed).astype(np.float64),
    )


def running(stretch: Stretch, after_d: Floats) -> Floats:
    """Return the chance that a stretch still runs at a time after the injury.

    Parameters: stretch (depth, level, E); after_d (broadcastable, d).
    Returns: 0-1, broadcast shape.
    Raises: nothing.
    Assumes: log-normal times.
    Source: judgement (two log-normal stages); tests/reference/test_healing_ranges.py.
    """
    gone = after_d - stretch.from_d
    z = np.log(np.where(gone > 0, gone, 1.0) / stretch.median_d) / stretch.log_sd
    return np.where(gone > 0, cdf(-z), 1.0)


def outlasted(stage: Stretch, runs: Bools, looked_d: Floats, p: Parameters) -> Stretch:
    """Return the stage begun anew at the last look where it has outlasted its table.

    Parameters: stage (depth, level, E); runs (E,), the stage ran at the look; looked_d (E,); p.
    Returns: Stretch.
    Raises: nothing.
    Assumes: a log-normal with a thin tail would promise a late wound an early end.
    Source: judgement; tests/unit/test_healing.py.
    """
    late = runs & (looked_d - stage.from_d > p["healing_outlasted_factor"] * stage.median_d)
    return Stretch(
        np.where(late, looked_d, stage.from_d),
        np.where(late, p["healing_outlasted_left_share"] * stage.median_d, stage.median_d),
        np.where(late, p["healing_outlasted_log_sd"], stage.log_sd),
    )


def closings(s: Seen, closes: Stretch) -> list[Floats]:
    """Return equally likely days from the injury on which damage that was found closed had closed.

    Parameters: s; closes (depth, level, E), as from the injury.
    Returns: POINTS arrays (depth, level, E), between the last look that found it open and the first that did not.
    Raises: nothing.
    Assumes: where the table has hardly any room between both looks, any time between them.
    Source: interval-censored times (Turnbull 1976); tests/property/test_healing_order.py.
    """
    early, late = running(closes, s.after_d), running(closes, s.by_d)
    found = []
    for k in range(POINTS):
        part = (k + 0.5) / POINTS
        still = np.clip(early + (late - early) * part, LEAST, 1.0 - 1e-16)
        by_table = closes.median_d * np.exp(-closes.log_sd * quantile(still))
        between = s.after_d + (s.by_d - s.after_d) * part
        found.append(np.clip(np.where(early - late > 1e-9, by_table, between), s.after_d, s.by_d))
    return found


def evidence(s: Seen, closes: Stretch, grows: Stretch, prior: Floats) -> Floats:
    """Return how likely the last look is for each depth and level.

    Parameters: s; closes, grows (depth, level, E; as from the injury); prior (LEVELS, E or 1).
    Returns: (depth, level, E), relative.
    Raises: nothing.
    Assumes: a look that found it sound says nothing more; of damage that was recorded as far worse than it is, the
        same eyes say nothing at all.
    Source: Bayes' rule; tests/property/test_healing_order.py.
    """
    still = running(closes, s.looked_d)
    lasting = [running(Stretch(at, grows.median_d, grows.log_sd), s.looked_d) for at in closings(s, closes)]
    between = running(closes, s.after_d) - running(closes, s.by_d + 0.5)
    shut = between * ordered_sum(np.stack(lasting)) / POINTS
    told = np.maximum(np.where(s.unclosed, still, np.where(s.closed, shut, 1.0)), LEAST)
    rest = ordered_sum(np.stack([prior[k] * told[:, k] for k in range(1, LEVELS)])) / (1.0 - prior[0])
    return np.concatenate([rest[:, None], told[:, 1:]], axis=1)
