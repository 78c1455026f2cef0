"""An athlete's days as pages of frozen records, cut to what is shared. Each takes an athlete who came through the
door, and raises NotFound where the class of data is not shared. One query each.

Sites and marks belong to `damage` wherever they are told; a part that is not shared is None, never empty.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date, datetime
from typing import Any, TypeVar

from athletes.records.access import AthleteRef
from athletes.records.errors import NotFound
from athletes.records.models import Care, CheckIn, Session, Sighting, Signoff
from athletes.records.paging import Page, Wanted, newest_first, turned

DAMAGE_VERBS = frozenset({"mend", "cover", "rest", "try"})
"""Verbs of care that one plans because of damage, and that would tell of it."""
T = TypeVar("T")
Pairs = tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class CheckInOnFile:
    local_date: date
    made_at: datetime | None
    rating_step: int | None
    reserve: int | None
    dampness: int | None
    hardness: int | None
    sting: int | None
    pull_pain: int | None
    agent_used: bool | None
    marks: Pairs | None
    red_flags: tuple[str, ...]
    note: str | None


@dataclass(frozen=True)
class SessionOnFile:
    local_date: date
    ordinal: int | None
    planned: bool
    minutes: float | None
    rpe: float | None
    surface: str | None
    hard_tries: int | None
    skin_limited: bool | None
    place_id: str | None
    started_at: datetime | None


@dataclass(frozen=True)
class CareOnFile:
    id: int
    local_date: date
    status: str
    verb: str
    form: str
    strength: str | None
    part: str | None
    uses: int | None
    sites: tuple[str, ...] | None
    reaction: str | None
    product_note: str | None


@dataclass(frozen=True)
class SightingOnFile:
    id: int
    local_date: date
    by: str
    marks: Pairs
    note: str | None


@dataclass(frozen=True)
class SignoffOnFile:
    id: int
    form: str
    by: str
    given_on: date
    until: date | None


def need(athlete: AthleteRef, data_class: str) -> None:
    """Raises NotFound where the class is not shared."""
    if data_class not in athlete.shared:
        raise NotFound


def on_file(kind: type[T], row: Any, **instead: Any) -> T:
    """The row as a frozen record; an empty code is None, and `instead` stands for what is not shared."""
    plain = {f.name: getattr(row, f.name) for f in fields(kind) if f.name not in instead}  # type: ignore[arg-type]
    return kind(**{name: None if value == "" else value for name, value in plain.items()}, **instead)


def checkins(athlete: AthleteRef, wanted: Wanted) -> Page[CheckInOnFile]:
    """Newest day first."""
    need(athlete, "checkins")
    page = newest_first(CheckIn.objects.filter(athlete_id=athlete.id), "local_date", wanted)
    return turned(page, lambda row: on_file(CheckInOnFile, row, **_told(athlete, row)))


def _told(athlete: AthleteRef, row: CheckIn) -> dict[str, Any]:
    marks = tuple((site, mark) for site, mark in row.marks) if "damage" in athlete.shared else None
    return {"marks": marks, "red_flags": tuple(row.red_flags), "note": _note(athlete, row.note)}


def _note(athlete: AthleteRef, note: str) -> str | None:
    return note if "notes" in athlete.shared else None


def sessions(athlete: AthleteRef, wanted: Wanted) -> Page[SessionOnFile]:
    """Done and planned, newest day first."""
    need(athlete, "checkins")
    rows = Session.objects.filter(athlete_id=athlete.id).select_related("place")
    return turned(
        newest_first(rows, "local_date", wanted),
        lambda row: on_file(SessionOnFile, row, place_id=row.place.code if row.place else None),
    )


def care(athlete: AthleteRef, wanted: Wanted) -> Page[CareOnFile]:
    """Done, planned and skipped, newest day first; without `damage` neither sites nor care that tells of damage."""
    need(athlete, "checkins")
    rows = Care.objects.filter(athlete_id=athlete.id)
    open_to = "damage" in athlete.shared
    page = newest_first(rows if open_to else rows.exclude(verb__in=DAMAGE_VERBS), "local_date", wanted)
    return turned(
        page,
        lambda row: on_file(
            CareOnFile,
            row,
            sites=tuple(row.sites) if open_to else None,
            product_note=_note(athlete, row.product_note),
        ),
    )


def sightings(athlete: AthleteRef, wanted: Wanted) -> Page[SightingOnFile]:
    """What others saw, newest day first."""
    need(athlete, "damage")
    page = newest_first(Sighting.objects.filter(athlete_id=athlete.id), "local_date", wanted)
    return turned(
        page,
        lambda row: on_file(
            SightingOnFile, row, marks=tuple((s, m) for s, m in row.marks), note=_note(athlete, row.note)
        ),
    )


def signoffs(athlete: AthleteRef, wanted: Wanted) -> Page[SignoffOnFile]:
    """What was cleared for use, newest first."""
    need(athlete, "checkins")
    page = newest_first(Signoff.objects.filter(athlete_id=athlete.id), "given_on", wanted)
    return turned(page, lambda row: on_file(SignoffOnFile, row))
