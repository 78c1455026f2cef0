"""Requests under a key (Idempotency-Key): the first is stored with its answer, in the transaction of the fact itself.

The unique constraint decides who is first. On PostgreSQL whoever comes second waits at the insert until the first has
ended, and no longer than WAIT_S; on SQLite whoever writes is alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import OperationalError, connection

from athletes.records.inserting import Statement
from athletes.records.models import SentBefore

KEPT_DAYS = 30
"""A phone may be away for weeks and send again what it is not sure of."""
WAIT_S = 5


ALONE = """
INSERT INTO records_sentbefore (account_id, key, digest, made_at, body) VALUES (%s, %s, %s, %s, '')
ON CONFLICT (account_id, key) DO UPDATE SET key = EXCLUDED.key
RETURNING id, digest, status, body, made_at < %s"""
"""The row, new or as it stands; the change that changes nothing takes hold of it."""
BOUNDED = """
INSERT INTO records_sentbefore (account_id, key, digest, made_at, body)
SELECT %s, %s, %s, %s, '' FROM (SELECT set_config('lock_timeout', %s, true) AS set) AS bound WHERE bound.set <> ''
ON CONFLICT (account_id, key) DO UPDATE SET key = EXCLUDED.key
RETURNING id, digest, status, body, made_at < %s, set_config('lock_timeout', NULL, true)"""
"""The same, waiting no longer than it may: the bound is set before the row is made, and lifted once it is held."""
AT_ONCE = """
INSERT INTO records_sentbefore (account_id, key, digest, made_at, status, body, athlete_id)
SELECT %s, %s, %s, %s, %s, %s, %s FROM (SELECT set_config('lock_timeout', %s, true) AS set) AS bound
WHERE bound.set <> ''
ON CONFLICT (account_id, key) DO NOTHING"""
"""A new row with its answer, for a statement that is its own transaction; a key that stands is left as it is."""
ANSWERED = "UPDATE records_sentbefore SET status = %s, body = %s, athlete_id = %s WHERE id = %s"


class InFlight(Exception):
    """The same request is being worked on by somebody else."""


@dataclass(frozen=True)
class Sent:
    """One request: whose, under which key, and a digest of what it asks."""

    account_id: int
    key: str
    digest: str


@dataclass(frozen=True)
class Answer:
    """What a request is answered: status, body, and of whom it tells. `again`: what the first one was answered."""

    status: int
    body: str
    athlete_id: int | None = None
    again: bool = False


@dataclass(frozen=True)
class Stored:
    """What stands under the key: the digest of the first request, and its answer; `status` None is nobody's yet."""

    id: int
    digest: str
    status: int | None
    body: str


def begin(sent: Sent, now: datetime) -> Stored:
    """The row of this key, taken by this transaction where its status is None.

    Raises InFlight where another transaction holds it for too long; the transaction around is then to be left.
    """
    over = now - timedelta(days=KEPT_DAYS)
    bounded = connection.vendor == "postgresql"
    wait = [f"{int(WAIT_S * 1000)}ms"] if bounded else []
    values = [sent.account_id, sent.key, sent.digest, _stored(now), *wait, _stored(over)]
    try:
        with connection.cursor() as cursor:
            cursor.execute(BOUNDED if bounded else ALONE, values)
            row_id, digest, status, body, is_over = cursor.fetchone()[:5]
    except OperationalError as error:
        if bounded and waited_too_long(error):
            raise InFlight from error
        raise
    if is_over:
        SentBefore.objects.filter(id=row_id).update(digest=sent.digest, made_at=now, status=None, body="")
        return Stored(row_id, sent.digest, None, "")
    return Stored(row_id, digest, status, body)


def finish(row_id: int, status: int, body: str, athlete_id: int | None) -> None:
    """Keep the answer, in the same transaction as the fact."""
    with connection.cursor() as cursor:
        cursor.execute(ANSWERED, [status, body, athlete_id, row_id])


def taking(sent: Sent, answer: Answer, now: datetime) -> Statement:
    """The statement that keeps both where nothing stands under the key, for whoever stores in one round trip. It bounds
    every wait of the statement that it is part of.
    """
    asked = [sent.account_id, sent.key, sent.digest, _stored(now)]
    return Statement(AT_ONCE, [*asked, answer.status, answer.body, answer.athlete_id, f"{int(WAIT_S * 1000)}ms"])


def waited_too_long(error: BaseException) -> bool:
    """True where the bound on waiting ended a statement."""
    return getattr(error.__cause__, "sqlstate", None) == "55P03"  # lock_not_available


def forget(now: datetime) -> int:
    """Drop what is older than KEPT_DAYS; returns how many that were."""
    return SentBefore.objects.filter(made_at__lt=now - timedelta(days=KEPT_DAYS)).delete()[0]


def _stored(at: datetime) -> object:
    return connection.ops.adapt_datetimefield_value(at)
