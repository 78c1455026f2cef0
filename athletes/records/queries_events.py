"""Events with who is entered and their air: frozen records, a fixed number of queries whatever the number of
athletes. The door is asked inside; whoever shares no level is counted and never named.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
from django.db.models import Count, Q

from athletes.records.access import PURPOSE_OF_ROLE, AthleteRef, refs_visible
from athletes.records.histories_air import FIRST_HOUR, LAST_HOUR, AirBook, air_book, dew_point_c, humidity_pct
from athletes.records.histories_typical import LEAST_DAYS, REACH_DAYS, SERIES_DAYS
from athletes.records.models import Entry, Session
from athletes.records.queries_air import typical
from athletes.records.viewer import Viewer

HOME_DAYS = 28
TYPICAL_DAYS = 3
SERIES = "series"
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
    place_code: str | None = None
    altitude_m: float | None = None
    lat: float | None = None
    lon: float | None = None
    place_kind: str = ""
    face_deg: float | None = None
    skyline_deg: float | None = None


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
class HomeHour:
    """Mean air of an hour of the day where most of them trained, and its least and most dew point."""

    hour: int
    temp_c: float
    dew_point_c: float
    dew_low_c: float
    dew_high_c: float


@dataclass(frozen=True)
class OtherHome:
    """Where some of the athletes trained most, and not most of them."""

    name: str
    athletes: int
    dew_point_c: float


@dataclass(frozen=True)
class EventAir:
    """Hours of the event's days as known at one instant, and the mean dew point where its athletes trained most."""

    hours: tuple[HourAir, ...]
    forecast_of: datetime | None  # the newest forecast used
    home: str | None = None
    home_dew_point_c: float | None = None
    home_hours: tuple[HomeHour, ...] = ()
    home_altitude_m: float | None = None
    home_zone: str | None = None
    typical_of: str = ""  # where the hours are those of a typical year, and no forecast; SERIES: of its last weeks
    home_lat: float | None = None
    home_lon: float | None = None
    others: tuple[OtherHome, ...] = ()


EVENT_COLUMNS = tuple(
    f"event__{name}" for name in (
        "id", "code", "name", "kind", "first_day", "last_day", "timezone", "entry_deadline", "place_id",
        "place__name", "surface", "place__code", "place__altitude_m", "place__lat", "place__lon", "place__kind",
        "place__face_deg", "place__skyline_deg",
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
    check-ins trained most in the last 28 days. Athletes have come through the door. Three queries at most.
    """
    sharing = [ref for ref in athletes if "checkins" in ref.shared]
    today = now.date()
    since = today - timedelta(days=HOME_DAYS - 1)
    homes = _homes(sharing, since, today)
    home = homes[0] if homes else None
    places = [place for place in (event.place_id, *(one.id for one in homes)) if place is not None]
    book = air_book(places, today, min(since, event.first_day), max(today, event.last_day))
    air = _hours(book, event, now)
    if not air.hours and event.place_id is not None:
        air = _typical(event, book, now)
    if home is None:
        return air
    zone = Counter(ref.timezone for ref in sharing).most_common(1)[0][0]
    means = [(one, book.span(one.id, zone, since, today)) for one in homes]
    others = (OtherHome(one.name, one.athletes, m.dew_point_c) for one, m in means[1:] if m and one.athletes)
    mean = means[0][1]
    return replace(
        air, home=home.name, home_dew_point_c=mean.dew_point_c if mean else None, home_altitude_m=home.altitude_m,
        home_hours=_home_hours(book, home.id, zone, now), home_zone=zone, home_lat=home.lat, home_lon=home.lon,
        others=tuple(others),
    )  # fmt: skip


def _typical(event: EventFacts, book: AirBook, now: datetime) -> EventAir:
    """The first days of an event for which nothing is known yet, from a typical year (one query), else from the last
    weeks of the place where they are not of another season.
    """
    place, zone = event.place_id or 0, ZoneInfo(event.timezone)
    found = typical(place, sorted({event.first_day.month, event.last_day.month}))
    shown = []
    if not found:
        days = book.days(place, event.timezone)
        lately = [d for d in days if 0 <= now.date().toordinal() - d < SERIES_DAYS]
        if len(lately) < LEAST_DAYS or (event.first_day - now.date()).days > REACH_DAYS:
            return EventAir((), None)
        hours = _home_hours(book, place, event.timezone, now)
        at = [datetime.combine(event.first_day, time(one.hour), zone) for one in hours]
        shown = [
            HourAir(when, h.temp_c, humidity_pct(h.temp_c, min(h.dew_point_c, h.temp_c)), h.dew_point_c, True)
            for when, h in zip(at, hours, strict=True)
        ]
        return EventAir(tuple(shown), None, typical_of=SERIES if shown else "")
    for n in range(min((event.last_day - event.first_day).days + 1, TYPICAL_DAYS)):
        for hour in range(FIRST_HOUR, LAST_HOUR + 1):
            at = datetime.combine(event.first_day + timedelta(days=n), time(hour), zone)
            utc = at.astimezone(UTC)
            one = found.get((utc.month, utc.hour))
            if one is not None:
                temp, dew = one.temp_c[1], min(one.dew_c[1], one.temp_c[1])
                shown.append(HourAir(at, temp, humidity_pct(temp, dew), dew, True))
    source = next((one.source for one in found.values()), "")
    return EventAir(tuple(shown), None, typical_of=source if shown else "")


def _home_hours(book: AirBook, place_id: int, zone: str, now: datetime) -> tuple[HomeHour, ...]:
    """By hour of the day over the days that were read; what was measured only."""
    hours = book.hours.get(place_id)
    if hours is None:
        return ()
    since = now.timestamp() - HOME_DAYS * 86_400.0
    seen = np.isnan(hours.known_s) & (hours.starts_s <= now.timestamp()) & (hours.starts_s >= since)
    at = np.array([datetime.fromtimestamp(s, ZoneInfo(zone)).hour for s in hours.starts_s[seen]], dtype=np.int64)
    temp, dew = hours.temp_c[seen], dew_point_c(hours.temp_c[seen], hours.rh_pct[seen])
    return tuple(
        HomeHour(h, *(float(v) for v in (temp[at == h].mean(), dew[at == h].mean(), dew[at == h].min(),
                                         dew[at == h].max())))
        for h in sorted(set(at.tolist())) if FIRST_HOUR <= h <= LAST_HOUR
    )  # fmt: skip


@dataclass(frozen=True)
class _Home:
    """A place where the athletes trained, and of how many of them it is the first."""

    id: int
    name: str
    altitude_m: float | None
    lat: float | None
    lon: float | None
    athletes: int


def _homes(athletes: Iterable[AthleteRef], first: date, last: date) -> list[_Home]:
    """That of most sessions first, then those where single athletes trained most: one query."""
    ids = [ref.id for ref in athletes]
    if not ids:
        return []
    done = Session.objects.filter(
        athlete_id__in=ids, planned=False, local_date__range=(first, last), place__isnull=False
    )
    columns = ("athlete_id", "place_id", "place__name", "place__altitude_m", "place__lat", "place__lon")
    rows = list(done.values_list(*columns).annotate(n=Count("id")).order_by("-n", "place_id"))
    sessions, firsts = Counter[int](), dict[int, int]()
    for row in rows:
        sessions[row[1]] += row[-1]
        firsts.setdefault(row[0], row[1])
    own = Counter(firsts.values())
    ranked = sorted(sessions, key=lambda place: (-sessions[place], place))
    about = {row[1]: row[2:6] for row in rows}
    return [_Home(place, *about[place], own[place]) for place in ranked if own[place] or place == ranked[0]]


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
