"""Events with who is entered and their air: frozen records, a fixed number of queries whatever the number of
athletes. The door is asked inside; whoever shares no level is counted and never named.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
from django.db.models import Count, Q

from athletes.records.access import PURPOSE_OF_ROLE, AthleteRef, refs_visible
from athletes.records.histories_air import FIRST_HOUR, LAST_HOUR, AirBook, air_book, dew_point_c
from athletes.records.models import Entry, Session
from athletes.records.viewer import Viewer

HOME_DAYS = 28
LEVEL_ONLY = frozenset({"level"})


@dataclass(frozen=True)
class EventFacts:
    """An event with its place; `surface` is empty and `place` None where nobody said."""

    id: int
    code: str
    name: str
    kind: str
    first_day: date
    last_day: date
    timezone: str
    entry_deadline: datetime | None
    place_id: int | None
    place: str | None
    surface: str


@dataclass(frozen=True)
class Entered:
    """One athlete in one event: `status` is entered, stand-in or withdrawn."""

    athlete: AthleteRef
    status: str


@dataclass(frozen=True)
class EventEntries:
    event: EventFacts
    entries: tuple[Entered, ...]
    not_shared: int  # members entered who share no level with the viewer


@dataclass(frozen=True)
class HourAir:
    """Air of one hour at the place, in the event's zone; the dew point is worked out from the two others."""

    at: datetime
    temp_c: float
    humidity_pct: float
    dew_point_c: float
    forecast: bool


@dataclass(frozen=True)
class EventAir:
    """Hours of the event's days as known at one instant, and the mean dew point where its athletes trained most."""

    hours: tuple[HourAir, ...]
    forecast_of: datetime | None  # the newest forecast used
    home: str | None = None
    home_dew_point_c: float | None = None


EVENT_COLUMNS = tuple(
    f"event__{name}" for name in (
        "id", "code", "name", "kind", "first_day", "last_day", "timezone", "entry_deadline", "place_id",
        "place__name", "surface",
    )
)  # fmt: skip


def entered(viewer: Viewer, code: str | None = None) -> tuple[EventEntries, ...]:
    """Events in which somebody is entered who shares the level with the viewer, by first day; one event where a
    code is given. At most five queries. A manager is shown the level and nothing else.
    """
    visible = {ref.id: ref for ref in refs_visible(viewer, "level")}
    found: dict[EventFacts, dict[int, tuple[str, set[int]]]] = {}
    for *event, athlete_id, status, squad_id in _rows(viewer, code):
        athletes = found.setdefault(EventFacts(*event), {})
        athletes.setdefault(athlete_id, (status or "entered", set()))[1].add(squad_id)
    events = (_event(viewer, event, athletes, visible) for event, athletes in found.items())
    return tuple(one for one in events if one.entries)


def _rows(viewer: Viewer, code: str | None) -> Any:
    """One row for each squad through which the viewer's coaching roles reach an entry."""
    which = Q() if code is None else Q(event__code=code)
    if not viewer.operator:
        held = [g.squad_id for g in viewer.grants if g.role in PURPOSE_OF_ROLE and g.squad_id is not None]
        which &= Q(athlete__memberships__squad_id__in=held)
    rows = Entry.objects.filter(which).order_by(
        "event__first_day", "event__name", "event__code", "athlete__name"
    )
    return rows.values_list(*EVENT_COLUMNS, "athlete_id", "status", "athlete__memberships__squad_id")


def _event(
    viewer: Viewer,
    event: EventFacts,
    athletes: Mapping[int, tuple[str, set[int]]],
    visible: Mapping[int, AthleteRef],
) -> EventEntries:
    entries = tuple(
        Entered(_for_role(viewer, visible[athlete_id], squads), status)
        for athlete_id, (status, squads) in athletes.items()
        if athlete_id in visible
    )
    return EventEntries(event, entries, len(athletes) - len(entries))


def _for_role(viewer: Viewer, ref: AthleteRef, squads: set[int]) -> AthleteRef:
    roles = {g.role for g in viewer.grants if g.squad_id in squads and g.role in PURPOSE_OF_ROLE}
    return replace(ref, shared=ref.shared & LEVEL_ONLY) if roles == {"manager"} else ref


def event_air(event: EventFacts, athletes: Sequence[AthleteRef], now: datetime) -> EventAir:
    """The event's air by the hour, 8 to 20 o'clock, against the place where those of the athletes who share
    check-ins trained most in the last 28 days. Athletes have come through the door. Two queries at most.
    """
    sharing = [ref for ref in athletes if "checkins" in ref.shared]
    today = now.date()
    since = today - timedelta(days=HOME_DAYS - 1)
    home = _home(sharing, since, today)
    places = [place for place in (event.place_id, home[0] if home else None) if place is not None]
    book = air_book(places, today, min(since, event.first_day), max(today, event.last_day))
    air = _hours(book, event, now)
    if home is None:
        return air
    zone = Counter(ref.timezone for ref in sharing).most_common(1)[0][0]
    mean = book.span(home[0], zone, since, today)
    return replace(air, home=home[1], home_dew_point_c=mean.dew_point_c if mean else None)


def _home(athletes: Iterable[AthleteRef], first: date, last: date) -> tuple[int, str] | None:
    ids = [ref.id for ref in athletes]
    done = Session.objects.filter(
        athlete_id__in=ids, planned=False, local_date__range=(first, last), place__isnull=False
    )
    counted = done.values_list("place_id", "place__name").annotate(n=Count("id")).order_by("-n", "place_id")
    found = counted.first() if ids else None
    return (found[0], found[1]) if found else None


def _hours(book: AirBook, event: EventFacts, now: datetime) -> EventAir:
    """Of one hour what was observed counts, else the newest forecast known by now."""
    hours = book.hours.get(event.place_id) if event.place_id is not None else None
    if hours is None:
        return EventAir((), None)
    zone, cut = ZoneInfo(event.timezone), now.timestamp()
    best: dict[float, tuple[float, float, float]] = {}
    for starts, known, temp, humidity in zip(
        hours.starts_s, hours.known_s, hours.temp_c, hours.rh_pct, strict=True
    ):
        rank = np.inf if np.isnan(known) else known
        seen = starts <= cut if np.isnan(known) else known <= cut
        if (
            seen
            and _within(event, datetime.fromtimestamp(starts, zone))
            and rank > best.get(starts, (-np.inf,))[0]
        ):
            best[starts] = (rank, temp, humidity)
    shown = tuple(_hour(datetime.fromtimestamp(at, zone), *best[at]) for at in sorted(best))
    newest = max((rank for rank, _, _ in best.values() if np.isfinite(rank)), default=None)
    return EventAir(shown, datetime.fromtimestamp(newest, zone) if newest is not None else None)


def _within(event: EventFacts, at: datetime) -> bool:
    return event.first_day <= at.date() <= event.last_day and FIRST_HOUR <= at.hour <= LAST_HOUR


def _hour(at: datetime, rank: float, temp_c: float, humidity_pct: float) -> HourAir:
    dew = dew_point_c(np.array([temp_c]), np.array([humidity_pct]))[0]
    return HourAir(at, float(temp_c), float(humidity_pct), float(dew), bool(np.isfinite(rank)))
