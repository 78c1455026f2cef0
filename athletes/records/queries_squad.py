"""Who belongs to the squads that a viewer runs: the roster, and entries and planned sessions by athlete.

A roster is no health data: whoever runs a squad sees who is in it, and of each what is shared with them. What is
planned is read only of those who share their check-ins.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from athletes.records import by_name
from athletes.records.access import shared_classes
from athletes.records.access_writing import COACHES, only
from athletes.records.errors import NotFound
from athletes.records.models import Athlete, Away, Entry, Event, Membership, Place, Role, Session, Squad
from athletes.records.viewer import Viewer

OF_SKIN = "checkins"
"""The class of data under which the kind of skin is shared: it is what their own answers begin from."""


@dataclass(frozen=True)
class SquadRun:
    """`sample`: the people in it are invented."""

    id: int
    code: str
    name: str
    sample: bool = False


@dataclass(frozen=True)
class Member:
    """One of the roster; `shared` are the classes shared with the viewer as a coach, `has_login` whether anybody
    answers in this athlete's name: themselves or a guardian. The kind of skin is empty where it is not known, or not
    shared.
    """

    id: int
    code: str
    name: str
    birth_date: date | None
    timezone: str
    dominant_hand: str
    skin_kind: str
    shared: frozenset[str]
    has_login: bool


@dataclass(frozen=True)
class Entrant:
    id: int
    athlete_id: int
    status: str
    priority: int | None
    version: int
    needs_sites: tuple[str, ...] = ()


@dataclass(frozen=True)
class DayPlanned:
    """All that is planned for one athlete on one day; None where a session is planned and its minutes are not."""

    minutes: float | None
    sessions: int


def squads_run(viewer: Viewer, roles: frozenset[str] = COACHES) -> tuple[SquadRun, ...]:
    """Squads in which the viewer holds one of the roles, by name: one query."""
    held = [grant.squad_id for grant in viewer.grants if grant.role in roles and grant.squad_id is not None]
    rows = Squad.objects.filter(id__in=held).order_by("name", "code").values_list("id", "code", "name", "sample")
    return tuple(SquadRun(*row) for row in rows)


def squad_run(viewer: Viewer, code: str, roles: frozenset[str] = COACHES) -> SquadRun:
    """One of them: one query. Raises NotFound."""
    for squad in squads_run(viewer, roles):
        if squad.code == code:
            return squad
    raise NotFound


def roster(viewer: Viewer, squads: Iterable[SquadRun]) -> tuple[Member, ...]:
    """Everybody in these squads, each once, by name: at most four queries."""
    ids = [squad.id for squad in squads]
    members = Membership.objects.filter(squad_id__in=ids).values("athlete_id")
    rows = sorted(Athlete.objects.filter(id__in=members), key=lambda row: by_name.key(row.name, row.code))
    shared = shared_classes(only(viewer, COACHES), [row.id for row in rows])
    with_login = set(
        Role.objects.filter(
            athlete_id__in=[row.id for row in rows], role__in=("athlete", "guardian"), person__account__is_active=True
        ).values_list("athlete_id", flat=True)
    )
    return tuple(
        Member(
            row.id, row.code, row.name, row.birth_date, row.timezone, row.dominant_hand,
            row.skin_kind if OF_SKIN in shared[row.id] else "", shared[row.id], row.id in with_login,
        )
        for row in rows
    )  # fmt: skip


def member(viewer: Viewer, code: str, roles: frozenset[str] = COACHES) -> Member:
    """One of the roster. Raises NotFound."""
    for one in roster(viewer, squads_run(viewer, roles)):
        if one.code == code:
            return one
    raise NotFound


def event_of_squads(squads: Sequence[SquadRun], code: str) -> Event:
    """An event in which somebody of these squads is entered, whatever they share. Raises NotFound. One query."""
    rows = Event.objects.filter(code=code, entries__athlete__memberships__squad_id__in=[one.id for one in squads])
    found = rows.select_related("place").distinct().first()
    if found is None:
        raise NotFound
    return found


def anybody_in(squads: Sequence[SquadRun]) -> bool:
    """Somebody is in one of these squads: one query."""
    return Membership.objects.filter(squad_id__in=[one.id for one in squads]).exists()


def in_event(squads: Sequence[SquadRun], event_id: int) -> bool:
    """Whether somebody of these squads is entered: one query."""
    return Entry.objects.filter(
        event_id=event_id, athlete__memberships__squad_id__in=[one.id for one in squads]
    ).exists()


def unseen_events(squads: Sequence[SquadRun], seen: Iterable[str], today: date) -> tuple[tuple[str, str, date], ...]:
    """(code, name, first day) of events to come in which only such are entered as share nothing: one query."""
    rows = Event.objects.filter(
        entries__athlete__memberships__squad_id__in=[one.id for one in squads], last_day__gte=today
    ).exclude(code__in=list(seen))
    return tuple(rows.distinct().order_by("first_day", "code").values_list("code", "name", "first_day"))


def entrants(event_id: int, athlete_ids: Iterable[int]) -> dict[int, Entrant]:
    """Entries in the event, by athlete: one query."""
    rows = Entry.objects.filter(event_id=event_id, athlete_id__in=list(athlete_ids))
    found = rows.values_list("id", "athlete_id", "status", "priority", "version", "needs_sites")
    return {row[1]: Entrant(*row[:2], row[2] or "entered", *row[3:5], tuple(row[5])) for row in found}


def planned(athlete_ids: Iterable[int], first: date, last: date) -> dict[tuple[int, date], DayPlanned]:
    """What is planned from `first` to `last`, by athlete and day: one query. Athletes have come through the door."""
    rows = Session.objects.filter(
        athlete_id__in=list(athlete_ids), planned=True, local_date__range=(first, last)
    ).values_list("athlete_id", "local_date", "minutes")
    found: dict[tuple[int, date], DayPlanned] = {}
    for athlete_id, day, minutes in rows:
        before = found.get((athlete_id, day), DayPlanned(0.0, 0))
        total = None if minutes is None or before.minutes is None else before.minutes + minutes
        found[athlete_id, day] = DayPlanned(total, before.sessions + 1)
    return found


def taken_days(athlete_ids: Sequence[int], first: date, last: date) -> dict[tuple[int, date], str]:
    """Days of events (`event`) and away days (their kind) from `first` to `last`, by athlete: two queries."""
    spans = [
        (athlete, max(start, first), min(end, last), kind)
        for athlete, start, end, kind in Away.objects.filter(
            athlete_id__in=list(athlete_ids), first_day__lte=last, last_day__gte=first
        ).values_list("athlete_id", "first_day", "last_day", "kind")
    ]
    entered = Entry.objects.filter(
        athlete_id__in=list(athlete_ids), event__first_day__lte=last, event__last_day__gte=first
    ).exclude(status="withdrawn")
    spans += [
        (athlete, max(start, first), min(end, last), "event")
        for athlete, start, end in entered.values_list("athlete_id", "event__first_day", "event__last_day")
    ]
    return {
        (athlete, date.fromordinal(n)): kind
        for athlete, start, end, kind in spans
        for n in range(start.toordinal(), end.toordinal() + 1)
    }


def place_id(code: str) -> int | None:
    """The key of a place, None where there is none: one query."""
    return Place.objects.filter(code=code).values_list("id", flat=True).first()
