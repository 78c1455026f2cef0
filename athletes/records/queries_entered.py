"""Events and who is entered, for those who may see somebody's level; and the decisions that coaches answered."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from athletes.records import row_scope
from athletes.records.access import AthleteRef, shared_classes
from athletes.records.access_writing import COACHES, only
from athletes.records.errors import NotFound
from athletes.records.models import Decision, Entry, Event, Membership
from athletes.records.paging import Page, Wanted, in_order, newest_first, turned
from athletes.records.queries_days import on_file
from athletes.records.viewer import Viewer


@dataclass(frozen=True)
class EventOnFile:
    id: int
    version: int
    event_id: str
    name: str
    kind: str
    first_day: date
    last_day: date
    timezone: str
    place_id: str | None
    surface: str | None
    styles: tuple[str, ...]
    bar: float | None
    entry_deadline: datetime | None


@dataclass(frozen=True)
class EntryOnFile:
    id: int
    version: int
    event_id: str
    athlete_id: str
    priority: int | None
    needs_sites: tuple[str, ...] | None
    status: str | None


@dataclass(frozen=True)
class DecisionOnFile:
    id: int
    event_id: str
    kind: str
    site: str | None
    answer: str
    why: str | None
    made_at: datetime


def events(athletes: Sequence[AthleteRef], wanted: Wanted) -> Page[EventOnFile]:
    """Events in which one of the athletes is entered, by first day. One query."""
    entered = Entry.objects.filter(athlete_id__in=[ref.id for ref in athletes]).values("event_id")
    rows = Event.objects.filter(id__in=entered).select_related("place")
    return turned(in_order(rows, lambda row: (row.first_day, row.code), wanted), _event)


def event(athletes: Sequence[AthleteRef], code: str) -> EventOnFile:
    """The event, where one of the athletes is entered. Raises NotFound. One query."""
    entered = Entry.objects.filter(athlete_id__in=[ref.id for ref in athletes]).values("event_id")
    row = Event.objects.filter(code=code, id__in=entered).select_related("place").first()
    if row is None:
        raise NotFound
    return _event(row)


def _event(row: Event) -> EventOnFile:
    place = row.place.code if row.place else None
    return on_file(EventOnFile, row, event_id=row.code, place_id=place, styles=tuple(row.styles))


def entries(athletes: Sequence[AthleteRef], event_code: str, wanted: Wanted) -> Page[EntryOnFile]:
    """Those of the athletes who are entered, by code. One query."""
    by_id = {ref.id: ref for ref in athletes}
    rows = Entry.objects.filter(event__code=event_code, athlete_id__in=list(by_id))
    page = in_order(rows, lambda row: (by_id[row.athlete_id].code,), wanted)
    return turned(page, lambda row: _entry(row, event_code, by_id[row.athlete_id]))


def entry(athlete: AthleteRef, event_code: str) -> EntryOnFile:
    """The athlete's entry. Raises NotFound. One query."""
    row = Entry.objects.filter(event__code=event_code, athlete_id=athlete.id).first()
    if row is None:
        raise NotFound
    return _entry(row, event_code, athlete)


def _entry(row: Entry, event_code: str, athlete: AthleteRef) -> EntryOnFile:
    sites = tuple(row.needs_sites) if "damage" in athlete.shared else None
    return on_file(EntryOnFile, row, event_id=event_code, athlete_id=athlete.code, needs_sites=sites)


def event_to_change(viewer: Viewer, code: str) -> EventOnFile:
    """The event, where the viewer coaches everybody who is entered and one of them shares a level with that role.

    A bar holds for all who are entered; a coach of one squad does not set it for another's. Raises NotFound.
    """
    row = Event.objects.filter(code=code).select_related("place").first()
    if row is None:
        raise NotFound
    coach = only(viewer, COACHES)
    entered = entrants(row.id)
    squads = [grant.squad_id for grant in coach.grants]
    coached = set(
        Membership.objects.filter(squad_id__in=squads, athlete_id__in=entered).values_list("athlete_id", flat=True)
    )
    shared = shared_classes(coach, entered)
    if not coached.issuperset(entered) or not any("level" in classes for classes in shared.values()):
        raise NotFound
    return _event(row)


def entrants(event_id: int) -> list[int]:
    """Keys of all athletes entered in an event that came through the door, of other squads too: what is asked of all
    of them must not be answered by those alone whom the viewer sees.
    """
    with row_scope.everybody():
        return list(Entry.objects.filter(event_id=event_id).values_list("athlete_id", flat=True))


def decisions(
    athlete: AthleteRef, only_kinds: frozenset[str] | None, but_kinds: frozenset[str], wanted: Wanted
) -> Page[DecisionOnFile]:
    """Answers to decisions of these kinds (None: every kind) but those, newest first; why, where notes are shared."""
    rows = Decision.objects.filter(athlete_id=athlete.id).exclude(kind__in=but_kinds).select_related("event")
    if only_kinds is not None:
        rows = rows.filter(kind__in=only_kinds)
    return turned(newest_first(rows, "made_at", wanted), lambda row: _decision(athlete, row))


@dataclass(frozen=True)
class Answered:
    """What a coach answered, and the facts it was about as they then stood."""

    event_id: str
    kind: str
    site: str
    about: str
    answer: str
    made_at: datetime


def answered(athletes: Sequence[AthleteRef]) -> dict[int, list[Answered]]:
    """What coaches have answered of each athlete. One query."""
    rows = Decision.objects.filter(athlete_id__in=[ref.id for ref in athletes])
    found: dict[int, list[Answered]] = {ref.id: [] for ref in athletes}
    names = ("athlete_id", "event__code", "kind", "site", "about", "answer", "made_at")
    for athlete_id, *values in rows.values_list(*names):
        found[athlete_id].append(Answered(*values))
    return found


def _decision(athlete: AthleteRef, row: Decision) -> DecisionOnFile:
    cut: dict[str, Any] = {"event_id": row.event.code, "why": row.why if "notes" in athlete.shared else None}
    if "damage" not in athlete.shared:
        cut["site"] = None
    return on_file(DecisionOnFile, row, **cut)
