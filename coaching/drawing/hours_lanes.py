"""The lanes of a day at a place: each takes the axis, its top and its height in px, and returns SVG."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import groupby

from coaching.drawing.hours_data import Axis
from coaching.drawing.svg import Point, label, line, number, rect, straight, tag

AIR_PX, DRY_PX, SUN_PX, WINDOW_PX, WIND_PX, OWN_PX = 120.0, 34.0, 28.0, 26.0, 22.0, 20.0


def windows(axis: Axis, top: float, tall: float) -> str:
    """Frames over the hours to climb in."""
    parts = []
    for window in axis.data.windows:
        left, right = axis.x(window.first), axis.x(window.last)
        frame: Sequence[Point] = ((left, top + tall), (left, top), (right, top), (right, top + tall))
        css = "hours-window hours-best" if window.best else "hours-window"
        parts.append(tag("path", {"class": css, "d": straight(frame, closed=False)}))
        parts.append(label(left + 5, top + 15, window.name, "lane-word hours-name" if window.best else "lane-word"))
    return "".join(parts)


def sun(axis: Axis, top: float, tall: float) -> str:
    """Share of each hour with sun on the face."""
    base = top + tall
    parts = [line((axis.size.left, base), (axis.size.width, base), "load-base")]
    for h, mark in enumerate(axis.data.hours):
        if mark.sun_frac:
            height = mark.sun_frac * tall
            parts.append(rect(axis.x(h) + 0.5, base - height, axis.hour_px - 1, height, "hours-sun"))
    return "".join(parts)


def air(axis: Axis, top: float, tall: float) -> str:
    """Temperature with its range, dew point, and what is wrong with the rock."""
    known = [m for m in axis.data.hours if m.temp is not None and m.dew is not None]
    if not known:
        return ""
    low = min(min(m.dew or 0.0, (m.temp or 0.0) - m.spread) for m in known)
    high = max((m.temp or 0.0) + m.spread for m in known)
    step = 5.0 if high - low <= 30 else 10.0
    first, last = math.floor(low / step) * step, math.ceil(high / step) * step
    last = last if last > first else first + step

    def y(value: float) -> float:
        return top + tall - (value - first) / (last - first) * tall

    parts = []
    for n in range(round((last - first) / step) + 1):
        value = first + n * step
        parts.append(line((axis.size.left, y(value)), (axis.size.width, y(value)), "course-grid"))
        shown = f"\N{MINUS SIGN}{-value:.0f}" if value < 0 else f"{value:.0f}"
        parts.append(label(axis.size.left - 5, y(value) + 4, shown, "axis-value", "end"))
    for known_run in _runs([m.temp is not None for m in axis.data.hours]):
        parts.append(_band(axis, known_run, y))
        parts.append(_course(axis, known_run, [m.temp for m in axis.data.hours], y, "hours-temp"))
        parts.append(_course(axis, known_run, [m.dew for m in axis.data.hours], y, "hours-dew"))
    for name, rows in groupby(enumerate(axis.data.hours), key=lambda item: item[1].rock):
        hours = [h for h, _ in rows]
        if name:
            left, right = axis.x(hours[0]), axis.x(hours[-1] + 1)
            parts.append(rect(left, top + tall - 3, right - left, 5, "hours-wet"))
            fits = right - left > 6.5 * len(name)
            parts.append(label(left + 2, top + tall - 7, name, "lane-word hours-over") if fits else "")
    return "".join(parts)


def _runs(known: Sequence[bool]) -> list[range]:
    found = []
    for true, rows in groupby(enumerate(known), key=lambda item: item[1]):
        hours = [h for h, _ in rows]
        if true:
            found.append(range(hours[0], hours[-1] + 1))
    return found


def _band(axis: Axis, run: range, y: Callable[[float], float]) -> str:
    marks = axis.data.hours
    over = [(axis.x(h + 0.5), y((marks[h].temp or 0.0) + marks[h].spread)) for h in run]
    under = [(axis.x(h + 0.5), y((marks[h].temp or 0.0) - marks[h].spread)) for h in reversed(run)]
    return tag("path", {"class": "fan-80", "d": straight([*over, *under], closed=True)})


def _course(axis: Axis, run: range, values: Sequence[float | None], y: Callable[[float], float], css: str) -> str:
    points = [(axis.x(h + 0.5), y(values[h] or 0.0)) for h in run]
    return tag("path", {"class": css, "d": straight(points, closed=False)})


def dry(axis: Axis, top: float, tall: float) -> str:
    """Time to dry between tries."""
    base, parts = top + DRY_PX, [line((axis.size.left, top + DRY_PX), (axis.size.width, top + DRY_PX), "load-base")]
    for h, mark in enumerate(axis.data.hours):
        left, wide = axis.x(h) + axis.hour_px * 0.12, axis.hour_px * 0.76
        if mark.never:
            parts.append(rect(left, top, wide, DRY_PX, "hours-never"))
        elif mark.dry_frac is not None:
            height = max(mark.dry_frac * DRY_PX, 1.5)
            parts.append(rect(left, base - height, wide, height, "hours-dry"))
        if axis.named(h) and mark.dry_words:
            css = "lane-word hours-name" if mark.best else "lane-word"
            parts.append(label(axis.x(h + 0.5), top + tall - 4, mark.dry_words, css, "middle"))
    return "".join(parts)


def own(axis: Axis, top: float, tall: float) -> str:
    """Own sessions in like air, under the hour."""
    return "".join(
        label(axis.x(h + 0.5), top + tall - 4, mark.own_words, "lane-word hours-name" if mark.best else "lane-word",
              "middle")
        for h, mark in enumerate(axis.data.hours)
        if axis.named(h) and mark.own_words
    )  # fmt: skip


def wind(axis: Axis, top: float, tall: float) -> str:
    """Arrows with the wind, its strength, and whether it comes off land or sea."""
    parts = []
    for h, mark in enumerate(axis.data.hours):
        if not axis.named(h):
            continue
        if mark.toward_deg is not None:
            parts.append(_arrow(axis.x(h + 0.5), top + WIND_PX / 2, mark.toward_deg, 9.0 if axis.size.narrow else 11.0))
        parts.append(label(axis.x(h + 0.5), top + WIND_PX + 12, mark.wind_words, "lane-word", "middle"))
    for name, rows in groupby(enumerate(axis.data.hours), key=lambda item: item[1].sea):
        hours = [h for h, _ in rows]
        if not name:
            continue
        left, right, y = axis.x(hours[0]), axis.x(hours[-1] + 1), top + tall - 6
        fits = right - left > 6.5 * len(name) + 8
        parts.append(line((left + 1, y - 14), (right - 1, y - 14), "hours-sea"))
        parts.append(label((left + right) / 2, y, name, "lane-word", "middle") if fits else "")
    return "".join(parts)


def _arrow(x: float, y: float, toward_deg: float, length: float) -> str:
    """An arrow through a point, along the way the wind goes; north is up."""
    turn = math.radians(toward_deg)
    dx, dy = math.sin(turn) * length, -math.cos(turn) * length
    tip, tail = (x + dx, y + dy), (x - dx, y - dy)
    barbs = []
    for side in (-1, 1):
        back = turn + math.pi + side * 0.5
        barbs.append((tip[0] + math.sin(back) * 6, tip[1] - math.cos(back) * 6))
    head = "L".join(f"{number(px)} {number(py)}" for px, py in (barbs[0], tip, barbs[1]))
    return line(tail, tip, "hours-arrow") + tag("path", {"class": "hours-arrow", "d": f"M{head}"})
