"""The event page as a table for a spreadsheet: codes and words side by side, numbers as numbers, days as ISO 8601."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext

from coaching.rules.conclusions import Deadline
from coaching.sheets.values import Cell, EventTable
from coaching.usecases.shown_event import EntryRow, EventPage
from coaching.wording import calls, deadlines, levels, numbers, reasons
from coaching.wording.event_sheet import places_said


def table_of(page: EventPage) -> EventTable:
    """One line an athlete, in the order of the page."""
    return EventTable(
        title=page.event.name,
        head=tuple(_heads()),
        rows=tuple(_row(row, page) for row in page.rows),
        known_at=page.known_at,
    )


def _heads() -> list[str]:
    return [
        gettext("event"), gettext("first day"), gettext("last day"), gettext("time zone"), gettext("as known at"),
        gettext("athlete code"), gettext("athlete"), gettext("entry"), gettext("call"),
        gettext("only if, or who decides"), gettext("level"), gettext("skin holds, of 100"), gettext("range from"),
        gettext("range to"), gettext("bar"),
        gettext("first reason"), gettext("where, what"), gettext("protect"), gettext("at most"), gettext("stop"),
        gettext("next look"), gettext("next deadline"), gettext("what is due"), gettext("known until"),
        gettext("caution"),
    ]  # fmt: skip


def _row(row: EntryRow, page: EventPage) -> tuple[Cell, ...]:
    event, found, entry = page.event, row.athlete, row.entry
    look, due = calls.next_look(row), _next_due(row)
    return (
        event.name, _iso(event.first_day), _iso(event.last_day), event.timezone, page.known_at.isoformat(),
        found.code, found.name, str(calls.STATUSES[row.status]), calls.call(calls.call_of(row)),
        calls.call_note(row, page.as_of),
        levels.level(entry.level) if entry else None, *_chances(row),
        reasons.reason(entry.reasons[0], entry, page.as_of).plain if entry and entry.reasons else None,
        places_said(row), calls.protect(row, event), calls.most(row, event), calls.stop(row),
        _iso(look.latest if look else None), _iso(due.latest if due else None),
        deadlines.what(due) if due else None, _iso(found.known_until), levels.skin_only(),
    )  # fmt: skip


def _next_due(row: EntryRow) -> Deadline | None:
    ahead = [d for d in (row.entry.deadlines if row.entry else ()) if deadlines.undone(d)]
    return min(ahead, key=lambda d: d.latest, default=None)


def _chances(row: EntryRow) -> tuple[Cell, ...]:
    """Chance, range and bar in 100, as finely as the range supports; empty where not known."""
    entry = row.entry
    if entry is None or entry.p is None:
        return None, None, None, round(entry.bar_frac * 100) if entry else None
    step = numbers.rounding(entry.low, entry.high)
    shown = (round(value * 100 / step) * step for value in (entry.p, entry.low, entry.high))
    return (*shown, round(entry.bar_frac * 100))


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None
