"""Support behind broken glass: one athlete, one reason, an hour at most, and the athlete is told."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils.translation import gettext

from athletes.records.errors import BadInput, NotFound
from athletes.records.models import Athlete, BrokenGlass, Person, Role

LONGEST = timedelta(hours=1)
LEAST_LETTERS = 10
"""A reason that the athlete can read as one."""


@dataclass(frozen=True)
class Look:
    """One look of support's as the athlete is told of it."""

    who: str
    reason: str
    opened_at: datetime
    ends_at: datetime


def open_for(person_id: int | None, code: str, reason: str, now: datetime) -> Look:
    """Let a person with the role support in. Raises NotFound without the role or the athlete, BadInput without a
    reason.
    """
    if person_id is None or not Role.objects.filter(person_id=person_id, role="support").exists():
        raise NotFound
    if len(reason.strip()) < LEAST_LETTERS:
        raise BadInput("reason", gettext("say why, in a sentence that the athlete will read"), reason)
    athlete = Athlete.objects.filter(code=code).first() if "\0" not in code else None
    if athlete is None:
        raise NotFound
    row = BrokenGlass.objects.create(
        athlete=athlete,
        person=person_id,
        person_name=Person.objects.values_list("name", flat=True).get(id=person_id),
        reason=reason.strip()[:1000],
        opened_at=now,
        ends_at=now + LONGEST,
    )
    return _look(row)


def close(person_id: int | None, now: datetime) -> int:
    """End whatever the person has open; returns how many."""
    rows = BrokenGlass.objects.filter(person=person_id, ends_at__gt=now, closed_at__isnull=True)
    return rows.update(closed_at=now, ends_at=now) if person_id is not None else 0


def open_now(person_id: int | None, now: datetime) -> tuple[tuple[str, str, Look], ...]:
    """(code, name, look) of the athletes to whom the person is let in at present."""
    rows = BrokenGlass.objects.filter(person=person_id, ends_at__gt=now, closed_at__isnull=True)
    return tuple((row.athlete.code, row.athlete.name, _look(row)) for row in rows.select_related("athlete"))


def of_athlete(athlete_id: int, since: datetime | None = None) -> tuple[Look, ...]:
    """Every look at the athlete, newest first."""
    rows = BrokenGlass.objects.filter(athlete_id=athlete_id).order_by("-opened_at")
    return tuple(_look(row) for row in (rows.filter(opened_at__gte=since) if since else rows))


def _look(row: BrokenGlass) -> Look:
    return Look(row.person_name, row.reason, row.opened_at, row.ends_at)
