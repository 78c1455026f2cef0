"""Wishes to be erased, and the erasure itself with what is kept of it."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import connection, transaction

from athletes.records.erasing import erase_rows
from athletes.records.models import Athlete, Erased, ErasureAsked

UNDO = timedelta(hours=12)
"""How long the wish may be taken back. The job runs every hour, and what processes hold in memory goes within another
six, so all of it is done within a day.
"""


@dataclass(frozen=True)
class Wish:
    asked_at: datetime
    due_at: datetime


@dataclass(frozen=True)
class Line:
    """One line of the ledger: the key of a row, a digest of key and code under a salt, and when."""

    subject: int
    salt: str
    digest: str
    erased_at: datetime


def wish(athlete_id: int) -> Wish | None:
    """What was asked for the athlete, if anything."""
    row = ErasureAsked.objects.filter(athlete_id=athlete_id).first()
    return Wish(row.asked_at, row.due_at) if row else None


def ask(athlete_id: int, by: int | None, now: datetime) -> Wish:
    """Keep the wish; one that stands keeps its time."""
    told = {"asked_at": now, "due_at": now + UNDO, "by": by}
    row = ErasureAsked.objects.get_or_create(athlete_id=athlete_id, defaults=told)[0]
    return Wish(row.asked_at, row.due_at)


def take_back(athlete_id: int) -> None:
    """As if nothing had been asked."""
    ErasureAsked.objects.filter(athlete_id=athlete_id).delete()


def due(now: datetime) -> list[int]:
    """Keys of the athletes whose time to take it back is over."""
    return list(ErasureAsked.objects.filter(due_at__lte=now).order_by("due_at").values_list("athlete_id", flat=True))


def key_of(code: str) -> int | None:
    """The key of the athlete's row."""
    return Athlete.objects.filter(code=code).values_list("id", flat=True).first()


def line_of(athlete_id: int, salt: str, now: datetime) -> Line:
    """What the ledger would say of the athlete."""
    code = Athlete.objects.values_list("code", flat=True).get(id=athlete_id)
    return Line(athlete_id, salt, _digest(athlete_id, code, salt), now)


def still_there(line: Line) -> bool:
    """The athlete whom the line is of is in the database, as after a restore."""
    code = Athlete.objects.filter(id=line.subject).values_list("code", flat=True).first()
    return code is not None and _digest(line.subject, code, line.salt) == line.digest


def erase(line: Line, keep: Callable[[Line], None]) -> int:
    """Erase the rows; `keep` writes the line down before that counts. Returns how many rows went."""
    with transaction.atomic():
        rows = erase_rows(line.subject)
        Erased.objects.create(subject=line.subject, digest=line.digest, erased_at=line.erased_at, rows=rows)
        keep(line)
    return rows


def from_the_disk() -> None:
    """SQLite leaves deleted content in its file until the space is used again; so the file is written anew."""
    if connection.vendor == "sqlite" and not connection.in_atomic_block:
        with connection.cursor() as cursor:
            cursor.execute("VACUUM")
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _digest(athlete_id: int, code: str, salt: str) -> str:
    return hashlib.sha256(f"{salt}\n{athlete_id}\n{code}".encode()).hexdigest()
