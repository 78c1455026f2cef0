"""Sessions of one day, as whoever climbed them told or planned them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from athletes.records.access import shared_classes
from athletes.records.errors import NotFound
from athletes.records.models import Session
from athletes.records.viewer import Viewer


@dataclass(frozen=True)
class DaySession:
    """One session; None is not known. `rpe` on 0-10, `minutes` in minutes, `started_at` in UTC."""

    ordinal: int
    planned: bool
    minutes: float | None
    rpe: float | None
    surface: str | None
    hard_tries: int | None
    skin_limited: bool | None
    place: str | None
    place_name: str | None
    started_at: datetime | None


def day_sessions(viewer: Viewer, athlete_id: int, day: date) -> tuple[DaySession, ...]:
    """Planned and done sessions of the day, by number. Raises NotFound where check-ins are not shared."""
    if "checkins" not in shared_classes(viewer, [athlete_id])[athlete_id]:
        raise NotFound
    rows = Session.objects.filter(athlete_id=athlete_id, local_date=day).order_by("ordinal", "id")
    return tuple(map(_session, rows.select_related("place")))


def _session(row: Any) -> DaySession:
    place = row.place
    return DaySession(
        row.ordinal or 1, row.planned, row.minutes, row.rpe, row.surface or None, row.hard_tries, row.skin_limited,
        place.code if place else None, place.name if place else None, row.started_at,
    )  # fmt: skip
