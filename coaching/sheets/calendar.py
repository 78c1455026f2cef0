"""A calendar file (RFC 5545 with RFC 7986) from plain values; every word comes ready.

The same values make the same bytes: DTSTAMP is when an entry last changed (RFC 5545, 3.8.7.2, for a calendar without a
method), and nothing else of the moment goes in.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event
from icalendar.prop import vDuration, vText

from coaching.sheets.timezones import vtimezone

MADE_BY = "-//Tenpads//Tenpads//EN"


@dataclass(frozen=True)
class CalendarEntry:
    """One entry: whole days from `first_day` to `last_day`, or, where `at` is given, that instant in `zone`."""

    uid: str
    summary: str
    first_day: date
    last_day: date
    at: datetime | None
    zone: str
    sequence: int
    changed_at: datetime
    cancelled: bool
    busy: bool


def calendar_ics(name: str, about: str, url: str, again: timedelta, entries: Iterable[CalendarEntry]) -> bytes:
    """The file. `name` and `about` say what the calendar is, `url` leads to the pages, `again` is how often to ask."""
    made = Calendar()
    made.add("prodid", MADE_BY)
    made.add("version", "2.0")
    made.add("name", vText(name))
    made.add("description", vText(about))
    made.add("url", url)
    made.add("refresh-interval", vDuration(again), parameters={"VALUE": "DURATION"})
    every = list(entries)
    for zone, (first_year, last_year) in _zones(every).items():
        made.add_component(vtimezone(zone, first_year, last_year))
    for entry in every:
        made.add_component(_event(entry, url))
    return bytes(made.to_ical(sorted=False))


def _event(entry: CalendarEntry, url: str) -> Event:
    event = Event()
    event.add("uid", entry.uid)
    event.add("dtstamp", entry.changed_at)
    event.add("last-modified", entry.changed_at)
    event.add("sequence", entry.sequence)
    event.add("summary", entry.summary)
    if entry.at is not None:
        event.add("dtstart", entry.at.astimezone(ZoneInfo(entry.zone)))
    else:
        event.add("dtstart", entry.first_day)
        event.add("dtend", entry.last_day + timedelta(days=1))  # the day after, as RFC 5545 counts whole days
    event.add("class", "PRIVATE")
    event.add("transp", "OPAQUE" if entry.busy else "TRANSPARENT")
    event.add("status", "CANCELLED" if entry.cancelled else "CONFIRMED")
    event.add("url", url)
    return event


def _zones(entries: Iterable[CalendarEntry]) -> dict[str, tuple[int, int]]:
    """First and last year of what is told in each zone, a year more on both sides, by name."""
    found: dict[str, tuple[int, int]] = {}
    for entry in entries:
        if entry.at is not None:
            first, last = found.get(entry.zone, (entry.at.year, entry.at.year))
            found[entry.zone] = min(first, entry.at.year - 1), max(last, entry.at.year + 1)
    return dict(sorted(found.items()))
