"""Ranges are held to damage as on its first day, and to what is still watched after a month: planted by NumPy."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from coaching.science.fitting_healing_ranges import SETTLED_D, ranges_that_hold
from coaching.science.healing_times import TIMES
from coaching.science.inputs import KINDS, PLACES, Episodes, Finished
from coaching.science.versions import CURRENT, get
from tests.courses import damage, joined, unhurt

P = get(CURRENT).parameters
ORIGIN, ATHLETES = 150, 100
IDLE = np.zeros(ATHLETES)


@cache
def shallow(count: int = 900) -> Episodes:
    """Finished shallow splits of a pad, of the trade's own times and the version's paces, looked at every day."""
    rng, athlete = np.random.default_rng(11), np.arange(count) % ATHLETES
    row = TIMES[KINDS.index("split"), PLACES.index("pad"), 0]
    pace = np.exp(P["healing_pace_log_sd"] * rng.normal(size=ATHLETES))[athlete]
    begun = rng.integers(0, 80, count)
    shut = pace * P["healing_closes_factor_shallow"] * row[0] * np.exp(row[1] * rng.normal(size=count))
    sound = shut + pace * row[2] * np.exp(row[3] * rng.normal(size=count))
    by = [begun + np.maximum(np.ceil(days), 1).astype(np.int64) for days in (shut, sound)]
    zero = np.zeros(count, dtype=np.int64)
    over = Finished(
        athlete=athlete, kind=zero + KINDS.index("split"), place=zero + PLACES.index("pad"), deep=np.zeros(count),
        noticed=begun, begun=begun, shut_after=by[0] - 1, shut_by=by[0], sound_after=by[1] - 1, sound_by=by[1],
        balm_share=np.full(count, np.nan), reopened=zero, closed_d=zero,
    )  # fmt: skip
    return replace(unhurt(), finished=over)


def still_open(noticed: int, count: int = 120) -> Episodes:
    ones = [damage("split", "pad", deep=0.0, noticed=noticed, looked=ORIGIN, stage="open") for _ in range(count)]
    return replace(joined(*ones), athlete=np.arange(count) % ATHLETES, finished=shallow().finished)


def test_times_of_the_trade_are_left_where_they_are() -> None:
    """The first day is the day it was noticed, and nothing has opened again: the middle moves by under 4 %.

    900 times of log sd .45: their median has a sampling sd of 2 %, and depth recorded wrong moves it by 2 % more.
    """
    assert ranges_that_hold(shallow(), ORIGIN, IDLE, P)["healing_time_factor"] == pytest.approx(1.0, abs=0.06)


def test_damage_still_open_after_a_month_lengthens_times_and_fresh_damage_does_not() -> None:
    """To leave it out would keep what heals soonest; to take in what is fresh would, too."""
    alone = ranges_that_hold(shallow(), ORIGIN, IDLE, P)
    old = ranges_that_hold(still_open(ORIGIN - SETTLED_D - 4), ORIGIN, IDLE, P)
    assert old["healing_time_factor"] > alone["healing_time_factor"] * 1.02
    assert ranges_that_hold(still_open(ORIGIN - SETTLED_D + 4), ORIGIN, IDLE, P) == alone
