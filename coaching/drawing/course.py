"""The course to an event: chance by day, its fan from today, and the lanes that explain it, on one axis."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from coaching.drawing import timeline
from coaching.drawing.svg import Point, label, line, picture, rect, straight, tag
from coaching.drawing.timeline import CareRun, DamageRun, Days, EventBox, LoadDay

_DAY_PX = 40.0
_LEFT_PX = 176.0
_AXIS_PX = 40.0
_CHART_PX = 200.0
_LANE_PX = 44.0
_PAD_PX = 14.0
_LETTER_PX = 6.0  # the widest mean letter of a word in a lane


@dataclass(frozen=True)
class ChanceDay:
    """The chance 0-1 for one past day that was answered; days of silence have none and are not drawn."""

    day: date
    chance_frac: float


@dataclass(frozen=True)
class FanDay:
    """One day of the forecast: middle, and the bands that hold 50 and 80 of 100 courses (chances 0-1)."""

    day: date
    low80_frac: float
    low50_frac: float
    middle_frac: float
    high50_frac: float
    high80_frac: float


@dataclass(frozen=True)
class Lane:
    """One lane under the chart: its name, a note, and what lies in it; looks are (day, word), and so are cases, dots on
    the day on which it would be over had it taken as long, grey and hollow where they are `few`; `more` says them.
    """

    name: str
    note: str = ""
    loads: tuple[LoadDay, ...] = ()
    damage: tuple[DamageRun, ...] = ()
    care: tuple[CareRun, ...] = ()
    looks: tuple[tuple[date, str], ...] = ()
    cases: tuple[tuple[date, str], ...] = ()
    few: bool = False
    more: str = ""


@dataclass(frozen=True)
class CourseData:
    """The whole picture. ``day_names`` label the axis, one for each day of the window from ``first``."""

    first: date
    last: date
    today: date
    title: str
    chart_name: str
    bar_name: str
    day_names: tuple[str, ...]
    bar_frac: float | None = None
    chart_note: tuple[str, ...] = ()
    past: tuple[ChanceDay, ...] = ()
    fan: tuple[FanDay, ...] = ()
    events: tuple[EventBox, ...] = ()
    lanes: tuple[Lane, ...] = ()

    def days(self) -> Days:
        """Return the days of the axis."""
        return Days(self.first, self.last, _DAY_PX, _LEFT_PX)


@dataclass(frozen=True)
class LanesSize:
    """Measures of lanes that lie under a chart of another hand, in px: the whole width, what lies left and right of
    the days, and the height of the names where they stand above each lane instead of left of it.
    """

    width: float
    left: float
    right: float
    name_above: float = 0.0

    def days(self, first: date, last: date) -> Days:
        """Return the days, as wide as fit between the margins."""
        count = (last - first).days + 1
        return Days(first, last, (self.width - self.left - self.right) / count, self.left)


LANES_DESK = LanesSize(1016.0, 176.0, 8.0)
LANES_PHONE = LanesSize(358.0, 48.0, 16.0, 16.0)


def chance_y(chance_frac: float) -> float:
    """Return the height in px at which a chance 0-1 lies: 1 at the top of the chart."""
    return _AXIS_PX + _PAD_PX + (1.0 - chance_frac) * (_CHART_PX - 2 * _PAD_PX)


def draw_course(course: CourseData) -> str:
    """Return the course as SVG.

    Raises ValueError when the names of days do not fit the window, or when the fan starts before today.
    """
    days = course.days()
    if len(course.day_names) != days.count:
        raise ValueError(f"{days.count} days but {len(course.day_names)} names of days")
    if any(step.day < course.today for step in course.fan):
        raise ValueError("the fan starts before today")
    bottom = _AXIS_PX + _CHART_PX + _LANE_PX * len(course.lanes)
    width = _LEFT_PX + days.width + 8
    body = [
        timeline.weekends(days, _AXIS_PX, bottom - _AXIS_PX),
        _axis(course, days),
        _chart(course, days, width),
    ]
    body += [
        _lane(lane, _AXIS_PX + _CHART_PX + _LANE_PX * i, days, course.today)
        for i, lane in enumerate(course.lanes)
    ]
    body.append(timeline.today_rule(days, course.today, _AXIS_PX, bottom))
    body.append(timeline.event_boxes(days, course.events, _AXIS_PX, bottom - _AXIS_PX - 1))
    body += _event_names(course, days)
    return picture(width, bottom, "course", course.title, *body)


def draw_lanes(course: CourseData, size: LanesSize) -> str:
    """Return the lanes alone as SVG, on the days between the margins of `size`; "" where there are none."""
    if not course.lanes:
        return ""
    days, tall = size.days(course.first, course.last), _LANE_PX + size.name_above
    bottom = tall * len(course.lanes)
    body = [timeline.weekends(days, 0, bottom)]
    body += [_lane(lane, tall * i, days, course.today, size.name_above) for i, lane in enumerate(course.lanes)]
    body.append(timeline.today_rule(days, course.today, 0, bottom))
    body.append(timeline.event_boxes(days, course.events, 0, bottom - 1))
    return picture(size.width, bottom, "course course-lanes", course.title, *body)


def _event_names(course: CourseData, days: Days) -> list[str]:
    """Return the name of each event above the axis, over its days."""
    named = [(event, days.clip(event.first, event.last)) for event in course.events]
    return [
        label((edges[0] + edges[1]) / 2, 12, event.name, "axis-event", "middle")
        for event, edges in named
        if edges
    ]


def _axis(course: CourseData, days: Days) -> str:
    parts = []
    for day, name in zip(days.all(), course.day_names, strict=True):
        css = "axis-day"
        if day == course.today:
            parts.append(rect(days.x(day), 20, _DAY_PX, 18, "today-box"))
            css = "axis-day axis-today"
        elif day.weekday() == 0:
            css = "axis-day axis-monday"
        parts.append(label(days.middle(day), 33, name, css, "middle"))
    return "".join(parts)


def _chart(course: CourseData, days: Days, width: float) -> str:
    parts = [label(0, _AXIS_PX + 20, course.chart_name, "lane-name")]
    parts += [label(0, _AXIS_PX + 38 + 16 * i, note, "lane-note") for i, note in enumerate(course.chart_note)]
    for share in (0.0, 0.5, 1.0):
        y = chance_y(share)
        parts.append(line((_LEFT_PX, y), (width - 8, y), "course-grid"))
        parts.append(label(_LEFT_PX - 8, y + 4, str(round(share * 100)), "axis-value", "end"))
    parts += [_fan(course, days), _past(course, days), _bar(course, width)]
    return "".join(parts)


def _bar(course: CourseData, width: float) -> str:
    if course.bar_frac is None:
        return ""
    y = chance_y(course.bar_frac)
    name = label(width - 12, y - 5, course.bar_name, "course-bar-name", "end")
    return line((_LEFT_PX, y), (width - 8, y), "course-bar") + name


def _past(course: CourseData, days: Days) -> str:
    """Return answered days as points; the line breaks where a day lies between two answers without one."""
    spots = [(point.day, (days.middle(point.day), chance_y(point.chance_frac))) for point in course.past]
    spots = [(day, spot) for day, spot in spots if days.holds(day)]
    parts = [
        line(here, there, "course-past" if (next_day - day).days == 1 else "course-past course-gap")
        for (day, here), (next_day, there) in zip(spots, spots[1:], strict=False)
    ]
    parts += [tag("circle", {"class": "course-point", "cx": x, "cy": y, "r": 3.5}) for _, (x, y) in spots]
    return "".join(parts)


def _fan(course: CourseData, days: Days) -> str:
    steps = [step for step in course.fan if days.holds(step.day)]
    if not steps:
        return ""
    parts = []
    for css, low, high in (("fan-80", "low80_frac", "high80_frac"), ("fan-50", "low50_frac", "high50_frac")):
        upper: list[Point] = [(days.middle(s.day), chance_y(getattr(s, high))) for s in steps]
        lower: list[Point] = [(days.middle(s.day), chance_y(getattr(s, low))) for s in reversed(steps)]
        parts.append(tag("path", {"class": css, "d": straight([*upper, *lower], closed=True)}))
    centre = [(days.middle(step.day), chance_y(step.middle_frac)) for step in steps]
    parts.append(tag("path", {"class": "fan-middle", "d": straight(centre, closed=False)}))
    return "".join(parts)


def _lane(lane: Lane, top: float, days: Days, today: date, name_above: float = 0.0) -> str:
    right = days.left_px + days.width
    parts = [line((0, top), (right, top), "lane-rule")]
    if name_above:
        told = ", ".join(filter(None, (f"{lane.name}: {lane.note}" if lane.note else lane.name, lane.more)))
        parts.append(label(0, top + 13, told, "lane-note"))
        top += name_above
    else:
        parts += [label(0, top + 14, lane.name, "lane-name"), label(0, top + 28, lane.note, "lane-note")]
        parts += [label(0, top + 41, lane.more, "lane-note")] if lane.more else []
    parts.append(timeline.load_bars(days, lane.loads, top + 36, 28))
    parts += [timeline.damage_run(days, run, top + 16, 9) for run in lane.damage]
    parts += _care_bars(lane.care, top, days, today)
    for day, word in lane.cases:
        if days.holds(day):
            css, x = "case-few" if lane.few else "case-dot", days.middle(day)
            parts.append(tag("circle", {"class": css, "cx": x, "cy": top + 34, "r": 3.5}))
            parts.append(label(x + 6, top + 38, word, "lane-word"))
    return "".join([*parts, *_looks(lane.looks, top, days)])


def _looks(looks: tuple[tuple[date, str], ...], top: float, days: Days) -> list[str]:
    """Return a wedge and a word for each look; a word that would touch the one before it stands a line lower."""
    parts, free = [], [0.0, 0.0]
    for day, word in sorted(looks):
        if not days.holds(day):
            continue
        middle, half = days.middle(day), _LETTER_PX * len(word) / 2
        row = 0 if middle - half >= free[0] else 1
        free[row] = middle + half + _LETTER_PX
        parts.append(timeline.wedge(days, day, top + 8))
        parts.append(label(middle, top + 27 + 12 * row, word, "lane-word", "middle"))
    return parts


def _care_bars(runs: tuple[CareRun, ...], top: float, days: Days, today: date) -> list[str]:
    """Return the care of a lane; a word that the one before it would cover is left out where it says the same."""
    parts, told, free = [], "", 0.0
    for run in sorted(runs, key=lambda run: run.first):
        edges = days.clip(run.first, run.last)
        if edges is None:
            continue
        parts.append(_care_bar(*edges, top, days, today))
        if edges[0] >= free or run.letter != told:
            parts.append(label(edges[0], top + 37, run.letter, "lane-word"))
            told, free = run.letter, edges[0] + _LETTER_PX * (len(run.letter) + 1)
    return parts


def _care_bar(left: float, right: float, top: float, days: Days, today: date) -> str:
    """Return a care action as a bar: filled up to today, hollow from today on."""
    now = min(max(days.x(today), left), right)
    done = rect(left, top + 12, now - left, 11, "care-done") if now > left else ""
    ahead = rect(now, top + 12, right - now, 11, "care-ahead") if right > now else ""
    return done + ahead
