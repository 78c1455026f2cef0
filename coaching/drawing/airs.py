"""Two airs side by side on one scale: the hours of home and the hours of the event."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from coaching.drawing.svg import Point, label, line, picture, straight, tag

AXIS_HOURS = ((8, "start"), (12, "middle"), (16, "middle"), (20, "end"))
"""Hours named under a panel, each set so that it stays within its own panel."""


@dataclass(frozen=True)
class AirHour:
    """One hour of the day, in the reader's unit; `low` and `high` are the ends of the dew point."""

    hour: float
    temp: float
    dew: float
    low: float
    high: float


@dataclass(frozen=True)
class Panel:
    """One of the two airs; empty hours: not known, said by `note`."""

    name: str
    hours: Sequence[AirHour]
    note: str = ""


def draw_airs(panels: tuple[Panel, Panel], title: str, words: tuple[str, str], width: float = 640.0) -> str:
    """Return both panels as SVG; `words` name the two lines: air and dew point."""
    left, gap, top, tall = 34.0, 14.0, 26.0, 132.0
    wide = (width - left - gap) / 2
    values = [v for p in panels for h in p.hours for v in (h.temp, h.low, h.high, h.dew)]
    step = 5.0 if not values or max(values) - min(values) <= 25 else 10.0
    first = math.floor(min(values, default=0.0) / step) * step
    last = max(math.ceil(max(values, default=step) / step) * step, first + step)

    def y(value: float) -> float:
        return top + tall - (value - first) / (last - first) * tall

    body = []
    for n in range(round((last - first) / step) + 1):
        value = first + n * step
        shown = f"\N{MINUS SIGN}{-value:.0f}" if value < 0 else f"{value:.0f}"
        body += [line((left, y(value)), (width, y(value)), "course-grid"),
                 label(left - 6, y(value) + 4, shown, "axis-value", "end")]  # fmt: skip
    for n, panel in enumerate(panels):
        body.append(_panel(panel, left + n * (wide + gap), wide, y, (top, tall), words))
    return picture(width, top + tall + 22, "airs-figure", title, *body)


def _panel(
    panel: Panel, left: float, wide: float, y: Callable[[float], float], size: tuple[float, float],
    words: tuple[str, str],
) -> str:  # fmt: skip
    top, tall = size

    def x(hour: float) -> float:
        return left + (hour - 8.0) / 12.0 * (wide - 8) + 4

    parts = [label(left, 14, panel.name, "lane-name"), line((left, top), (left, top + tall), "lane-rule")]
    parts += [label(x(h), top + tall + 16, f"{h:02d}", "axis-day", side) for h, side in AXIS_HOURS]
    if not panel.hours:
        return "".join([*parts, label(left + 8, top + tall / 2, panel.note, "lane-note")])
    over: list[Point] = [(x(h.hour), y(h.high)) for h in panel.hours]
    under: list[Point] = [(x(h.hour), y(h.low)) for h in reversed(panel.hours)]
    parts.append(tag("path", {"class": "fan-80", "d": straight([*over, *under], closed=True)}))
    for css, points in (("hours-temp", [(x(h.hour), y(h.temp)) for h in panel.hours]),
                        ("hours-dew", [(x(h.hour), y(h.dew)) for h in panel.hours])):  # fmt: skip
        parts.append(tag("path", {"class": css, "d": straight(points, closed=False)}))
    end = panel.hours[-1]
    parts.append(label(x(end.hour), y(end.temp) - 6, words[0], "lane-word hours-over", "end"))
    parts.append(label(x(end.hour), y(end.dew) - 6, words[1], "lane-word hours-over", "end"))
    return "".join(parts)
