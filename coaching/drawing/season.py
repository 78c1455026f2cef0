"""Half a year of one athlete on a single axis: events, absences, courses of care, days on rock, blocks of rest."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from coaching.drawing import timeline
from coaching.drawing.svg import label, line, picture, rect, straight, tag
from coaching.drawing.timeline import CareRun, Days, EventBox

WIDE_PX, NARROW_PX = 6.2, 1.75
HEIGHT, HEAD = 30.0, 30.0
NAMED_FROM_PX = 4.0
_NAME_TALL, _LETTER_PX = 15.0, 6.8
_ROCK_BASE, _ROCK_TALL, _CARE_BASE, _AWAY_TOP, _AWAY_TALL = 13.0, 9.0, 26.0, 1.0, 13.0


@dataclass(frozen=True)
class SeasonData:
    """One row; ``title`` is the row told in words. ``rock`` is (day, whether sharp), ``hurts`` days with a clash."""

    title: str
    events: tuple[EventBox, ...] = ()
    away: tuple[tuple[date, date], ...] = ()
    care: tuple[CareRun, ...] = ()
    rock: tuple[tuple[date, bool], ...] = ()
    rest: tuple[tuple[date, date], ...] = ()
    hurts: tuple[date, ...] = ()


def draw_row(data: SeasonData, days: Days, today: date) -> str:
    """Return one row as SVG, ``HEIGHT`` px high; what lies outside the window is left out."""
    body = [_weeks(days, 0, HEIGHT)]
    body += [_span(days, span, _AWAY_TOP, _AWAY_TALL, "season-away") for span in data.away]
    body += [_span(days, span, _ROCK_BASE - 1.5, 3.0, "season-rest") for span in data.rest]
    body.append(_rock(days, data.rock))
    body += [timeline.care_run(days, run, _CARE_BASE) for run in data.care]
    body.append(timeline.today_rule(days, today, 0, HEIGHT))
    body.append(timeline.event_boxes(days, data.events, 1, HEIGHT - 2))
    body += [timeline.wedge(days, day, 0) for day in data.hurts]
    return picture(days.width, HEIGHT, "season-row", data.title, *body)


def draw_head(
    days: Days, today: date, title: str, months: tuple[tuple[date, str], ...], events: tuple[EventBox, ...]
) -> str:
    """Return the header: names of months where they begin, events as boxes under their names, today's rule. Narrow days
    have no room for names of events.
    """
    named = _named(days, events) if days.day_px >= NAMED_FROM_PX else []
    height = HEAD + _NAME_TALL * (1 + max((row for _, _, row in named), default=-1))
    body = [_weeks(days, height - 12, 12)]
    body += [label(max(days.x(first), 0) + 2, 12, name, "axis-month") for first, name in months]
    for event, x, row in named:
        base = 14 + _NAME_TALL * (row + 1)
        edges = days.clip(event.first, event.last)
        if edges:
            body.append(line((edges[0], base - 9), (edges[0], height - 11), "season-month"))
        body.append(label(x + 3, base, event.name, "axis-event"))
    body.append(timeline.today_rule(days, today, height - 14, height))
    body.append(timeline.event_boxes(days, events, height - 11, 10))
    return picture(days.width, height, "season-row", title, *body)


def _named(days: Days, events: tuple[EventBox, ...]) -> list[tuple[EventBox, float, int]]:
    """Each event in the window with where its name begins, and the line on which no name before it is in the way."""
    ends: list[float] = []
    found = []
    for event in sorted(events, key=lambda one: (one.first, one.name)):
        edges = days.clip(event.first, event.last)
        if edges is None or not event.name:
            continue
        width = _LETTER_PX * len(event.name) + 8
        x = max(0.0, min(edges[0], days.width - width))
        row = next((n for n, end in enumerate(ends) if end <= x), len(ends))
        ends[row:row + 1] = [x + width]
        found.append((event, x, row))
    return found


def _weeks(days: Days, top: float, height: float) -> str:
    """A hair at each month's first day, and the line everything stands on."""
    firsts = [day for day in days.all() if day.day == 1]
    path = "".join(straight(((days.x(day), top), (days.x(day), top + height)), closed=False) for day in firsts)
    base = line((0, _ROCK_BASE), (days.width, _ROCK_BASE), "load-base") if height == HEIGHT else ""
    return tag("path", {"class": "season-month", "d": path or "M0 0"}) + base


def _span(days: Days, span: tuple[date, date], top: float, height: float, css: str) -> str:
    edges = days.clip(*span)
    return rect(edges[0], top, edges[1] - edges[0], height, css) if edges else ""


def _rock(days: Days, rock: tuple[tuple[date, bool], ...]) -> str:
    """A stroke a day on rock, taller and darker where it is sharp; strokes of one look share a path."""
    parts = []
    for sharp, css, tall in ((False, "season-rock", 0.55), (True, "season-sharp", 1.0)):
        strokes = [
            straight(((days.middle(day), _ROCK_BASE), (days.middle(day), _ROCK_BASE - _ROCK_TALL * tall)), closed=False)
            for day, rough in rock
            if rough is sharp and days.holds(day)
        ]
        if strokes:
            parts.append(tag("path", {"class": css, "d": "".join(strokes)}))
    return "".join(parts)
