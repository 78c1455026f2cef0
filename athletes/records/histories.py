"""Facts of a batch of athletes as they were known on the evening of a day: one query a table, whatever the
batch.

Rows dated after that day are left out, but for what is planned: sessions, care, days away (illness never), events and
entries. The order of rows within a day never matters: they are put in the order of what they say.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import count, groupby
from typing import NamedTuple

from athletes.records import histories_rows as rows_of
from athletes.records.access import age_years
from athletes.records.histories_air import AirBook, air_book, mean_of
from athletes.records.histories_arrays import Arrays, arrays
from athletes.records.histories_rows import ByAthlete
from athletes.records.models import (
    Athlete,
    Entry,
    Session,
)
from coaching.rules.facts import (
    AthleteFacts,
    EntryFact,
    SessionFact,
    VenueAirFact,
)

__all__ = ["Arrays", "arrays", "facts"]

AIR_DAYS = 160
HOME_AIR_DAYS = 28
RECENT_EVENT_DAYS = 28
SURFACE_OF_ROCK = {
    "limestone": "fine rock",
    "sandstone": "ordinary rock",
    "gritstone": "ordinary rock",
    "granite": "sharp rock",
    "volcanic": "sharp rock",
}


class _SessionRow(NamedTuple):
    """A session as it is read; without a number of its own `ordinal` is 0."""

    day: date
    planned: bool
    minutes: float | None
    rpe: float | None
    surface: str | None
    hard_tries: int | None
    skin_limited: bool | None
    ordinal: int
    place_id: int | None


@dataclass(frozen=True)
class _PlacedEntry:
    fact: EntryFact
    place_id: int | None


def facts(athlete_ids: Sequence[int], as_of: date, *, announced: bool = True) -> dict[int, AthleteFacts]:
    """The facts of each athlete that is in the records, by key.

    A past evening is scored without `announced`: when days away were told of is not recorded.
    """
    ids = list(dict.fromkeys(athlete_ids))
    profiles = {row.id: _profile(row, as_of) for row in Athlete.objects.filter(id__in=ids)}
    sessions, entries = _sessions(ids, as_of), _entries(ids, as_of)
    book = _air(sessions, entries, as_of)
    tables = rows_of.tables(ids, as_of, announced=announced)
    found = {}
    for key in (key for key in ids if key in profiles):
        bare = replace(profiles[key], **{name: rows[key] for name, rows in tables.items() if key in rows})
        known = replace(
            bare,
            sessions=_with_air(sessions[key], book, bare.timezone),
            entries=_coming(entries[key], sessions[key], book, bare.timezone),
            other_event_days=_over(entries[key], as_of),
        )
        found[key] = replace(known, known_until=_known_until(known))
    return found


def _profile(row: Athlete, as_of: date) -> AthleteFacts:
    return AthleteFacts(
        athlete_id=row.code,
        age_years=age_years(row.birth_date, as_of),
        timezone=row.timezone,
        dominant_hand=row.dominant_hand or None,
        skin_kind=row.skin_kind or None,
        sensitivities=frozenset(row.sensitivities),
        contraindications=frozenset(row.contraindications),
    )


def _sessions(ids: Sequence[int], as_of: date) -> ByAthlete[_SessionRow]:
    columns = (
        "athlete_id",
        "local_date",
        "planned",
        "minutes",
        "rpe",
        "surface",
        "hard_tries",
        "skin_limited",
        "ordinal",
        "place_id",
        "place__kind",
        "place__rock",
    )
    found: ByAthlete[_SessionRow] = defaultdict(list)
    rows = Session.objects.filter(athlete_id__in=ids, local_date__gte=rows_of.since(as_of))
    for row in rows.exclude(planned=False, local_date__gt=as_of).values_list(*columns):
        key, day, planned, minutes, rpe, surface, tries, limited, ordinal, place, kind, rock = row
        climbed_on = surface or _surface_of(kind, rock)
        found[key].append(
            _SessionRow(day, planned, minutes, rpe, climbed_on, tries, limited, ordinal or 0, place)
        )
    return defaultdict(list, {key: _numbered(rows) for key, rows in found.items()})


def _surface_of(kind: str | None, rock: str | None) -> str | None:
    """The surface that a place stands for where nobody said; None where the place does not say either."""
    if rock and rock.lower() in SURFACE_OF_ROCK:
        return SURFACE_OF_ROCK[rock.lower()]
    return "plastic" if kind == "hall" else None


def _numbered(rows: list[_SessionRow]) -> list[_SessionRow]:
    """Give sessions without a number the next free ones of their day, in the order of what they say."""
    numbered: list[_SessionRow] = []
    for _, same in groupby(sorted(rows, key=_slot), key=_slot):
        group = list(same)
        if len(group) == 1:
            numbered.append(group[0] if group[0].ordinal else group[0]._replace(ordinal=1))
            continue
        group.sort(key=repr)
        taken = {row.ordinal for row in group}
        free = (n for n in count(1) if n not in taken)
        group = [row if row.ordinal else row._replace(ordinal=next(free)) for row in group]
        numbered += sorted(group, key=lambda row: row.ordinal)
    return numbered


def _slot(row: _SessionRow) -> tuple[date, bool]:
    return row.day, row.planned


def _with_air(rows: list[_SessionRow], book: AirBook, zone: str) -> tuple[SessionFact, ...]:
    placed = []
    for row in rows:
        air = book.day(row.place_id, zone, row.day)
        known = (air.temp_c, air.rh_pct) if air else (None, None)
        placed.append(SessionFact(*row[:-1], *known))
    return tuple(placed)


def _entries(ids: Sequence[int], as_of: date) -> ByAthlete[_PlacedEntry]:
    """Entries that stand, of events to come and of those lately over."""
    oldest = as_of - timedelta(days=RECENT_EVENT_DAYS)
    rows = Entry.objects.filter(athlete_id__in=ids, event__last_day__gte=oldest).exclude(status="withdrawn")
    found: ByAthlete[_PlacedEntry] = defaultdict(list)
    for row in rows.select_related("event__place"):
        found[row.athlete_id].append(_PlacedEntry(_entry(row), row.event.place_id))
    return found


def _entry(row: Entry) -> EntryFact:
    event, place = row.event, row.event.place
    rock = (place.rock or None) if place else None
    return EntryFact(
        event_id=event.code,
        event_name=event.name,
        kind=event.kind,
        first_day=event.first_day,
        last_day=event.last_day,
        timezone=event.timezone,
        surface=event.surface or _surface_of(place.kind if place else None, rock),
        styles=tuple(sorted(event.styles)),
        bar_frac=None if event.bar is None else event.bar / 100.0,
        entry_deadline=event.entry_deadline,
        priority=row.priority,
        needs_sites=tuple(sorted(row.needs_sites)),
        status=row.status or "entered",
        rock=rock,
    )


def _coming(
    entries: list[_PlacedEntry], sessions: list[_SessionRow], book: AirBook, zone: str
) -> tuple[EntryFact, ...]:
    """The entries of events not over on the day of the book, nearest first, with their air."""
    home = _home_dew_point_c(sessions, book, zone) if entries else None
    coming = [
        replace(row.fact, air=_venue_air(row, book, home))
        for row in entries
        if row.fact.last_day >= book.as_of
    ]
    return tuple(sorted(coming, key=lambda entry: (entry.first_day, entry.last_day, entry.event_id)))


def _over(entries: list[_PlacedEntry], as_of: date) -> tuple[tuple[date, date], ...]:
    over = ((row.fact.first_day, row.fact.last_day) for row in entries if row.fact.last_day < as_of)
    return tuple(sorted(over))


def _venue_air(entry: _PlacedEntry, book: AirBook, home_dew_point_c: float | None) -> VenueAirFact:
    fact = entry.fact
    air = book.span(entry.place_id, fact.timezone, fact.first_day, fact.last_day)
    if air is None:
        return VenueAirFact(home_dew_point_c=home_dew_point_c)
    return VenueAirFact(air.dew_point_c, home_dew_point_c, air.temp_c)


def _home_dew_point_c(sessions: list[_SessionRow], book: AirBook, zone: str) -> float | None:
    """Mean over the last 28 days at the places of the sessions done in them, counted once a session."""
    first = book.as_of - timedelta(days=HOME_AIR_DAYS - 1)
    done = (s for s in sessions if not s.planned and first <= s.day <= book.as_of)
    known = (book.span(s.place_id, zone, first, book.as_of) for s in done)
    mean = mean_of(m for m in known if m is not None)
    return None if mean is None else mean.dew_point_c


def _air(sessions: ByAthlete[_SessionRow], entries: ByAthlete[_PlacedEntry], as_of: date) -> AirBook:
    """Air of every place that a session or an event of the batch names."""
    first, last = as_of - timedelta(days=AIR_DAYS), as_of
    places: set[int | None] = set()
    for session in (row for rows in sessions.values() for row in rows if row.day >= first):
        places.add(session.place_id)
        last = max(last, session.day)
    for entry in (row for rows in entries.values() for row in rows):
        places.add(entry.place_id)
        last = max(last, entry.fact.last_day)
    return air_book((p for p in places if p is not None), as_of, first, last)


def _known_until(athlete: AthleteFacts) -> date | None:
    """The last day with an answer of the athlete's about the skin or a look at damage."""
    days = [checkin.day for checkin in athlete.checkins if checkin.says_skin]
    days += [s.day for s in athlete.sessions if not s.planned and s.skin_limited is not None]
    days += [look.day for episode in athlete.episodes for look in episode.looks]
    return max(days, default=None)
