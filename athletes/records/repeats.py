"""Requests under a key (Idempotency-Key): the first is stored with its answer, in the transaction of the fact itself.

The unique constraint decides who is first. On PostgreSQL whoever comes second waits at the insert until the first has
ended, and no longer than WAIT_S; on SQLite whoever writes is alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import OperationalError, connection, transaction

from athletes.records.models import SentBefore

KEPT_DAYS = 30
"""A phone may be away for weeks and send again what it is not sure of."""
WAIT_S = 5


class InFlight(Exception):
    """The same request is being worked on by somebody else."""


@dataclass(frozen=True)
class Sent:
    """One request: whose, under which key, and a digest of what it asks."""

    account_id: int
    key: str
    digest: str


@dataclass(frozen=True)
class Stored:
    """What stands under the key: the digest of the first request, and its answer; `status` None is nobody's yet."""

    id: int
    digest: str
    status: int | None
    body: str


def begin(sent: Sent, now: datetime) -> Stored:
    """The row of this key, taken by this transaction where its status is None. Raises InFlight."""
    row = SentBefore(account_id=sent.account_id, key=sent.key, digest=sent.digest, made_at=now)
    _insert(row)
    mine = SentBefore.objects.select_for_update().filter(account_id=sent.account_id, key=sent.key)
    found = mine.get()
    if found.made_at < now - timedelta(days=KEPT_DAYS):
        mine.update(digest=sent.digest, made_at=now, status=None, body="")
        return Stored(found.id, sent.digest, None, "")
    return Stored(found.id, found.digest, found.status, found.body)


def finish(row_id: int, status: int, body: str, athlete_id: int | None) -> None:
    """Keep the answer, in the same transaction as the fact."""
    SentBefore.objects.filter(id=row_id).update(status=status, body=body, athlete_id=athlete_id)


def forget(now: datetime) -> int:
    """Drop what is older than KEPT_DAYS; returns how many that were."""
    return SentBefore.objects.filter(made_at__lt=now - timedelta(days=KEPT_DAYS)).delete()[0]


def _insert(row: SentBefore) -> None:
    """Insert unless the key is there. Raises InFlight where another transaction holds it for too long."""
    bounded = connection.vendor == "postgresql"
    try:
        with transaction.atomic():
            if bounded:
                _lock_timeout(f"'{WAIT_S}s'")
            SentBefore.objects.bulk_create([row], ignore_conflicts=True)
    except OperationalError as error:
        if bounded and getattr(error.__cause__, "sqlstate", None) == "55P03":  # lock_not_available
            raise InFlight from error
        raise
    if bounded:
        _lock_timeout("DEFAULT")


def _lock_timeout(value: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute(f"SET LOCAL lock_timeout = {value}")
