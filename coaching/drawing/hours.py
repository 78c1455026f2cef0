"""A day at a place: windows, sun, air, drying time and wind, hour by hour on one shared axis."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from coaching.drawing.svg import Point, label, line, number, picture, rect, straight, tag


@dataclass(frozen=True)
class HourMark:
    """One hour; numbers in the reader's units, None not known. `words` are those that stand in the lanes."""

    name: str
    night: bool = False
    sun_frac: float | None = None
    temp: float | None = None
    spread: float = 0.0
    dew: float | None = None
    dry_frac: float | None = None  # height of the bar
    dry_words: str = ""
    never: bool = False  # does not dry
    toward_deg: float | None = None  # compass bearing the wind goes to
    wind_words: str = ""
    sea: str = ""  # where the wind comes from, in words
    rock: str = ""  # what may be wrong with the rock, in words
    best: bool = False


@dataclass(frozen=True)
class WindowMark:
    """Hours `first` to before `last` of the strip, with what it is called there."""

    first: int
    last: int
    name: str
    best: bool


@dataclass(frozen=True)
class HoursData:
    """All that is drawn; `lanes` names those that are: windows, sun, air, dry, wind, each (name, note)."""

    title: str
    hours: Sequence[HourMark]
    windows: Sequence[WindowMark]
    lanes: Mapping[str, tuple[str, str]]
    now: float | None = None  # hours from the left edge


@dataclass(frozen=True)
class HoursSize:
    """Measures in px; on a narrow strip the names of lanes stand over them."""

    width: float
    left: float
    every: int  # each so many hours has its name and number
    narrow: bool


DESK, PHONE = HoursSize(1376.0, 190.0, 1, False), HoursSize(358.0, 26.0, 2, True)
AIR_PX, DRY_PX, SUN_PX, WINDOW_PX, WIND_PX = 120.0, 34.0, 28.0, 26.0, 22.0


@dataclass(frozen=True)
class _Axis:
    data: HoursData
    size: HoursSize

    @property
    def hour_px(self) -> float:
        return (self.size.width - self.size.left) / max(len(self.data.hours), 1)

    def x(self, hour: float) -> float:
        return self.size.left + hour * self.hour_px

    def named(self, h: int) -> bool:
        return h % self.size.every == 0


def draw_hours(data: HoursData, size: HoursSize = DESK) -> str:
    """Return the strip as SVG; a lane that is not named is not drawn."""
    axis = _Axis(data, size)
    top, body = 22.0, [_axis_names(axis)]
    lanes = (("windows", _windows, WINDOW_PX), ("sun", _sun, SUN_PX), ("air", _air, AIR_PX), ("dry", _dry, DRY_PX + 18),
             ("wind", _wind, WIND_PX + 34))  # fmt: skip
    for key, draw, tall in lanes:
        if key not in data.lanes:
            continue
        head = 26.0 if size.narrow else 8.0
        body.append(line((0, top), (size.width, top), "lane-rule"))
        body.append(_lane_name(axis, key, top))
        body.append(draw(axis, top + head, tall))
        top += head + tall + 8.0
    body.append(line((0, top), (size.width, top), "lane-rule"))
    return picture(size.width, top + 1, "hours", data.title, _nights(axis, top), *body, _now(axis, top))


def _axis_names(axis: _Axis) -> str:
    return "".join(
        label(axis.x(h), 15, mark.name, "axis-day axis-monday" if h % 3 == 0 else "axis-day", "middle")
        for h, mark in enumerate(axis.data.hours)
        if axis.named(h) and h > 0
    )


def _nights(axis: _Axis, height: float) -> str:
    dark = [h for h, mark in enumerate(axis.data.hours) if mark.night]
    return "".join(rect(axis.x(h), 22, axis.hour_px, height - 22, "wash") for h in dark)


def _now(axis: _Axis, height: float) -> str:
    if axis.data.now is None:
        return ""
    x = axis.x(axis.data.now)
    return line((x, 18), (x, height), "today-rule")


def _lane_name(axis: _Axis, key: str, top: float) -> str:
    name, note = axis.data.lanes[key]
    if axis.size.narrow:
        return label(0, top + 14, name, "lane-word hours-lane") + label(
            axis.size.width, top + 14, note, "lane-note", "end"
        )
    parts = [label(0, top + 18, name, "lane-name")]
    parts += [label(0, top + 34 + 14 * n, words, "lane-note") for n, words in enumerate(_wrapped(note))]
    return "".join(parts)


def _wrapped(note: str, longest: int = 27) -> list[str]:
    lines: list[str] = [""]
    for word in note.split(" "):
        if lines[-1] and len(lines[-1]) + len(word) >= longest:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines


def _windows(axis: _Axis, top: float, tall: float) -> str:
    parts = []
    for window in axis.data.windows:
        left, right = axis.x(window.first), axis.x(window.last)
        frame: Sequence[Point] = ((left, top + tall), (left, top), (right, top), (right, top + tall))
        css = "hours-window hours-best" if window.best else "hours-window"
        parts.append(tag("path", {"class": css, "d": straight(frame, closed=False)}))
        parts.append(label(left + 5, top + 15, window.name, "lane-word hours-name" if window.best else "lane-word"))
    return "".join(parts)


def _sun(axis: _Axis, top: float, tall: float) -> str:
    base = top + tall
    parts = [line((axis.size.left, base), (axis.size.width, base), "load-base")]
    for h, mark in enumerate(axis.data.hours):
        if mark.sun_frac:
            height = mark.sun_frac * tall
            parts.append(rect(axis.x(h) + 0.5, base - height, axis.hour_px - 1, height, "hours-sun"))
    return "".join(parts)


def _air(axis: _Axis, top: float, tall: float) -> str:
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


def _band(axis: _Axis, run: range, y: Callable[[float], float]) -> str:
    marks = axis.data.hours
    over = [(axis.x(h + 0.5), y((marks[h].temp or 0.0) + marks[h].spread)) for h in run]
    under = [(axis.x(h + 0.5), y((marks[h].temp or 0.0) - marks[h].spread)) for h in reversed(run)]
    return tag("path", {"class": "fan-80", "d": straight([*over, *under], closed=True)})


def _course(axis: _Axis, run: range, values: Sequence[float | None], y: Callable[[float], float], css: str) -> str:
    points = [(axis.x(h + 0.5), y(values[h] or 0.0)) for h in run]
    return tag("path", {"class": css, "d": straight(points, closed=False)})


def _dry(axis: _Axis, top: float, tall: float) -> str:
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


def _wind(axis: _Axis, top: float, tall: float) -> str:
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
