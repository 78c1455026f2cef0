"""Months of a squad's calendar: events, absences, planned courses of care and sessions on rock.

Athletes have come through the door. Events are read of those who share the level, the rest of those who share their
check-ins.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from athletes.records.models import Away, Care, Entry, Session

COURSES = ("dry", "toughen")
"""Verbs whose planned days make a course that a season must leave room for."""


@dataclass(frozen=True)
class EntrySpan:
    athlete_id: int
    code: str
    name: str
    kind: str
    first_day: date
    last_day: date
    status: str


@dataclass(frozen=True)
class AwayDays:
    athlete_id: int
    kind: str
    first_day: date
    last_day: date


@dataclass(frozen=True)
class CareDay:
    athlete_id: int
    verb: str
    form: str
    day: date


@dataclass(frozen=True)
class SessionDay:
    athlete_id: int
    day: date
    surface: str
    minutes: float | None


def entry_spans(athlete_ids: Iterable[int], first: date, last: date) -> tuple[EntrySpan, ...]:
    """Entries that stand, by day: one query."""
    rows = Entry.objects.filter(
        athlete_id__in=list(athlete_ids), event__first_day__lte=last, event__last_day__gte=first
    ).exclude(status="withdrawn")
    of_event = (f"event__{name}" for name in ("code", "name", "kind", "first_day", "last_day"))
    columns = ("athlete_id", *of_event, "status")
    return tuple(EntrySpan(*row) for row in rows.order_by("event__first_day", "event__code").values_list(*columns))


def away_days(athlete_ids: Iterable[int], first: date, last: date) -> tuple[AwayDays, ...]:
    """Absences, by day: one query."""
    rows = Away.objects.filter(athlete_id__in=list(athlete_ids), first_day__lte=last, last_day__gte=first)
    return tuple(AwayDays(*row) for row in rows.order_by("first_day").values_list(
        "athlete_id", "kind", "first_day", "last_day"))  # fmt: skip


def courses(athlete_ids: Iterable[int], first: date, last: date) -> tuple[CareDay, ...]:
    """Planned days of drying and toughening, by form and day: one query."""
    rows = Care.objects.filter(
        athlete_id__in=list(athlete_ids), status="planned", verb__in=COURSES, local_date__range=(first, last)
    )
    ordered = rows.order_by("athlete_id", "form", "local_date")
    return tuple(CareDay(*row) for row in ordered.values_list("athlete_id", "verb", "form", "local_date"))


def forms_done(athlete_ids: Iterable[int], before: date) -> frozenset[tuple[int, str]]:
    """(athlete, form) of what was ever done: one query."""
    rows = Care.objects.filter(
        athlete_id__in=list(athlete_ids), status="done", verb__in=COURSES, local_date__lt=before
    )
    return frozenset(rows.values_list("athlete_id", "form").distinct())


def session_days(athlete_ids: Iterable[int], first: date, last: date) -> tuple[SessionDay, ...]:
    """Planned sessions: one query. A day taken off has no minutes and is not among them."""
    rows = Session.objects.filter(athlete_id__in=list(athlete_ids), planned=True, local_date__range=(first, last))
    kept = rows.exclude(minutes=0).order_by("local_date")
    return tuple(SessionDay(*row) for row in kept.values_list("athlete_id", "local_date", "surface", "minutes"))
