"""A season on one page: events, trips, courses of care, rock and rest by athlete, and what stands in its own way."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Protocol, TypeVar

from athletes.records import access, queries_season
from athletes.records.access import AthleteRef
from athletes.records.errors import NotFound
from athletes.records.queries_season import AwayDays, CareDay, EntrySpan, SessionDay
from athletes.records.viewer import Viewer
from coaching.rules import season as rules
from coaching.rules.rulebook import Rulebook
from coaching.rules.season import AwaySpan, CarePlanned, Clash, EventSpan
from coaching.usecases import reading, rulebooks
from coaching.usecases.morning_list import COACHING

WEEKS = 26
BEHIND_WEEKS = 2
SHARP = "sharp rock"
ROCK = frozenset({"fine rock", "ordinary rock", SHARP})
GAP_DAYS = 7
"""Planned days of one form further apart than this are two courses."""
REST_DAYS = 7
"""That long without a planned session between two planned ones is a block of rest."""


@dataclass(frozen=True)
class SeasonRow:
    """One athlete's season; all but events is empty where check-ins are not shared."""

    athlete: AthleteRef
    events: tuple[EntrySpan, ...]
    away: tuple[AwayDays, ...]
    courses: tuple[CarePlanned, ...]
    rock: tuple[SessionDay, ...]
    rest: tuple[tuple[date, date], ...]
    clashes: tuple[Clash, ...]


@dataclass(frozen=True)
class SeasonPage:
    """Weeks from `first`, on which the viewer's weeks begin, to `last`; rows by name; each event once, by day."""

    today: date
    first: date
    last: date
    rows: tuple[SeasonRow, ...]
    events: tuple[EntrySpan, ...]


def season_page(viewer: Viewer, start: date | None = None) -> SeasonPage:
    """Half a year, from two weeks ago unless told otherwise. Raises NotFound without a coaching role."""
    if not viewer.roles() & COACHING:
        raise NotFound
    begin = start or viewer.today - timedelta(weeks=BEHIND_WEEKS)
    first = reading.week_of(begin, reading.first_weekday(viewer))
    last = first + timedelta(weeks=WEEKS) - timedelta(days=1)
    refs = access.refs_visible(viewer, "level")
    entries = queries_season.entry_spans([ref.id for ref in refs], first, last)
    return SeasonPage(viewer.today, first, last, tuple(_rows(viewer, refs, entries, first, last)), _once(entries))


def _rows(
    viewer: Viewer, refs: Sequence[AthleteRef], entries: Iterable[EntrySpan], first: date, last: date
) -> Iterable[SeasonRow]:
    sharing = [ref.id for ref in refs if "checkins" in ref.shared and viewer.roles() != {"manager"}]
    events, away = _by_athlete(entries), _by_athlete(queries_season.away_days(sharing, first, last))
    care = _by_athlete(queries_season.courses(sharing, first, last))
    done = queries_season.forms_done(sharing, last) if care else frozenset()
    sessions = _by_athlete(queries_season.session_days(sharing, first, last))
    books = rulebooks.books_for([ref.id for ref in refs], viewer.today)
    for ref in refs:
        runs = _courses(care[ref.id], done)
        mine = sessions[ref.id]
        yield SeasonRow(
            ref, events[ref.id], away[ref.id], runs, tuple(one for one in mine if one.surface in ROCK),
            tuple(_rest(sorted({one.day for one in mine}), events[ref.id])),
            _clashes(events[ref.id], away[ref.id], runs, mine, books[ref.id]),
        )  # fmt: skip


class _OfAthlete(Protocol):
    @property
    def athlete_id(self) -> int: ...


Found = TypeVar("Found", bound=_OfAthlete)


def _by_athlete(rows: Iterable[Found]) -> dict[int, tuple[Found, ...]]:
    found: dict[int, tuple[Found, ...]] = defaultdict(tuple)
    for row in rows:
        found[row.athlete_id] += (row,)
    return found


def _once(entries: Iterable[EntrySpan]) -> tuple[EntrySpan, ...]:
    return tuple({one.code: one for one in entries}.values())


def _courses(days: Sequence[CareDay], done: frozenset[tuple[int, str]]) -> tuple[CarePlanned, ...]:
    """Runs of one form without a long gap; the days come by form and day."""
    found: list[CarePlanned] = []
    for one in days:
        last = found[-1] if found else None
        if last and last.form == one.form and (one.day - last.last).days <= GAP_DAYS:
            found[-1] = CarePlanned(last.verb, last.form, last.first, one.day, last.known)
        else:
            found.append(CarePlanned(one.verb, one.form, one.day, one.day, (one.athlete_id, one.form) in done))
    return tuple(found)


def _rest(days: Sequence[date], events: Iterable[EntrySpan]) -> Iterable[tuple[date, date]]:
    """Gaps between planned sessions and days of events, where they are long enough to be meant."""
    taken = {*days}
    for event in events:
        taken |= {event.first_day + timedelta(days=n) for n in range((event.last_day - event.first_day).days + 1)}
    ordered = sorted(taken)
    for before, after in pairwise(ordered):
        if (after - before).days > REST_DAYS:
            yield before + timedelta(days=1), after - timedelta(days=1)


def _clashes(
    events: Iterable[EntrySpan], away: Iterable[AwayDays], runs: tuple[CarePlanned, ...],
    sessions: Iterable[SessionDay], book: Rulebook,
) -> tuple[Clash, ...]:  # fmt: skip
    return rules.clashes(
        tuple(EventSpan(one.code, one.name, one.first_day, one.last_day) for one in events),
        tuple(AwaySpan(one.kind, one.first_day, one.last_day) for one in away),
        runs,
        tuple(sorted({one.day for one in sessions if one.surface == SHARP})),
        book,
    )
