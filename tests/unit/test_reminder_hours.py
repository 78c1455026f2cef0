"""Hours of reminders through nights on which the clock changes, over borders of zones and into quiet hours.

Changes of the clock as the zone database has them: Vienna 28 March 2027, 02:00 to 03:00, and 31 October 2027, 03:00 to
02:00; Lord Howe by half an hour; Apia left out 30 December 2011.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.usecases.reminding import hours

VIENNA = "Europe/Vienna"


def utc(*parts: int) -> datetime:
    return datetime(*parts, tzinfo=UTC)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("day", "minute", "expected"),
    [
        (date(2027, 3, 27), 150, utc(2027, 3, 27, 1, 30)),
        (date(2027, 3, 28), 150, utc(2027, 3, 28, 1, 30)),  # 02:30 is not shown; it is 03:30 then
        (date(2027, 3, 28), 435, utc(2027, 3, 28, 5, 15)),
        (date(2027, 10, 31), 150, utc(2027, 10, 31, 0, 30)),  # 02:30 is shown twice; the first time
        (date(2027, 10, 31), 435, utc(2027, 10, 31, 6, 15)),
    ],
)
def test_a_minute_of_a_day_on_which_the_clock_changes(day: date, minute: int, expected: datetime) -> None:
    assert hours.instant(day, minute, VIENNA) == expected


@pytest.mark.parametrize("zone", [VIENNA, "America/Santiago", "Australia/Lord_Howe", "Asia/Kathmandu", "Pacific/Apia"])
@pytest.mark.parametrize("minute", [0, 30, 150, 435, 1439])
def test_each_local_day_of_a_year_comes_once_and_none_twice(zone: str, minute: int) -> None:
    now, after, days = utc(2027, 1, 1), None, []
    for _ in range(366):
        after, now = hours.next_due(minute, zone, now, after)
        days.append(after)
        there = now.astimezone(ZoneInfo(zone))
        assert there.date() == after or (there.hour, there.minute) < (4, 0), "it slipped to another day"
    assert days == [days[0] + timedelta(days=n) for n in range(366)]


@given(st.datetimes(datetime(2026, 1, 1), datetime(2028, 1, 1)), st.integers(0, 1439))
def test_it_is_always_still_to_come_and_within_two_days(at: datetime, minute: int) -> None:
    now = at.replace(tzinfo=UTC)
    day, due = hours.next_due(minute, VIENNA, now)
    assert now < due <= now + timedelta(hours=25)
    assert hours.next_due(minute, VIENNA, due, day)[0] == day + timedelta(days=1)


@pytest.mark.parametrize(
    ("minute", "expected"), [(20 * 60 + 59, False), (21 * 60, True), (0, True), (419, True), (420, False)]
)
def test_quiet_hours_run_over_midnight(minute: int, expected: bool) -> None:
    assert hours.quiet(minute, 21 * 60, 7 * 60) is expected
    assert hours.quiet(minute, 7 * 60, 21 * 60) is not expected, "the other way round is the day"
    assert not hours.quiet(minute, 600, 600)


def test_a_reminder_lapses_after_an_hour_or_where_the_quiet_begins() -> None:
    due = utc(2027, 3, 11, 19, 20)  # 20:20 in Vienna
    assert hours.lapses(due, VIENNA, 1260, 420) == utc(2027, 3, 11, 20, 0)
    assert hours.lapses(due, VIENNA, 1320, 420) == utc(2027, 3, 11, 20, 20)
    # the night on which 02:00 becomes 03:00: quiet until 03:00 ends as the clock jumps
    assert not hours.quiet_now(utc(2027, 3, 28, 1, 0), VIENNA, 1260, 180)
    assert hours.quiet_now(utc(2027, 3, 28, 0, 59), VIENNA, 1260, 180)
