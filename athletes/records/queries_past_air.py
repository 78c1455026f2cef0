"""How past sessions went in the air of their hours, of whoever shares check-ins with a viewer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from athletes.records.access import AthleteRef
from athletes.records.histories_air import AirBook, Mean, air_book
from athletes.records.models import Session

PAST_DAYS = 365
USUAL_MINUTES = 90.0
"""A session whose length nobody told."""


@dataclass(frozen=True)
class PastSession:
    """A session with its air, and whether skin limited it; the air is that of its hours where they are known."""

    athlete_id: int
    day: date
    temp_c: float
    dew_c: float
    skin_limited: bool
    hourly: bool  # else the mean of its day


def past_sessions(refs: Sequence[AthleteRef], as_of: date) -> tuple[PastSession, ...]:
    """Sessions of a year whose air and whether skin limited them are both known: two queries, whoever shares."""
    zones = {ref.id: ref.timezone for ref in refs if "checkins" in ref.shared}
    first = as_of - timedelta(days=PAST_DAYS)
    rows = list(
        Session.objects.filter(
            athlete_id__in=list(zones), planned=False, skin_limited__isnull=False, place__isnull=False,
            local_date__range=(first, as_of),
        ).order_by("local_date", "id").values_list(
            "athlete_id", "place_id", "local_date", "skin_limited", "started_at", "minutes"
        )
    )  # fmt: skip
    book = air_book({row[1] for row in rows}, as_of, first, as_of)
    found = []
    for athlete_id, place_id, day, limited, started_at, minutes in rows:
        hours = _during(book, place_id, zones[athlete_id], started_at, minutes)
        mean = hours or book.day(place_id, zones[athlete_id], day)
        if mean is not None:
            one = PastSession(athlete_id, day, mean.temp_c, mean.dew_point_c, limited, hours is not None)
            found.append(one)
    return tuple(found)


def _during(book: AirBook, place_id: int, zone: str, started_at: datetime | None, minutes: float | None) -> Mean | None:
    if started_at is None:
        return None
    return book.during(place_id, zone, started_at, USUAL_MINUTES if minutes is None else minutes)
