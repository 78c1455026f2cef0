"""Rows of reminders: what was asked for, where it may go, and what is to be sent."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.db.models import F

from athletes.records.errors import NotFound
from athletes.records.models import Account, PushAddress, Reminder, ReminderWay, ReminderWish, Session

QUIET = (21 * 60, 7 * 60)
MOST_BROWSERS = 10


@dataclass(frozen=True)
class Way:
    """How an account is reached: see the columns of `ReminderWay`."""

    timezone: str = ""
    quiet_from: int = QUIET[0]
    quiet_to: int = QUIET[1]
    mail_to: str = ""
    mail_confirmed: bool = False

    @property
    def zone(self) -> str:
        return self.timezone or "UTC"


@dataclass(frozen=True)
class Wish:
    """A kind that was asked for, and when it is due next."""

    kind: str
    minute: int
    due_on: date
    due_at: datetime


@dataclass(frozen=True)
class Address:
    """A browser that messages go to, as its owner sees it."""

    id: int
    browser: str
    made_at: datetime


def way(account_id: int) -> Way:
    """Where nothing was said: no zone, no mail."""
    row = ReminderWay.objects.filter(account_id=account_id).first()
    return Way(row.timezone, row.quiet_from, row.quiet_to, row.mail_to, row.mail_confirmed) if row else Way()


def wishes(account_id: int) -> list[Wish]:
    rows = ReminderWish.objects.filter(account_id=account_id).order_by("minute", "kind")
    return [Wish(*row) for row in rows.values_list("kind", "minute", "due_on", "due_at")]


def addresses(account_id: int) -> list[Address]:
    rows = PushAddress.objects.filter(account_id=account_id).order_by("-made_at", "-id")
    return [Address(*row) for row in rows.values_list("id", "browser", "made_at")]


def save(account_id: int, way: Way, wishes: Iterable[Wish]) -> None:
    """This and nothing else is asked for from now on; what was waiting to be sent is not sent."""
    with transaction.atomic():
        told = {name: getattr(way, name) for name in Way.__dataclass_fields__}
        ReminderWay.objects.update_or_create(account_id=account_id, defaults=told)
        ReminderWish.objects.filter(account_id=account_id).delete()
        ReminderWish.objects.bulk_create(
            [ReminderWish(account_id=account_id, kind=w.kind, minute=w.minute, due_on=w.due_on, due_at=w.due_at)
             for w in wishes]
        )  # fmt: skip
        Reminder.objects.filter(account_id=account_id, state="waiting").update(state="lapsed")


def set_mail(account_id: int, mail_to: str, confirmed: bool) -> None:
    """Another mail address, confirmed or not yet; "" for none."""
    told = {"mail_to": mail_to, "mail_confirmed": confirmed}
    ReminderWay.objects.update_or_create(account_id=account_id, defaults=told)


def add_address(account_id: int, endpoint: str, p256dh: str, auth: str, browser: str, now: datetime) -> bool:
    """A browser of the account's, which may have been another's before it was handed on; False for one too many."""
    told = {"account_id": account_id, "endpoint": endpoint, "p256dh": p256dh, "auth": auth, "browser": browser}
    digest = hashlib.sha256(endpoint.encode()).hexdigest()
    others = PushAddress.objects.filter(account_id=account_id).exclude(digest=digest)
    if others.count() >= MOST_BROWSERS:
        return False
    PushAddress.objects.update_or_create(digest=digest, defaults={**told, "made_at": now})
    return True


def drop_address(account_id: int, address_id: int) -> None:
    """Raises NotFound."""
    if not PushAddress.objects.filter(account_id=account_id, pk=address_id).delete()[0]:
        raise NotFound


def gone(address_id: int) -> None:
    """The push service says that the browser takes no more."""
    PushAddress.objects.filter(pk=address_id).delete()


def due(now: datetime) -> list[Any]:
    """Wishes that are due, by account."""
    rows = ReminderWish.objects.filter(due_at__lte=now).order_by("account_id", "minute", "kind")
    return list(rows.select_related("account"))


def moved_on(row: Any, due_on: date, due_at: datetime) -> bool:
    """Set when it is due next; True for one caller, however many are at it at once, who then does the work."""
    mine = ReminderWish.objects.filter(pk=row.pk, due_at=row.due_at)
    return bool(mine.update(due_on=due_on, due_at=due_at) == 1)


def put_out(account_id: int, kinds: Sequence[str], by_mail: bool, now: datetime, lapses_at: datetime) -> int:
    """One message for each place that the account is reached at; returns how many."""
    places: list[int | None] = list(PushAddress.objects.filter(account_id=account_id).values_list("pk", flat=True))
    places += [None] if by_mail else []
    common = {"account_id": account_id, "kinds": " ".join(kinds), "made_at": now, "next_try_at": now}
    Reminder.objects.bulk_create([Reminder(**common, push_id=place, lapses_at=lapses_at) for place in places])
    return len(places)


def waiting(now: datetime, most: int) -> list[Any]:
    """Messages whose time has come, the oldest first; those whose time is over lapse."""
    Reminder.objects.filter(state__in=("waiting", "sending"), lapses_at__lte=now).update(state="lapsed")
    rows = Reminder.objects.filter(state="waiting", next_try_at__lte=now).order_by("next_try_at", "id")
    return list(rows.select_related("push", "account", "account__reminder_way")[:most])


def take(row: Any, now: datetime) -> bool:
    """True for one caller, who then sends it. Whoever dies with it in hand leaves it to lapse: better none than two."""
    mine = Reminder.objects.filter(pk=row.pk, state="waiting", next_try_at__lte=now)
    return bool(mine.update(state="sending", attempts=F("attempts") + 1) == 1)


def settle(row: Any, state: str, next_try_at: datetime | None = None) -> None:
    """Say how it went; `waiting` again with the time of the next try."""
    told = {"state": state} | ({"next_try_at": next_try_at} if next_try_at else {})
    Reminder.objects.filter(pk=row.pk).update(**told)


def session_open(athlete_id: int, day: date) -> bool:
    """A session was planned for the day and nothing is told of it yet; a day off is none."""
    rows = Session.objects.filter(athlete_id=athlete_id, local_date=day)
    planned = rows.filter(planned=True).exclude(minutes=0).exists()
    return planned and not rows.filter(planned=False).exists()


def account(account_id: int) -> Any:
    """The account with this key. Raises NotFound."""
    row = Account.objects.filter(pk=account_id, is_active=True).first()
    if row is None:
        raise NotFound
    return row
