"""Rows that are past their time, by the terms of the register."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Exists, Max, OuterRef

from athletes.records import deliveries, feeds
from athletes.records.models import (
    AccessLog,
    AccessScope,
    Athlete,
    Away,
    BrokenGlass,
    Care,
    CheckIn,
    Correction,
    Damage,
    Decision,
    Entry,
    Look,
    OneTimeLink,
    OverruledPause,
    Photo,
    Reminder,
    SentBefore,
    Session,
    Sighting,
    SignedIn,
    Signoff,
    Tap,
    Tried,
)

ACTIVITY_DAYS, READS_DAYS, KEYS_DAYS, LINK_DAYS, REMINDER_DAYS = 730, 730, 30, 30, 7
PHOTO_DAYS = 90
DELIVERIES_DAYS = 61
"""An entry of a day arrives within 30 days of it, and so does the next one about that day."""
Rows = Callable[[datetime], list[Any]]


def inactive(now: datetime) -> list[int]:
    """Athletes who told nothing for 24 months. Who never told anything is none of them: there is nothing to drop."""
    first = (now - timedelta(days=ACTIVITY_DAYS)).date()
    told = {"checkins": "local_date", "sessions": "local_date", "care": "local_date", "damage__looks": "local_date"}
    last: dict[int, Any] = {}
    for path, column in told.items():
        for key, day in Athlete.objects.annotate(day=Max(f"{path}__{column}")).values_list("id", "day"):
            last[key] = max(filter(None, (last.get(key), day)), default=None)
    return [key for key, day in last.items() if day is not None and day < first]


def _activity(now: datetime) -> list[Any]:
    ids = inactive(now)
    own = (CheckIn, Session, Away, Care, Signoff, Sighting, Entry, Decision, OverruledPause, Correction, Tap)
    rows = [Look.objects.filter(damage__athlete_id__in=ids), Damage.objects.filter(athlete_id__in=ids)]
    return rows + [model._default_manager.filter(athlete_id__in=ids) for model in own]


def _photos(now: datetime) -> list[Any]:
    return [Photo.objects.filter(made_at__lt=now - timedelta(days=PHOTO_DAYS))]


def _reads(now: datetime) -> list[Any]:
    first = now - timedelta(days=READS_DAYS)
    named = AccessLog.objects.filter(scope=OuterRef("scope"), at__gte=first)
    return [
        AccessLog.objects.filter(at__lt=first),
        AccessScope.objects.exclude(Exists(named)),
        BrokenGlass.objects.filter(ends_at__lt=first),
    ]


def _keys(now: datetime) -> list[Any]:
    return [SentBefore.objects.filter(made_at__lt=now - timedelta(days=KEYS_DAYS))]


def _deliveries(now: datetime) -> list[Any]:
    return [deliveries.past(now - timedelta(days=DELIVERIES_DAYS))]


def _sessions(now: datetime) -> list[Any]:
    return [SignedIn.objects.filter(expire_date__lt=now)]


def _links(now: datetime) -> list[Any]:
    first = now - timedelta(days=LINK_DAYS)
    return [OneTimeLink.objects.filter(expires_at__lt=first), OneTimeLink.objects.filter(used_at__lt=first)]


def _feeds(now: datetime) -> list[Any]:
    return [feeds.over(now)]


def _reminders(now: datetime) -> list[Any]:
    return [Reminder.objects.filter(lapses_at__lt=now - timedelta(days=REMINDER_DAYS))]


def _tries(now: datetime) -> list[Any]:
    return [Tried.objects.filter(until_s__lte=int(now.timestamp()))]


TERMS: dict[str, Rows] = {
    "activity": _activity,
    "photos": _photos,
    "reads": _reads,
    "keys": _keys,
    "deliveries": _deliveries,
    "session": _sessions,
    "link": _links,
    "network": _tries,
    "feed": _feeds,
    "reminder": _reminders,
}
"""Terms of the register that rows outlive by themselves; the rest goes with its owner."""


def past(term: str, now: datetime, dry: bool) -> int:
    """How many rows are past this term; without `dry` they are gone."""
    return sum(_each(TERMS[term](now), dry))


def _each(parts: list[Any], dry: bool) -> Iterator[int]:
    for rows in parts:
        yield rows.count() if dry else rows.delete()[0]
