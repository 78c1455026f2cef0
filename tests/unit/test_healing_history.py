"""An athlete's finished and other damage tells their pace: against drawn times, and in the right direction."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from coaching.science.healing import healing
from coaching.science.healing_history import (
    between_looks,
    finished_likely,
    pace_weights,
    told_by_finished,
    told_by_watched,
    with_habit,
)
from coaching.science.healing_looks import seen
from coaching.science.healing_times import PACES, levels, stretches
from coaching.science.inputs import KINDS, PLACES, Episodes, Finished, none_finished
from coaching.science.versions import CURRENT, get
from tests.courses import ORIGIN, damage, joined

P = get(CURRENT).parameters


def over(*days: tuple[int, int, int, int], deep: float = 1.0, athlete: int = 0, balm: float = np.nan) -> Finished:
    """Finished deep splits of a pad: last not closed, first closed, last not sound, first sound, from the first day."""
    n = len(days)
    after, by, not_yet, sound = (np.array(column) for column in zip(*days, strict=True))
    zero = np.zeros(n, dtype=np.int64)
    return Finished(
        athlete=zero + athlete, kind=zero + KINDS.index("split"), place=zero + PLACES.index("pad"),
        deep=np.full(n, deep), noticed=zero, begun=zero, shut_after=after, shut_by=by, sound_after=not_yet,
        sound_by=sound, balm_share=np.full(n, balm), reopened=zero, closed_d=zero,
    )  # fmt: skip


QUICK, SLOW = (1, 2, 5, 6), (9, 11, 24, 27)


def fresh(finished: Finished, **said: Any) -> Episodes:
    return replace(damage("split", "pad", deep=1.0, **said), finished=finished)


def test_how_likely_looks_are_against_drawn_times() -> None:
    """Two log-normal stages drawn 400 000 times: a share of .05 has a sampling sd of .0004; the eight points between
    looks are worth another .003.
    """
    looks = [(2, 5, 9, 14), (0, 3, 6, 9), (4, 6, 12, 13)]
    finished = over(*looks)
    closes, grows, _ = stretches(finished, np.array([1.0]), P)
    got = finished_likely(finished, np.array([1.0]), P)[0]
    rng = np.random.default_rng(0)
    z = rng.normal(size=(2, 400_000))
    for k, (after, by, not_yet, sound) in enumerate(looks):
        shut = closes.median_d[1, 0, k] * np.exp(closes.log_sd[1, 0, k] * z[0])
        well = shut + grows.median_d[1, 0, k] * np.exp(grows.log_sd[1, 0, k] * z[1])
        share = np.mean((shut > after) & (shut <= by) & (well > not_yet) & (well <= sound))
        assert got[k] == pytest.approx(share, abs=0.005)


def test_quick_and_slow_histories_carry_on() -> None:
    quick, stranger, slow = (healing(fresh(one), ORIGIN, 61, P) for one in (over(QUICK), none_finished(), over(SLOW)))
    days = [one.sound_days[0, 1] for one in (quick, stranger, slow)]
    assert days[0] < days[1] - 0.5 and days[2] > days[1] + 0.5
    more = healing(fresh(over(SLOW, SLOW, SLOW)), ORIGIN, 61, P)
    assert more.sound_days[0, 1] > days[2]


def test_a_history_is_its_athletes_alone_and_no_matter_to_older_versions() -> None:
    two = replace(joined(fresh(over(SLOW)), fresh(none_finished())), athlete=np.array([0, 1]))
    got = healing(two, ORIGIN, 61, P)
    assert got.sound_days[1] == pytest.approx(healing(fresh(none_finished()), ORIGIN, 61, P).sound_days[0])
    old = get("2026.3").parameters
    assert np.array_equal(healing(two, ORIGIN, 61, old).p_sound[0], healing(two, ORIGIN, 61, old).p_sound[1])


def test_other_damage_that_lasts_slows_what_is_fresh_and_its_own_look_counts_once() -> None:
    lasting = damage("split", "pad", deep=1.0, noticed=ORIGIN - 25, looked=ORIGIN, stage="open")
    both = joined(fresh(none_finished()), lasting)
    alone = fresh(none_finished())
    assert healing(both, ORIGIN, 61, P).sound_days[0, 1] > healing(alone, ORIGIN, 61, P).sound_days[0, 1] + 0.1
    s = seen(lasting, ORIGIN)
    assert pace_weights(s, lasting, P) == pytest.approx(levels(P)[1])
    assert told_by_watched(s, lasting, P)[0, 0] < told_by_watched(s, lasting, P)[-1, 0]


def test_weights_are_shares_and_bounded_by_what_is_misread() -> None:
    one = fresh(over(SLOW, SLOW, SLOW, SLOW))
    weight = pace_weights(seen(one, ORIGIN), one, P)
    assert weight.sum() == pytest.approx(1.0) and weight[0, 0] == weight[-1, 0] == P["healing_misread_share"]
    assert np.all(np.diff(told_by_finished(over(SLOW), P)[:, 0]) > 0) and weight.shape == (PACES + 2, 1)


def test_habit_fills_in_for_nights_that_nobody_told_of() -> None:
    finished = over(QUICK, QUICK, balm=0.2)
    finished = replace(finished, balm_share=np.array([0.2, np.nan]))
    told = joined(replace(damage(), finished=finished), damage(balm_share=0.9))
    assert with_habit(told).balm_share == pytest.approx([0.2, 0.9])
    assert np.isnan(with_habit(damage()).balm_share[0])


def test_what_was_found_open_again_begins_anew() -> None:
    again = damage("split", "pad", deep=1.0, noticed=ORIGIN - 20, looked=ORIGIN, stage="open", begun=ORIGIN,
                   reopened=1, before=ORIGIN, since=ORIGIN)  # fmt: skip
    first = damage("split", "pad", deep=1.0, noticed=ORIGIN, looked=ORIGIN, stage="open")
    assert healing(again, ORIGIN, 61, P).sound_days == pytest.approx(healing(first, ORIGIN, 61, P).sound_days)


def test_looks_at_finished_damage_are_counted_from_its_beginning() -> None:
    s = between_looks(replace(over(SLOW), begun=np.array([4])))
    assert (s.after_d[0], s.by_d[0], s.looked_d[0]) == (5.0, 7.0, 23.0) and s.stage[0] == -1
    assert none_finished().athlete.shape == (0,)
