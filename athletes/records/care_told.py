"""Care that an athlete told of on one day, and taking it back: the row goes, its picture stays as a correction."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from athletes.records.access import AthleteRef
from athletes.records.errors import NotFound
from athletes.records.models import Care, Correction
from athletes.records.writes import picture

TOLD = ("done", "skipped")
DIGEST = 24


@dataclass(frozen=True)
class CareTold:
    """One row that is done or skipped."""

    id: int
    status: str
    verb: str
    form: str
    part: str
    sites: tuple[str, ...]

    @property
    def key(self) -> str:
        return step_key(self.part, self.form, self.sites)


def step_key(part: str, form: str, sites: Sequence[str]) -> str:
    """Names a step of one day, in a form and in a phone's queue."""
    return "|".join((part, form, ";".join(sites)))


def step_name(part: str, form: str, sites: Sequence[str]) -> str:
    """The same in few letters, for where there is little room."""
    return hashlib.sha256(step_key(part, form, sites).encode()).hexdigest()[:DIGEST]


def told_on(athlete_id: int, day: date) -> tuple[CareTold, ...]:
    """What was told of that day, in the order it was told."""
    rows = Care.objects.filter(athlete_id=athlete_id, local_date=day, status__in=TOLD).order_by("id")
    return tuple(CareTold(r.id, r.status, r.verb, r.form, r.part, tuple(r.sites)) for r in rows)


def take_back(athlete: AthleteRef, care_id: int, day: date, *, made_at: datetime, by: int | None) -> None:
    """Remove a row of that day that is done or skipped, with a trace. Raises NotFound where there is none."""
    rows = Care.objects.select_for_update().filter(
        id=care_id, athlete_id=athlete.id, local_date=day, status__in=TOLD
    )
    row = rows.first()
    if row is None:
        raise NotFound
    Correction.objects.create(
        athlete_id=athlete.id,
        table="care",
        row_id=row.pk,
        made_at=made_at,
        by_id=by,
        before=picture(row),
        after={},
        why="taken back",
    )
    row.delete()
