"""Days of looks, counted to the day: damage found closed at once, and windows of a single day or none."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy import integrate, stats

from coaching.science.healing_history import between_looks, finished_likely
from coaching.science.healing_looks import seen
from coaching.science.healing_times import stretches
from coaching.science.inputs import KINDS, PLACES, Finished
from coaching.science.versions import CURRENT, get
from tests.courses import ORIGIN, damage

P = get(CURRENT).parameters


def over(after: int, by: int, not_yet: int, sound: int, begun: int = 0) -> Finished:
    """A finished deep split of a pad: last not closed, first closed, last not sound, first sound."""

    def one(day: int) -> np.ndarray:
        return np.array([day], dtype=np.int64)

    return Finished(
        athlete=one(0), kind=one(KINDS.index("split")), place=one(PLACES.index("pad")), deep=np.array([1.0]),
        noticed=one(begun), begun=one(begun), shut_after=one(after), shut_by=one(by), sound_after=one(not_yet),
        sound_by=one(sound), balm_share=np.array([np.nan]), reopened=one(0), closed_d=one(0),
    )  # fmt: skip


def test_damage_found_closed_on_its_first_day_closed_on_that_day() -> None:
    at_once = seen(damage(noticed=ORIGIN - 5, since=ORIGIN - 5, looked=ORIGIN, stage="rimmed"), ORIGIN)
    assert (at_once.after_d[0], at_once.by_d[0], at_once.looked_d[0]) == (0.0, 0.0, 5.0)
    next_day = seen(damage(noticed=ORIGIN - 5, since=ORIGIN - 4, looked=ORIGIN, stage="rimmed"), ORIGIN)
    assert (next_day.after_d[0], next_day.by_d[0]) == (0.0, 1.0)


@pytest.mark.parametrize(("after", "by", "expected"), [(3, 6, (0.0, 3.0)), (3, 3, (0.0, 0.0)), (5, 6, (2.0, 3.0)),
                                                       (1, 9, (0.0, 6.0))])  # fmt: skip
def test_finished_damage_is_counted_from_the_very_day_it_began(
    after: int, by: int, expected: tuple[float, float]
) -> None:
    s = between_looks(over(after, by, by, 20, begun=3))
    assert (s.after_d[0], s.by_d[0], s.looked_d[0]) == (*expected, 17.0)


@pytest.mark.parametrize(("after", "by", "not_yet", "sound"), [(4, 5, 9, 12), (0, 1, 8, 9), (6, 6, 12, 13),
                                                               (3, 4, 4, 20)])  # fmt: skip
def test_looks_a_day_apart_are_as_likely_as_the_two_times_say(after: int, by: int, not_yet: int, sound: int) -> None:
    """General quadrature over two log-normal times; a look at one place takes half a day, the eight points 2 %."""
    finished = over(after, by, not_yet, sound)
    closes, grows, _ = stretches(finished, np.array([1.0]), P)
    first = stats.lognorm(closes.log_sd[1, 0, 0], scale=closes.median_d[1, 0, 0])
    second = stats.lognorm(grows.log_sd[1, 0, 0], scale=grows.median_d[1, 0, 0])

    def both(shut: float) -> float:
        return float(first.pdf(shut) * (second.cdf(sound - shut) - second.cdf(not_yet - shut)))

    until = max(by, after + 0.5)
    expected = integrate.quad(both, after, until)[0]
    # Where both looks fall on one day, the second time begins on that day and not within the half after it.
    slack = 0.05 if by == after else 0.02
    assert finished_likely(finished, np.array([1.0]), P)[0] == pytest.approx(expected, rel=slack)


def test_narrower_windows_add_up_to_a_wider_one() -> None:
    """What closed between days 3 and 6 closed on one of the three: to the two in a hundred of eight points each."""
    days = [finished_likely(over(n, n + 1, 9, 12), np.array([1.0]), P)[0] for n in (3, 4, 5)]
    assert sum(days) == pytest.approx(finished_likely(over(3, 6, 9, 12), np.array([1.0]), P)[0], rel=0.02)


def test_what_began_anew_is_counted_anew() -> None:
    late = replace(over(12, 14, 20, 22), begun=np.array([10]))
    assert finished_likely(late, np.array([1.0]), P)[0] == pytest.approx(
        finished_likely(over(2, 4, 10, 12), np.array([1.0]), P)[0], rel=1e-12
    )
