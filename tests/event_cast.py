"""Hand-made event pages, for tests of sheets, tables and the event page. All names are invented."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

from athletes.records.queries_events import EventAir, HourAir
from coaching.rules.conclusions import Today
from coaching.usecases.shown import AthleteShown
from coaching.usecases.shown_event import EntryRow, EventPage
from tests import shown_cast as cast

ZONE = ZoneInfo("Europe/Stockholm")
KNOWN_AT = datetime(2027, 3, 11, 6, 4, tzinfo=UTC)
HOSTILE = (
    '#read("/etc/passwd")', "*x*", "$x^2$", "= Head", "@ref", "<label>", "_low_", "] #panic()", "// gone", "a\\b",
    "=1+1", "+1", "-1", '=HYPERLINK("http://x.invalid")',
)  # fmt: skip
"""Markup of a typesetter and formulas of a spreadsheet."""


def hours(*dew_points_c: float) -> tuple[HourAir, ...]:
    at = (datetime(2027, 3, 20, 8 + n, tzinfo=ZONE) for n in range(len(dew_points_c)))
    return tuple(HourAir(when, 21.0, 55.0, dew, True) for when, dew in zip(at, dew_points_c, strict=True))


def air(*dew_points_c: float) -> EventAir:
    issued = datetime(2027, 3, 10, 18, tzinfo=ZONE)
    return EventAir(hours(*dew_points_c), issued, "Sillmar Hall", 9.0)


def row(name: str = "Adaeze", code: str = "a01", status: str = "entered", **changes: Any) -> EntryRow:
    athlete: AthleteShown = cast.athlete(code, name, **changes)
    return EntryRow(athlete, athlete.entries[0] if athlete.entries else None, status)


def free(name: str = "Hana", code: str = "a02") -> EntryRow:
    """Somebody on course with nothing open."""
    return row(
        name, code, entries=(cast.entry("on-course", ()),), today=Today("free"), picture=None, steps=()
    )


def page(rows: Sequence[EntryRow], not_shared: int = 0, **changes: Any) -> EventPage:
    found = changes.pop("air", air(12.0, 14.0, 16.0))
    event = changes.pop("event", cast.CUP)
    return EventPage(event, "Lindmark Hall", "plastic", cast.AS_OF, KNOWN_AT, tuple(rows), not_shared, found)
