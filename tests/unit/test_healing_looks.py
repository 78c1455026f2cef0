"""What looks say of the times of damage, written out with a general law (scipy.stats), one episode at a time."""

import numpy as np
import pytest
from scipy import stats

from coaching.science.healing import healing
from coaching.science.healing_history import finished_likely, told_by_watched
from coaching.science.healing_looks import (
    LEAST,
    LEVELS,
    POINTS,
    RIMMED,
    Seen,
    closings,
    evidence,
    outlasted,
    running,
    seen,
)
from coaching.science.healing_times import Stretch, deep_share, levels, stretches
from coaching.science.inputs import KINDS, PLACES, STAGES, Finished
from coaching.science.quantities import defaults
from tests.courses import ORIGIN, damage

P = defaults()
OPEN, NOBODY = STAGES.index("open"), -1


def stretch(from_d: float, medians: np.ndarray, log_sd: float) -> Stretch:
    median_d = np.array([1.0, 1.6])[:, None, None] * medians[None, :, None]
    return Stretch(np.full(median_d.shape, from_d), median_d, np.full(median_d.shape, log_sd))


def look(stage: int, after_d: float, by_d: float, looked_d: float) -> Seen:
    def one(value: float) -> np.ndarray:
        return np.array([value])

    no = np.array([False])
    return Seen(np.array([stage]), no, no, one(looked_d), one(after_d), one(by_d), one(looked_d))


@pytest.mark.parametrize("after_d", [0.0, 1.9, 2.0, 2.3, 2.9, 3.5, 30.0])
def test_chance_that_a_stretch_still_runs(after_d: float) -> None:
    """It begins on day 2; within its first day as well as later."""
    time = stretch(2.0, np.full(LEVELS, 5.0), 0.4)
    law = stats.lognorm(0.4, loc=2.0, scale=5.0)
    assert running(time, np.array([after_d]))[0, 0, 0] == pytest.approx(law.sf(after_d))


def test_a_stage_that_has_outlasted_its_table_begins_anew() -> None:
    """So many medians after its own beginning, not after the injury."""
    time, factor = stretch(4.0, np.full(LEVELS, 5.0), 0.4), P["healing_outlasted_factor"]
    for looked_d, runs, late in ((4.0 + 5.0 * factor - 0.1, True, False), (4.0 + 5.0 * factor + 0.1, True, True),
                                 (4.0 + 5.0 * factor + 0.1, False, False)):  # fmt: skip
        got = outlasted(time, np.array([runs]), np.array([looked_d]), P)
        first = [part[0, 0, 0] for part in (got.from_d, got.median_d, got.log_sd)]
        anew = [looked_d, P["healing_outlasted_left_share"] * 5.0, P["healing_outlasted_log_sd"]]
        assert first == pytest.approx(anew if late else [4.0, 5.0, 0.4])


def test_between_looks_where_the_table_has_no_room_any_day_will_do() -> None:
    found = closings(look(RIMMED, 3.0, 7.0, 8.0), stretch(0.0, np.full(LEVELS, 200.0), 0.1))
    assert [f[0, 0, 0] for f in found] == pytest.approx([3.0 + 4.0 * (k + 0.5) / POINTS for k in range(POINTS)])


@pytest.mark.parametrize("stage", [OPEN, RIMMED, NOBODY])
def test_how_likely_a_look_is_by_depth_and_level(stage: int) -> None:
    """Open: it still runs. Closed: it ended between both looks, half a day for the look itself, and what grows after
    that still runs. Nobody: says nothing. The first level is for what was told as far worse than it is: the mean of the
    others, so that the look says nothing of it.
    """
    medians, prior = np.linspace(4.0, 9.0, LEVELS), np.linspace(1.0, 2.0, LEVELS)
    prior = (prior / prior.sum())[:, None]
    closes, grows, seen = stretch(0.0, medians, 0.35), stretch(0.0, 2 * medians, 0.3), look(stage, 4.0, 6.0, 9.0)
    got = evidence(seen, closes, grows, prior)[:, :, 0]
    for depth in (0, 1):
        told = []
        for level, median in enumerate(medians * (1.0, 1.6)[depth]):
            law = stats.lognorm(0.35, scale=median)
            ended = [law.isf(law.sf(4.0) + (law.sf(6.0) - law.sf(4.0)) * (k + 0.5) / POINTS) for k in range(POINTS)]
            grown = stats.lognorm(0.3, scale=2 * medians[level] * (1.0, 1.6)[depth])
            lasts = np.mean([grown.sf(9.0 - day) for day in ended])
            told.append({OPEN: law.sf(9.0), RIMMED: (law.sf(4.0) - law.sf(6.5)) * lasts, NOBODY: 1.0}[stage])
        told = np.maximum(told, LEAST)
        rest = (prior[1:, 0] * told[1:]).sum() / (1.0 - prior[0, 0])
        assert got[depth] == pytest.approx([rest, *told[1:]], rel=1e-7)


@pytest.mark.parametrize("deep", [0.0, 1.0, np.nan])
def test_watched_damage_tells_the_pace_through_both_depths_and_all_that_may_be_misread(deep: float) -> None:
    """Bayes' rule: each depth by its share; the first and last level, recorded as far worse or better than it was, say
    the same of every pace.
    """
    some = damage(deep=deep, noticed=ORIGIN - 9, looked=ORIGIN - 1, stage="closing")
    s, (factors, prior), share = seen(some, ORIGIN), levels(P), float(np.ravel(deep_share(some, P))[0])
    closes, grows, _ = stretches(some, factors, P)
    both = evidence(s, closes, grows, prior)[:, :, 0]
    level = [(1 - share) * shallow + share * deeper for shallow, deeper in both.T]
    weight = prior[:, 0]
    aside = weight[0] * level[0] + weight[-1] * level[-1]
    expected = [np.log((1 - weight[0] - weight[-1]) * one + aside) for one in level[1:-1]]
    assert told_by_watched(s, some, P)[:, 0] == pytest.approx(expected, rel=1e-9)


def test_finished_damage_of_unknown_depth_lies_between_shallow_and_deep() -> None:
    """By the shares in which each is deep: likelihoods of a mixture are a straight line of its share."""
    day = np.array([[2], [4], [9], [12]] * np.ones(3, dtype=np.int64))
    zero, depth = np.zeros(3, dtype=np.int64), np.array([0.0, 1.0, np.nan])
    over = Finished(
        athlete=zero, kind=zero + KINDS.index("split"), place=zero + PLACES.index("pad"), deep=depth, noticed=zero,
        begun=zero, shut_after=day[0], shut_by=day[1], sound_after=day[2], sound_by=day[3],
        balm_share=depth * np.nan, reopened=zero, closed_d=zero,
    )  # fmt: skip
    share, likely = np.ravel(deep_share(over, P)), finished_likely(over, np.array([0.9, 1.2]), P)
    assert share[0] < share[2] < share[1]
    part = (share[2] - share[0]) / (share[1] - share[0])
    assert likely[:, 2] == pytest.approx(likely[:, 0] + part * (likely[:, 1] - likely[:, 0]), rel=1e-9)
    assert np.all(likely > 0) and np.all(likely < 1)


def test_a_horizon_of_one_day_is_today_and_none_is_refused() -> None:
    assert healing(damage(), ORIGIN, 1, P).p_sound.shape == (1, 1)
    with pytest.raises(ValueError, match="horizon"):
        healing(damage(), ORIGIN, 0, P)
