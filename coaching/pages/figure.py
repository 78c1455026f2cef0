"""The course as a figure that a script draws. Colours are names of the page's own custom properties."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from django.utils.translation import gettext

from coaching.usecases.shown import CourseDay, EntryShown
from coaching.wording import dates, numbers

MOST_TICKS = 8
"""Names of days that fit beside each other on a phone."""


def course_figure(days: Sequence[CourseDay], entry: EntryShown, as_of: date) -> dict[str, Any]:
    """Bands, middle, answered days, bar, today and the event's days as `data` and `layout`."""
    fan = [d for d in days if d.day >= as_of and d.low is not None and d.high is not None]
    past = [d for d in days if d.day <= as_of and d.answered]
    return {
        "data": [
            _band(fan, "low", "high", gettext("80 of 100 courses"), "token:q1/fan-alpha", edge_px=1),
            _band(fan, "q25", "q75", gettext("50 of 100 courses"), "token:q2/fan-alpha"),
            _middle(fan),
            _past(past),
        ],
        "layout": _layout(days, entry, as_of),
    }


def _band(fan: Sequence[CourseDay], low: str, high: str, name: str, colour: str, edge_px: int = 0) -> dict[str, Any]:
    fan = [d for d in fan if getattr(d, low) is not None and getattr(d, high) is not None]
    x = [d.day.isoformat() for d in fan]
    upper = [_in_100(getattr(d, high)) for d in fan]
    lower = [_in_100(getattr(d, low)) for d in fan]
    return {
        "type": "scatter", "mode": "lines", "name": name, "x": x + x[::-1], "y": upper + lower[::-1],
        "fill": "toself", "fillcolor": colour, "line": {"width": edge_px, "color": "token:q4"}, "hoverinfo": "skip",
    }  # fmt: skip


def _middle(fan: Sequence[CourseDay]) -> dict[str, Any]:
    return {
        "type": "scatter", "mode": "lines", "name": gettext("forecast"),
        "x": [d.day.isoformat() for d in fan], "y": [_in_100(d.p) for d in fan],
        "text": [_told(d) for d in fan], "hovertemplate": "%{text}<extra></extra>",
        "line": {"color": "token:q5", "width": 2.5},
    }  # fmt: skip


def _past(past: Sequence[CourseDay]) -> dict[str, Any]:
    """Answered days only: a day of silence is no point."""
    return {
        "type": "scatter", "mode": "markers", "name": gettext("answered"),
        "x": [d.day.isoformat() for d in past], "y": [_in_100(d.p) for d in past],
        "text": [_told(d) for d in past], "hovertemplate": "%{text}<extra></extra>",
        "marker": {"color": "token:ink", "size": 7},
    }  # fmt: skip


def _told(day: CourseDay) -> str:
    low, high = (day.p, day.p) if day.low is None or day.high is None else (day.low, day.high)
    return f"{dates.event_day(day.day)}: {numbers.chance(day.p, low, high)}"


def _layout(days: Sequence[CourseDay], entry: EntryShown, as_of: date) -> dict[str, Any]:
    bar_100 = _in_100(entry.bar_frac)
    edge = {"color": "token:ink", "width": 1}
    every = max(1, math.ceil(len(days) / MOST_TICKS))
    return {
        "margin": {"l": 48, "r": 16, "t": 40, "b": 40},
        "hovermode": "closest",
        "showlegend": True,
        "legend": {"orientation": "h", "y": 1.12, "x": 0},
        "xaxis": {
            "type": "date", "range": [_start(days[0].day), _end(days[-1].day)],
            "fixedrange": True, "showgrid": False,
            "tickmode": "array", "tickvals": [d.day.isoformat() for d in days[::every]],
            "ticktext": [dates.short_day(d.day) for d in days[::every]], "tickangle": 0,
        },
        "yaxis": {
            "range": [-3, 103], "fixedrange": True, "tickvals": [0, 50, 100], "gridcolor": "token:rule",
            "zeroline": False, "title": {"text": gettext("skin holds, in 100"), "standoff": 4},
        },
        "shapes": [
            {"type": "line", "xref": "paper", "x0": 0, "x1": 1, "y0": bar_100, "y1": bar_100, "line": edge},
            {"type": "line", "yref": "paper", "x0": _start(as_of), "x1": _start(as_of),
             "y0": 0, "y1": 1, "line": edge},
            {"type": "rect", "yref": "paper", "x0": _start(entry.event.first_day),
             "x1": _end(entry.event.last_day), "y0": 0, "y1": 1, "line": {"color": "token:ink", "width": 2}},
        ],
        "annotations": [
            {"xref": "paper", "x": 0, "y": bar_100, "xanchor": "left", "yanchor": "bottom",
             "showarrow": False, "text": numbers.bar(entry.bar_frac, entry.bar_provisional)},
        ],
    }  # fmt: skip


def _start(day: date) -> str:
    return f"{day - timedelta(days=1)}T12:00:00"


def _end(day: date) -> str:
    return f"{day}T12:00:00"


def _in_100(frac: float) -> float:
    return round(frac * 100, 1)
