"""The one place that reads the time."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo


def now() -> datetime:
    """The instant, in UTC."""
    return datetime.now(UTC)


def local_day(at: datetime, timezone: str) -> date:
    """The day that an instant falls on in a zone."""
    return at.astimezone(ZoneInfo(timezone)).date()


def next_midnight(at: datetime, timezone: str) -> datetime:
    """The first instant (UTC) of the next local day; a zone that skips midnight starts its day later."""
    zone = ZoneInfo(timezone)
    tomorrow = at.astimezone(zone).date() + timedelta(days=1)
    return datetime.combine(tomorrow, time(), zone).astimezone(UTC)
