"""What a calendar tells of: days of events and sessions. Athletes have come through the door."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from athletes.records.models import Entry, Event, Session


@dataclass(frozen=True)
class EventDays:
    """An event that somebody of them is entered in, and when its entries close."""

    id: int
    first_day: date
    last_day: date
    timezone: str
    entry_deadline: datetime | None


def events_of(athlete_ids: Iterable[int], first: date, last: date) -> list[EventDays]:
    """Each event once, by day: one query."""
    rows = Event.objects.filter(first_day__lte=last, last_day__gte=first)
    entered = rows.filter(entries__in=_entries(athlete_ids)).distinct().order_by("first_day", "id")
    return [EventDays(*row) for row in entered.values_list("id", "first_day", "last_day", "timezone", "entry_deadline")]


def _entries(athlete_ids: Iterable[int]) -> object:
    return Entry.objects.filter(athlete_id__in=list(athlete_ids)).exclude(status="withdrawn")


def sessions_planned(athlete_id: int, first: date, last: date) -> list[tuple[date, int, datetime | None]]:
    """(day, number within it, when it begins) of planned sessions; a day taken off has no minutes and is none."""
    rows = Session.objects.filter(athlete_id=athlete_id, planned=True, local_date__range=(first, last))
    found: list[tuple[date, int, datetime | None]] = []
    for day, at in rows.exclude(minutes=0).order_by("local_date", "ordinal", "id").values_list(
        "local_date", "started_at"
    ):
        number = found[-1][1] + 1 if found and found[-1][0] == day else 1
        found.append((day, number, at))
    return found
