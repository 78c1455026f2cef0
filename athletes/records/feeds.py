"""Calendar feeds: made, found by their secret, ended; and what was last told under each."""

from __future__ import annotations

import hashlib
import re
import secrets
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Any

from django.db import transaction
from django.db.models import Q

from athletes.records.errors import BadInput, NotFound
from athletes.records.models import CalendarFeed, CalendarItem

LONGEST_DAYS, UNUSED_DAYS = 400, 60
MOST = 10
"""Addresses of one account."""
SECRET = re.compile(r"[A-Za-z0-9_-]{43}", re.ASCII)
SECRET_BYTES = 32


@dataclass(frozen=True)
class Kept:
    """A feed as its owner sees it: never its secret. `until` is the last day at which it still answers."""

    id: int
    kind: str
    made_at: datetime
    used_on: date | None
    until: date


@dataclass(frozen=True)
class Item:
    """One entry of a calendar: days, or an instant (UTC) with the zone that it is told in."""

    key: str
    kind: str
    first_day: date
    last_day: date
    at: datetime | None = None
    zone: str = ""
    sequence: int = 0
    changed_at: datetime | None = None
    cancelled: bool = False


def of(account_id: int, now: datetime) -> list[Kept]:
    """The account's feeds that stand, the newest first."""
    rows = _standing(now).filter(account_id=account_id).order_by("-made_at", "-id")
    return [Kept(row.pk, row.kind, row.made_at, row.used_on, _until(row)) for row in rows]


def make(account_id: int, kind: str, now: datetime) -> str:
    """The secret of a new feed, told this once. Raises BadInput for one too many."""
    with transaction.atomic():
        if _standing(now).filter(account_id=account_id).count() >= MOST:
            raise BadInput("kind", "too-many", MOST)
        secret = secrets.token_urlsafe(SECRET_BYTES)
        CalendarFeed.objects.create(account_id=account_id, kind=kind, digest=_digest(secret), made_at=now)
    return secret


def rotate(account_id: int, feed_id: int, now: datetime) -> str:
    """A new secret in place of the old, which ends; entries keep their UIDs. Raises NotFound."""
    secret = secrets.token_urlsafe(SECRET_BYTES)
    rows = _standing(now).filter(account_id=account_id, pk=feed_id)
    if not rows.update(digest=_digest(secret), made_at=now, used_on=None):
        raise NotFound
    return secret


def end(account_id: int, feed_id: int) -> None:
    """End a feed from the next request on. Raises NotFound."""
    if not CalendarFeed.objects.filter(account_id=account_id, pk=feed_id).delete()[0]:
        raise NotFound


def end_all(account_id: int) -> None:
    """End every feed of an account."""
    CalendarFeed.objects.filter(account_id=account_id).delete()


def find(secret: str, now: datetime) -> Any:
    """The row of the feed with this secret, its account with it. Raises NotFound alike for one that is unknown, ended,
    too old or too long unused. Its use is noted once a day.
    """
    if not SECRET.fullmatch(secret):
        raise NotFound
    # Found by a digest of 256 random bits: how long the database takes to compare tells nothing of the secret.
    row = _standing(now).select_related("account").filter(digest=_digest(secret)).first()
    if row is None:
        raise NotFound
    if row.used_on != now.date():
        CalendarFeed.objects.filter(pk=row.pk).update(used_on=now.date())
    return row


def told(feed_id: int, found: Iterable[Item], first: date, now: datetime) -> list[Item]:
    """The entries as they are told now, those that went as cancelled, each with how often it changed and when last;
    what is kept is brought up to date. `first` is the first day told of; what ended before is forgotten.
    """
    with transaction.atomic():
        CalendarFeed.objects.select_for_update().get(pk=feed_id)
        CalendarItem.objects.filter(feed_id=feed_id, last_day__lt=first).delete()
        before = {row.key: row for row in CalendarItem.objects.filter(feed_id=feed_id)}
        said, new, changed = [], [], []
        for item in found:
            row = before.pop(item.key, None)
            if row is None:
                new.append(_filled(CalendarItem(feed_id=feed_id), item, 0, now))
            elif _plain(row) != item:
                changed.append(_filled(row, item, row.sequence + 1, now))
            said.append(new[-1] if row is None else row)
        for row in before.values():
            if not row.cancelled:
                changed.append(_filled(row, replace(_plain(row), cancelled=True), row.sequence + 1, now))
            said.append(row)
        CalendarItem.objects.bulk_create(new)
        columns = ["kind", "first_day", "last_day", "at", "zone", "sequence", "changed_at", "cancelled"]
        if changed:
            CalendarItem.objects.bulk_update(changed, columns)
    return [replace(_plain(row), sequence=row.sequence, changed_at=row.changed_at) for row in said]


def over(now: datetime) -> Any:
    """Rows of feeds that answer no more."""
    return CalendarFeed.objects.exclude(pk__in=_standing(now).values("pk"))


def _plain(row: CalendarItem) -> Item:
    return Item(row.key, row.kind, row.first_day, row.last_day, row.at, row.zone, cancelled=row.cancelled)


def _filled(row: CalendarItem, item: Item, sequence: int, now: datetime) -> CalendarItem:
    for name in ("key", "kind", "first_day", "last_day", "at", "zone", "cancelled"):
        setattr(row, name, getattr(item, name))
    row.sequence, row.changed_at = sequence, now
    return row


def _standing(now: datetime) -> Any:
    unused = now - timedelta(days=UNUSED_DAYS)
    used = Q(used_on__gte=unused.date()) | Q(used_on__isnull=True, made_at__gt=unused)
    return CalendarFeed.objects.filter(used, made_at__gt=now - timedelta(days=LONGEST_DAYS))


def _until(row: CalendarFeed) -> date:
    last_use = row.used_on or row.made_at.date()
    return min(row.made_at.date() + timedelta(days=LONGEST_DAYS), last_use + timedelta(days=UNUSED_DAYS))


def _digest(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()
