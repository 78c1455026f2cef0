"""Frozen records out, a fixed number of queries whatever the number of athletes.

Whatever is an athlete's own takes the viewer first and asks the door; what is not shared raises NotFound. The
three look-ups by key at the end hold nothing that a class of data covers, and take keys that came through the
door.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from django.db.models import Count

from athletes.records.access import shared_classes
from athletes.records.errors import NotFound
from athletes.records.models import Athlete, CheckIn, Damage, Event, Look, Membership, Session, Squad
from athletes.records.viewer import Viewer


@dataclass(frozen=True)
class CheckInRecord:
    local_date: date
    made_at: datetime | None
    rating_step: int | None
    reserve: int | None
    dampness: int | None
    hardness: int | None
    sting: int | None
    pull_pain: int | None
    agent_used: bool | None
    marks: tuple[tuple[str, str], ...]
    red_flags: tuple[str, ...]
    seconds: float | None
    note: str


@dataclass(frozen=True)
class EpisodeRecord:
    """An episode not sound before the day: the last look before it, and the look of the day where there is
    one.
    """

    episode_id: str
    site: str
    kind: str
    depth: str | None
    noticed_on: date
    stage_before: str | None = None
    looked_before: date | None = None
    stage_today: str | None = None
    pain_today: int | None = None
    opens_today: bool | None = None


@dataclass(frozen=True)
class PlannedSession:
    ordinal: int | None
    surface: str | None
    minutes: float | None
    rpe: float | None
    hard_tries: int | None


@dataclass(frozen=True)
class SquadRecord:
    id: int
    code: str
    name: str
    club: str
    members: int


@dataclass(frozen=True)
class EventRecord:
    id: int
    code: str
    name: str
    kind: str
    first_day: date
    last_day: date
    timezone: str
    entry_deadline: datetime | None


def _shared(viewer: Viewer, athlete_id: int, data_class: str) -> frozenset[str]:
    shared = shared_classes(viewer, [athlete_id])[athlete_id]
    if data_class not in shared:
        raise NotFound
    return shared


def _checkin(row: Any, shared: frozenset[str]) -> CheckInRecord | None:
    if row is None:
        return None
    plain = {name: getattr(row, name) for name in CheckInRecord.__dataclass_fields__}
    plain["marks"] = tuple((site, mark) for site, mark in row.marks)
    plain["red_flags"] = tuple(row.red_flags)
    record = CheckInRecord(**plain)
    return record if "notes" in shared else replace(record, note="")


def checkin_of_day(viewer: Viewer, athlete_id: int, day: date) -> CheckInRecord | None:
    """The answers stored for the day; the note only where notes are shared."""
    shared = _shared(viewer, athlete_id, "checkins")
    return _checkin(CheckIn.objects.filter(athlete_id=athlete_id, local_date=day).first(), shared)


def last_checkin_before(viewer: Viewer, athlete_id: int, day: date) -> CheckInRecord | None:
    """The last answers given before the day."""
    shared = _shared(viewer, athlete_id, "checkins")
    rows = CheckIn.objects.filter(athlete_id=athlete_id, local_date__lt=day)
    return _checkin(rows.order_by("-local_date").first(), shared)


def open_episodes(viewer: Viewer, athlete_id: int, day: date) -> tuple[EpisodeRecord, ...]:
    """Episodes noticed by the day and not sound at the last look before it, oldest first."""
    _shared(viewer, athlete_id, "damage")
    damage = Damage.objects.filter(athlete_id=athlete_id, noticed_on__lte=day).order_by("noticed_on", "code")
    looks: dict[int, list[Look]] = {}
    for look in Look.objects.filter(damage__in=damage, local_date__lte=day).order_by("local_date", "id"):
        looks.setdefault(look.damage_id, []).append(look)
    found = (_episode(row, looks.get(row.id, []), day) for row in damage)
    return tuple(record for record in found if record.stage_before != "sound")


def _episode(row: Damage, looks: Sequence[Look], day: date) -> EpisodeRecord:
    before = next((look for look in reversed(looks) if look.local_date < day), None)
    today = next((look for look in reversed(looks) if look.local_date == day), None)
    record = EpisodeRecord(row.code, row.site, row.kind, row.depth or None, row.noticed_on)
    if before:
        record = replace(record, stage_before=before.stage, looked_before=before.local_date)
    if today:
        record = replace(
            record, stage_today=today.stage, pain_today=today.pain, opens_today=today.opens_on_pull
        )
    return record


def sessions_planned(viewer: Viewer, athlete_id: int, day: date) -> tuple[PlannedSession, ...]:
    """The sessions planned for the day, in their order."""
    _shared(viewer, athlete_id, "checkins")
    rows = Session.objects.filter(athlete_id=athlete_id, local_date=day, planned=True).order_by(
        "ordinal", "id"
    )
    columns = ("ordinal", "surface", "minutes", "rpe", "hard_tries")
    return tuple(PlannedSession(o, s or None, m, r, t) for o, s, m, r, t in rows.values_list(*columns))


def squads_of(viewer: Viewer) -> tuple[SquadRecord, ...]:
    """The squads in which the viewer holds a role, by name; every squad for the operator."""
    rows = Squad.objects.all()
    if not viewer.operator:
        rows = rows.filter(id__in=[g.squad_id for g in viewer.grants if g.squad_id is not None])
    counted = rows.annotate(n=Count("memberships")).order_by("name", "code")
    return tuple(SquadRecord(*row) for row in counted.values_list("id", "code", "name", "club__name", "n"))


def members(viewer: Viewer, squad_ids: Iterable[int]) -> dict[int, frozenset[int]]:
    """Keys of the members of those of the squads in which the viewer holds a role."""
    held = {g.squad_id for g in viewer.grants}
    wanted = [i for i in squad_ids if viewer.operator or i in held]
    found: dict[int, set[int]] = {i: set() for i in wanted}
    for squad_id, athlete_id in Membership.objects.filter(squad_id__in=wanted).values_list(
        "squad_id", "athlete_id"
    ):
        found[squad_id].add(athlete_id)
    return {squad_id: frozenset(ids) for squad_id, ids in found.items()}


def squads_by_athlete(athlete_ids: Iterable[int]) -> dict[int, tuple[int, ...]]:
    """Keys of the squads of each athlete."""
    found: dict[int, list[int]] = {}
    rows = Membership.objects.filter(athlete_id__in=list(athlete_ids)).order_by("athlete_id", "squad_id")
    for athlete_id, squad_id in rows.values_list("athlete_id", "squad_id"):
        found.setdefault(athlete_id, []).append(squad_id)
    return {athlete_id: tuple(ids) for athlete_id, ids in found.items()}


def zones_of(athlete_ids: Iterable[int]) -> dict[int, str]:
    """IANA time zone of each athlete."""
    return dict(Athlete.objects.filter(id__in=list(athlete_ids)).values_list("id", "timezone"))


def names(athlete_ids: Iterable[int]) -> dict[int, tuple[str, str]]:
    """(code, name) of each athlete."""
    rows = Athlete.objects.filter(id__in=list(athlete_ids)).values_list("id", "code", "name")
    return {athlete_id: (code, name) for athlete_id, code, name in rows}


def events(event_ids: Iterable[int]) -> dict[int, EventRecord]:
    """Events by key."""
    columns = ("id", "code", "name", "kind", "first_day", "last_day", "timezone", "entry_deadline")
    rows = Event.objects.filter(id__in=list(event_ids)).values_list(*columns)
    return {row[0]: EventRecord(*row) for row in rows}


def event_ids(codes: Iterable[str]) -> dict[str, int]:
    """Key of each event by its code."""
    return dict(Event.objects.filter(code__in=list(codes)).values_list("code", "id"))
