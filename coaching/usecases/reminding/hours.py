"""Hours of a reminder: minutes of a local day in the person's zone, through nights on which the clock is changed."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo, available_timezones

from coaching.usecases import clock

GRACE = timedelta(hours=1)
"""A reminder that could not be given within this is of no use any more."""


def instant(day: date, minute: int, zone: str) -> datetime:
    """When it is that minute of the day. What the clock skips is as much later as it jumps; of what it shows twice, the
    first time.
    """
    return datetime.combine(day, time(minute // 60, minute % 60), ZoneInfo(zone)).astimezone(clock.now().tzinfo)


def next_due(minute: int, zone: str, now: datetime, after: date | None = None) -> tuple[date, datetime]:
    """The next local day, later than `after`, on which that minute is still to come, and when that is."""
    day = clock.local_day(now, zone)
    if after is not None and day <= after:
        day = after + timedelta(days=1)
    at = instant(day, minute, zone)
    if at <= now:
        day += timedelta(days=1)
        at = instant(day, minute, zone)
    return day, at


def quiet(minute: int, quiet_from: int, quiet_to: int) -> bool:
    """That minute of the day is one in which nobody is disturbed; the hours may run over midnight."""
    if quiet_from <= quiet_to:
        return quiet_from <= minute < quiet_to
    return minute >= quiet_from or minute < quiet_to


def quiet_now(now: datetime, zone: str, quiet_from: int, quiet_to: int) -> bool:
    here = now.astimezone(ZoneInfo(zone))
    return quiet(here.hour * 60 + here.minute, quiet_from, quiet_to)


def lapses(due_at: datetime, zone: str, quiet_from: int, quiet_to: int) -> datetime:
    """Until when a reminder of that instant may still go out: an hour, and not into the quiet hours."""
    at = due_at
    while at < due_at + GRACE and not quiet_now(at, zone, quiet_from, quiet_to):
        at += timedelta(minutes=1)
    return at


def known(zone: str) -> bool:
    return zone in available_timezones()
