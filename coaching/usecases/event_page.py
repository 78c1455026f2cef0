"""One event with everybody entered, as far as it is shared with the viewer, and the list of events."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

from athletes.records import by_name, queries_events
from athletes.records.errors import NotFound
from athletes.records.queries_events import Entered, EventEntries, EventFacts
from athletes.records.viewer import Viewer
from coaching.usecases import clock
from coaching.usecases.morning_list import COACHING, ORDER
from coaching.usecases.showing import show
from coaching.usecases.shown import AthleteShown, EventShown
from coaching.usecases.shown_air import units_of
from coaching.usecases.shown_event import EntryRow, EventLine, EventPage, EventsList
from coaching.usecases.two_airs import two_airs


def event_page(viewer: Viewer, event_code: str) -> EventPage:
    """The event; raises NotFound for a nonexistent one, and alike for a viewer without a coaching role and for one
    with whom nobody entered shares a level.
    """
    page, one = for_paper(viewer, event_code)
    return replace(page, airs=two_airs(one.event, page.air, page.rows, viewer.today, clock.now()))


def for_paper(viewer: Viewer, event_code: str) -> tuple[EventPage, EventEntries]:
    """The event without its two airs compared, which no paper draws, and what it was made from. Raises NotFound as
    `event_page` does.
    """
    _coaching(viewer)
    found = queries_events.entered(viewer, event_code)
    if not found:
        raise NotFound
    one, now = found[0], clock.now()
    refs = [entered.athlete for entered in one.entries]
    shown = show(viewer, refs, course=False)
    rows = sorted(_rows(one, dict(zip([ref.id for ref in refs], shown, strict=True))), key=_need)
    page = EventPage(
        event=_event(one.event),
        place=one.event.place,
        surface=one.event.surface,
        as_of=max((row.as_of for row in shown), default=viewer.today),
        known_at=max((row.computed_at for row in shown if row.computed_at), default=now),
        rows=tuple(rows),
        not_shared=one.not_shared,
        air=queries_events.event_air(one.event, refs, now),
        place_code=one.event.place_code,
        units=units_of(viewer),
    )
    return page, one


def events_list(viewer: Viewer) -> EventsList:
    """Events in which somebody is entered who shares a level with the viewer; NotFound without a coaching role."""
    _coaching(viewer)
    found = queries_events.entered(viewer)
    refs = {entered.athlete.id: entered.athlete for one in found for entered in one.entries}
    shown = dict(zip(refs, show(viewer, list(refs.values()), course=False), strict=True))
    lines = [(_line(one, shown), _over(one.event, clock.now())) for one in found]
    return EventsList(
        today=viewer.today,
        coming=tuple(line for line, over in lines if not over),
        over=tuple(line for line, over in reversed(lines) if over),
    )


def _coaching(viewer: Viewer) -> None:
    if not (viewer.operator or viewer.roles() & COACHING):
        raise NotFound


def _event(facts: EventFacts) -> EventShown:
    zone = ZoneInfo(facts.timezone)
    closes = facts.entry_deadline.astimezone(zone) if facts.entry_deadline else None
    return EventShown(
        facts.code, facts.name, facts.kind, facts.first_day, facts.last_day, facts.timezone, closes
    )


def _rows(one: EventEntries, shown: dict[int, AthleteShown]) -> list[EntryRow]:
    return [_row(entered, shown[entered.athlete.id], one.event.code) for entered in one.entries]


def _row(entered: Entered, athlete: AthleteShown, event_code: str) -> EntryRow:
    entry = next((e for e in athlete.entries if e.event.code == event_code), None)
    return EntryRow(athlete, entry if entered.status != "withdrawn" else None, entered.status)


def _need(row: EntryRow) -> tuple[bool, int, tuple[str, str, str]]:
    """Exceptions first, then the name; those withdrawn last."""
    place = ORDER.index(row.entry.level) if row.entry else len(ORDER)
    return (row.status == "withdrawn", place, by_name.key(row.athlete.name, row.athlete.code))


def _line(one: EventEntries, shown: dict[int, AthleteShown]) -> EventLine:
    running = [row for row in _rows(one, shown) if row.status != "withdrawn"]
    levels = tuple(row.level for row in running)
    return EventLine(_event(one.event), one.event.place, one.event.surface, levels, one.not_shared)


def _over(event: EventFacts, now: datetime) -> bool:
    return event.last_day < clock.local_day(now, event.timezone)
