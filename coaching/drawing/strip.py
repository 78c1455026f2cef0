"""One athlete's row of days: load, care, damage, events and silence on a single time axis."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from coaching.drawing import timeline
from coaching.drawing.svg import label, line, picture, rect
from coaching.drawing.timeline import CareRun, DamageRun, Days, EventBox, LoadDay

_MONDAY = 0


@dataclass(frozen=True)
class StripSize:
    """Measures of a row in px: a day, the row, what each lane stands on, and days behind and ahead."""

    day_px: float
    height: float
    load_base: float
    load_tall: float
    care_base: float
    damage_top: float
    damage_tall: float = 6.0
    behind: int = 7
    ahead: int = 28

    def days(self, today: date) -> Days:
        """Return the window round today: ``behind`` days before it, then ``ahead`` days from it on."""
        return Days(today - timedelta(days=self.behind), today + timedelta(days=self.ahead - 1), self.day_px)


DESK = StripSize(16.0, 48.0, 22.0, 17.0, 34.0, 38.0)
DESK_QUIET = StripSize(16.0, 28.0, 13.0, 9.0, 24.0, 22.0, 4.0)
PHONE = StripSize(10.2, 44.0, 20.0, 16.0, 31.0, 35.0)


@dataclass(frozen=True)
class StripData:
    """Everything in one row. ``title`` is the row told in words; ``wedge`` the date its sentence names."""

    today: date
    title: str
    loads: tuple[LoadDay, ...] = ()
    care: tuple[CareRun, ...] = ()
    damage: tuple[DamageRun, ...] = ()
    events: tuple[EventBox, ...] = ()
    silent: tuple[date, ...] = ()
    wedge: date | None = None


@dataclass(frozen=True)
class AxisData:
    """The header of the rows, told in words by ``title``: months as (first day, name), events with names."""

    today: date
    title: str
    months: tuple[tuple[date, str], ...] = ()
    events: tuple[EventBox, ...] = ()


def draw_strip(strip: StripData, size: StripSize = DESK) -> str:
    """Return one row as SVG, ``size.height`` px high; days outside the window are left out."""
    days = size.days(strip.today)
    body = [timeline.weekends(days, 0, size.height)]
    body.append(line((0, size.load_base), (days.width, size.load_base), "load-base"))
    body.append(timeline.no_answers(days, strip.silent, size.load_base - size.load_tall, size.load_tall))
    body.append(timeline.load_bars(days, strip.loads, size.load_base, size.load_tall))
    body += [timeline.damage_run(days, run, size.damage_top, size.damage_tall) for run in strip.damage]
    body += [timeline.care_run(days, run, size.care_base) for run in strip.care]
    body.append(timeline.today_rule(days, strip.today, 0, size.height))
    body.append(timeline.event_boxes(days, strip.events, 1, size.height - 2))
    body.append(timeline.wedge(days, strip.wedge, 0))
    return picture(days.width, size.height, "strip", strip.title, *body)


def draw_axis(axis: AxisData, size: StripSize = DESK) -> str:
    """Return the header over the rows: months, names of events over their days, day numbers, today in black.

    Narrow days carry the numbers of Mondays and today only.
    """
    days = size.days(axis.today)
    height = 64.0
    body = [timeline.weekends(days, 46, height - 46)]
    body += [label(days.x(max(first, days.first)) + 2, 12, name, "axis-month") for first, name in axis.months]
    body += _event_names(axis, days)
    body += [_day_number(day, axis.today, days) for day in days.all() if _numbered(day, axis.today, size)]
    return picture(days.width, height, "strip-axis", axis.title, *body)


def _numbered(day: date, today: date, size: StripSize) -> bool:
    roomy = size.day_px >= 14
    near_today = abs((day - today).days) <= 1 and day != today
    return roomy or day == today or (day.weekday() == _MONDAY and not near_today)


def _day_number(day: date, today: date, days: Days) -> str:
    x = days.middle(day)
    if day == today:
        half = max(days.day_px, 16.0) / 2
        box = rect(x - half, 47, 2 * half, 17, "today-box")
        return box + label(x, 60, str(day.day), "axis-day axis-today", "middle")
    css = "axis-day axis-monday" if day.weekday() == _MONDAY else "axis-day"
    return label(x, 60, str(day.day), css, "middle")


def _event_names(axis: AxisData, days: Days) -> list[str]:
    """Return event names on two lines in turn, so that neighbours do not cover each other."""
    parts = []
    shown = [
        (event, days.clip(event.first, event.last)) for event in sorted(axis.events, key=lambda e: e.first)
    ]
    placed = [(event, edges) for event, edges in shown if edges is not None]
    for i, (event, (left, right)) in enumerate(placed):
        top = 18.0 if i % 2 == 0 else 32.0
        x, anchor = (right, "end") if left > days.width * 0.6 else (left, "start")
        parts.append(label(x, top + 8, event.name, "axis-event", anchor))
        parts.append(rect(left, top + 12, right - left, 64 - top - 12, "event-box"))
    return parts
