"""One site over some weeks as a strip: each run of days in its pattern, and how long cases took as dots on a line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from coaching.drawing.patterns import PATTERNED, fill_of, pattern_defs
from coaching.drawing.svg import label, line, picture, rect, tag

DAY_PX = 8.0
_HEIGHT_PX = 22.0
_DOTS_HEIGHT_PX = 44.0
_DOTS_WIDTH_PX = 336.0
_MARGIN_PX = 12.0


@dataclass(frozen=True)
class StateRun:
    """A state (a mark or a stage of damage) from a day to a day."""

    state: str
    first: date
    last: date


def draw_site_strip(runs: Sequence[StateRun], first: date, days: int, title: str, key: str) -> str:
    """Return the strip, ``DAY_PX`` a day from ``first`` on; weekends are a wash. Runs that reach outside are cut."""
    width = DAY_PX * days
    ground = [
        rect(DAY_PX * n, 0, DAY_PX, _HEIGHT_PX, "wash")
        for n in range(days)
        if date.fromordinal(first.toordinal() + n).weekday() > 4
    ]
    body = [part for run in runs if (part := _run(run, first, days, key))]
    base = line((0, _HEIGHT_PX - 1), (width, _HEIGHT_PX - 1), "load-base")
    patterns = pattern_defs(frozenset(run.state for run in runs), key)
    return picture(width, _HEIGHT_PX, "site-strip", title, patterns, *ground, base, *body)


def _run(run: StateRun, first: date, days: int, key: str) -> str:
    start = max(0, (run.first - first).days)
    end = min(days - 1, (run.last - first).days)
    if end < start:
        return ""
    high = 16.0 if run.state in ("open", "closing") or run.state in PATTERNED else 10.0
    attrs: dict[str, str | float | int | None] = {
        "class": f"mark mark-{run.state}", "fill": fill_of(run.state, key), "x": DAY_PX * start,
        "y": _HEIGHT_PX - 1 - high, "width": DAY_PX * (end - start + 1), "height": high,
    }  # fmt: skip
    return tag("rect", attrs)


def draw_cases(days: Sequence[int], today: int | None, title: str, unit: str, few: bool) -> str:
    """Return past cases as dots on a line of days, each with its number; ``today`` is the day that an open one is in.

    ``few`` draws the dots grey and hollow: too little to go by. Cases of equal length stand one over the other.
    """
    longest = max([14, *days, today or 0])
    step = (_DOTS_WIDTH_PX - 2 * _MARGIN_PX) / longest
    floor = _DOTS_HEIGHT_PX - 16
    parts = [line((_MARGIN_PX, floor), (_DOTS_WIDTH_PX - _MARGIN_PX, floor), "lane-rule")]
    for n in range(0, longest + 1, 7):
        at = _MARGIN_PX + step * n
        parts.append(line((at, floor), (at, floor + 4), "range-bar-line"))
        parts.append(label(at, floor + 14, str(n), "axis-day", "middle"))
    if today is not None:
        at = _MARGIN_PX + step * today
        parts.append(line((at, 2), (at, floor), "today-rule"))
    for n, value in enumerate(days):
        over = days[:n].count(value)
        parts.append(
            tag("circle", {
                "class": "case-few" if few else "case-dot", "cx": _MARGIN_PX + step * value, "cy": floor - 6 - 9 * over,
                "r": 4,
            })
        )  # fmt: skip
    parts.append(label(_DOTS_WIDTH_PX - _MARGIN_PX, 12, unit, "axis-day", "end"))
    return picture(_DOTS_WIDTH_PX, _DOTS_HEIGHT_PX, "cases", title, *parts)
