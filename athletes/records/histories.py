"""Facts of a batch of athletes as they were known on the evening of a day: one query a table, whatever the batch.

Rows dated after that day are left out, but for what is planned: sessions, care, days away (illness never), events and
entries. The order of rows within a day never matters: they are put in the order of what they say.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import count, groupby
from operator import attrgetter
from typing import Any, NamedTuple

from athletes.records import histories_raw as raw_rows
from athletes.records import histories_rows as rows_of
from athletes.records import queries_rules
from athletes.records.access import age_years
from athletes.records.histories_air import AirBook, air_book, mean_of
from athletes.records.histories_arrays import Arrays, arrays
from athletes.records.histories_raw import Tables
from athletes.records.histories_tried import tried, with_trials
from athletes.records.histories_typical import TypicalBook, typical_book
from athletes.records.models import Athlete, Entry, Place
from coaching.rules.facts import (
    AthleteFacts,
    EntryFact,
    SessionFact,
    VenueAirFact,
)

__all__ = ["Arrays", "Tables", "arrays", "facts", "pack", "read"]

AIR_DAYS = 210
"""More than the models look back: air that fell out of sight day by day would change their past every night."""
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


SLOT = attrgetter("day", "planned")


@dataclass(frozen=True)
class _PlacedEntry:
    fact: EntryFact
    place_id: int | None


def read(athlete_ids: Iterable[int], as_of: date, packed: Mapping[int, bytes] | None = None) -> dict[int, Tables]:
    """Rows behind the facts of an evening; those packed are not read again where they reach back far enough."""
    return raw_rows.known(dict.fromkeys(athlete_ids), packed or {}, raw_rows.since(as_of))


def pack(tables: Tables, as_of: date) -> bytes:
    """Rows read for an evening as bytes, to be handed to `read` on a later one while no fact has changed."""
    return raw_rows.pack(tables, raw_rows.since(as_of))


def facts(
    athlete_ids: Sequence[int],
    as_of: date,
    *,
    announced: bool = True,
    tables: Mapping[int, Tables] | None = None,
) -> dict[int, AthleteFacts]:
    """The facts of each athlete that is in the records, by key.

    A past evening is scored without `announced`: when days away were told of is not recorded. `tables` are the rows
    behind them where they are at hand; who the athletes are, their entries, places and air are always read.
    """
    ids = list(dict.fromkeys(athlete_ids))
    raw = read(ids, as_of) if tables is None else tables
    people = list(with_trials(Athlete.objects.filter(id__in=ids)))
    profiles, over = {row.id: _profile(row, as_of) for row in people}, tried(people, as_of)
    sessions, entries = _sessions({key: raw[key] for key in ids}, as_of), _entries(ids, as_of)
    air, overruled = _air(sessions, entries, as_of), queries_rules.overruled(ids, as_of)
    found = {}
    for key in (key for key in ids if key in profiles):
        profile, rows = profiles[key], sessions[key]
        known = replace(
            profile,
            **rows_of.tables(raw[key], as_of, announced=announced),
            sessions=_with_air(rows, air, profile.timezone),
            entries=_coming(entries[key], rows, air, profile.timezone),
            other_event_days=_over(entries[key], as_of),
            overruled=tuple(overruled.get(key, ())),
            tried=over.get(key, ()),
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


def _sessions(raw: Mapping[int, Tables], as_of: date) -> dict[int, list[_SessionRow]]:
    """Sessions of each athlete, those done after the day left out; their places are read anew."""
    today, oldest = as_of.isoformat(), raw_rows.since(as_of).isoformat()
    rows = {
        key: [row for row in one["sessions"] if oldest <= row[0] and (row[1] or row[0] <= today)]
        for key, one in raw.items()
    }
    ids = {row[-1] for own in rows.values() for row in own} - {None}
    places = Place.objects.filter(id__in=ids).values_list("id", "kind", "rock") if ids else ()
    stands_for = {place: _surface_of(kind, rock) for place, kind, rock in places}
    return {key: _numbered([_session(row, stands_for) for row in own]) for key, own in rows.items()}


def _session(row: Sequence[Any], stands_for: Mapping[int, str | None]) -> _SessionRow:
    on, planned, minutes, rpe, surface, tries, limited, ordinal, place = row
    climbed_on = surface or stands_for.get(place)
    return _SessionRow(rows_of.day(on), planned, minutes, rpe, climbed_on, tries, limited, ordinal or 0, place)


def _surface_of(kind: str | None, rock: str | None) -> str | None:
    """The surface that a place stands for where nobody said; None where the place does not say either."""
    if rock and rock.lower() in SURFACE_OF_ROCK:
        return SURFACE_OF_ROCK[rock.lower()]
    return "plastic" if kind == "hall" else None


def _numbered(rows: list[_SessionRow]) -> list[_SessionRow]:
    """Give sessions without a number the next free ones of their day, in the order of what they say."""
    numbered: list[_SessionRow] = []
    for _, same in groupby(sorted(rows, key=SLOT), key=SLOT):
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


def _with_air(rows: list[_SessionRow], typical: TypicalBook, zone: str) -> tuple[SessionFact, ...]:
    """Sessions with the air of their day: what was known of it, else for days to come what is typical."""
    by_place = {place: typical.book.days(place, zone) for place in {row.place_id for row in rows}}
    make = rows_of.maker(SessionFact)
    placed = []
    for row in rows:
        air = by_place[row.place_id].get(row.day.toordinal()) or typical.day(row.place_id, zone, row.day)
        placed.append(make((*row[:-1], air.temp_c, air.rh_pct) if air else (*row[:-1], None, None)))
    return tuple(placed)


def _entries(ids: Sequence[int], as_of: date) -> dict[int, list[_PlacedEntry]]:
    """Entries that stand, of events to come and of those lately over."""
    oldest = as_of - timedelta(days=RECENT_EVENT_DAYS)
    rows = Entry.objects.filter(athlete_id__in=ids, event__last_day__gte=oldest).exclude(status="withdrawn")
    found: dict[int, list[_PlacedEntry]] = defaultdict(list)
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
    entries: list[_PlacedEntry], sessions: list[_SessionRow], air: TypicalBook, zone: str
) -> tuple[EntryFact, ...]:
    """The entries of events not over on the day of the book, nearest first, with their air."""
    home = _home_dew_point_c(sessions, air.book, zone) if entries else None
    ahead = [row for row in entries if row.fact.last_day >= air.book.as_of]
    coming = [replace(row.fact, air=_venue_air(row, air, home)) for row in ahead]
    return tuple(sorted(coming, key=lambda entry: (entry.first_day, entry.last_day, entry.event_id)))


def _over(entries: list[_PlacedEntry], as_of: date) -> tuple[tuple[date, date], ...]:
    over = ((row.fact.first_day, row.fact.last_day) for row in entries if row.fact.last_day < as_of)
    return tuple(sorted(over))


def _venue_air(entry: _PlacedEntry, air: TypicalBook, home_dew_point_c: float | None) -> VenueAirFact:
    fact = entry.fact
    span = (entry.place_id, fact.timezone, fact.first_day, fact.last_day)
    known = air.book.span(*span)
    there = known or air.span(*span)
    if there is None:
        return VenueAirFact(home_dew_point_c=home_dew_point_c)
    return VenueAirFact(there.dew_point_c, home_dew_point_c, there.temp_c, typical=known is None)


def _home_dew_point_c(sessions: list[_SessionRow], book: AirBook, zone: str) -> float | None:
    """Mean over the last 28 days at the places of the sessions done in them, counted once a session."""
    first = book.as_of - timedelta(days=HOME_AIR_DAYS - 1)
    done = [s.place_id for s in sessions if not s.planned and first <= s.day <= book.as_of]
    at = {place: book.span(place, zone, first, book.as_of) for place in set(done)}
    mean = mean_of(m for m in (at[place] for place in done) if m is not None)
    return None if mean is None else mean.dew_point_c


def _air(
    sessions: Mapping[int, list[_SessionRow]], entries: Mapping[int, list[_PlacedEntry]], as_of: date
) -> TypicalBook:
    """Air of every place that a session or an event of the batch names."""
    first, last = as_of - timedelta(days=AIR_DAYS), as_of
    places: set[int | None] = set()
    for session in (row for rows in sessions.values() for row in rows if row.day >= first):
        places.add(session.place_id)
        last = max(last, session.day)
    for entry in (row for rows in entries.values() for row in rows):
        places.add(entry.place_id)
        last = max(last, entry.fact.last_day)
    ids = [place for place in places if place is not None]
    return typical_book(air_book(ids, as_of, first, last), ids)


def _known_until(athlete: AthleteFacts) -> date | None:
    """The last day with an answer of the athlete's about the skin or a look at damage."""
    days = [checkin.day for checkin in athlete.checkins if checkin.says_skin]
    days += [s.day for s in athlete.sessions if not s.planned and s.skin_limited is not None]
    days += [look.day for episode in athlete.episodes for look in episode.looks]
    return max(days, default=None)
