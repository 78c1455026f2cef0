"""The rules of a zone over some years as VTIMEZONE (RFC 5545, 3.6.5): one observance for each change of its clock.

Each onset is told in the wall time that held just before it, as the standard asks.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from icalendar import Timezone, TimezoneDaylight, TimezoneStandard

STEP = timedelta(days=1)
SECOND = timedelta(seconds=1)


def vtimezone(name: str, first_year: int, last_year: int) -> Timezone:
    """The zone from the beginning of the first year to the end of the last (UTC)."""
    zone = ZoneInfo(name)
    begin, end = datetime(first_year, 1, 1, tzinfo=UTC), datetime(last_year + 1, 1, 1, tzinfo=UTC)
    made = Timezone()
    made.add("tzid", name)
    made.add_component(_observance(zone, begin, begin))
    for onset in _changes(zone, begin, end):
        made.add_component(_observance(zone, onset - SECOND, onset))
    return made


def _observance(zone: ZoneInfo, before: datetime, onset: datetime) -> TimezoneStandard:
    here, then = before.astimezone(zone), onset.astimezone(zone)
    offset = here.utcoffset() or timedelta()
    made = TimezoneDaylight() if then.dst() else TimezoneStandard()
    made.add("dtstart", (onset + offset).replace(tzinfo=None))
    made.add("tzoffsetfrom", offset)
    made.add("tzoffsetto", then.utcoffset() or timedelta())
    made.add("tzname", then.tzname() or "")
    return made


def _changes(zone: ZoneInfo, begin: datetime, end: datetime) -> Iterator[datetime]:
    """The first second of each stretch with another offset or name, by halving the day it falls into."""
    at = begin
    while at < end:
        low, high = at, min(at + STEP, end)
        if _state(zone, low) != _state(zone, high):
            while high - low > SECOND:
                middle = low + timedelta(seconds=int((high - low).total_seconds()) // 2)
                low, high = (middle, high) if _state(zone, middle) == _state(zone, low) else (low, middle)
            yield high
        at = min(at + STEP, end)


def _state(zone: ZoneInfo, at: datetime) -> tuple[timedelta | None, str | None]:
    there = at.astimezone(zone)
    return there.utcoffset(), there.tzname()
