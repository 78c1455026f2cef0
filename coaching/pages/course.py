"""The course to the event: the server's own picture, the figure for the script, the table of both."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from types import MappingProxyType
from typing import Any

from django.utils.safestring import SafeString
from django.utils.translation import gettext

from coaching.drawing.course import (
    LANES_DESK,
    LANES_PHONE,
    ChanceDay,
    CourseData,
    FanDay,
    Lane,
    LanesSize,
    draw_course,
    draw_lanes,
)
from coaching.drawing.timeline import CareRun
from coaching.pages import figure
from coaching.pages.pictures import damage_runs, drawn, event_boxes, loads, tallest_slu
from coaching.usecases.shown import AthleteShown, CourseDay, DamageShown, EntryShown, PictureShown
from coaching.wording import care, dates, deadlines, hands_over_time, my_hands, numbers, sites

BEHIND_DAYS, PAST_EVENT_DAYS, AHEAD_DAYS = 7, 3, 28


@dataclass(frozen=True)
class CourseLine:
    """One line of the table beside the picture."""

    day: str
    today: bool
    event: str
    chance: str
    range: str
    answered: str


@dataclass(frozen=True)
class LanesDrawn:
    """Lanes for one width of page; `left` and `right` are the shares of their width beside the days."""

    css: str
    svg: SafeString
    left: str
    right: str


@dataclass(frozen=True)
class Course:
    """Everything the page needs of one course."""

    title: str
    svg: SafeString
    lanes: tuple[LanesDrawn, ...]
    figure: dict[str, Any]
    lines: tuple[CourseLine, ...]


def course(
    row: AthleteShown, entry: EntryShown, took: Mapping[str, tuple[int, ...]] = MappingProxyType({})
) -> Course | None:
    """The course to one entry's event; None where the days behind it are not shared or not computed.

    `took` holds by episode the days of the athlete's own earlier cases.
    """
    picture = row.picture
    if picture is None or not picture.course:
        return None
    first, last = window(row.as_of, entry)
    days = [day for day in picture.course if first <= day.day <= last]
    title = gettext("The course to %(event)s, %(day)s") % {
        "event": entry.event.name, "day": dates.event_day(entry.event.first_day),
    }  # fmt: skip
    data = _data(row, entry, picture, title, took)
    return Course(
        title=title,
        svg=drawn(draw_course(data)),
        lanes=(_drawn_lanes(data, "wide", LANES_DESK), _drawn_lanes(data, "narrow", LANES_PHONE)),
        figure=figure.course_figure(days, entry, row.as_of),
        lines=tuple(_line(day, entry, row.as_of) for day in days),
    )


def _drawn_lanes(data: CourseData, css: str, size: LanesSize) -> LanesDrawn:
    left, right = f"{size.left / size.width:.5f}", f"{size.right / size.width:.5f}"
    return LanesDrawn(css, drawn(draw_lanes(data, size)), left, right)


def window(as_of: date, entry: EntryShown) -> tuple[date, date]:
    """First and last day drawn: a week behind, a few days past the event, four weeks ahead at most."""
    last = max(entry.event.last_day + timedelta(days=PAST_EVENT_DAYS), as_of + timedelta(days=7))
    return as_of - timedelta(days=BEHIND_DAYS), min(last, as_of + timedelta(days=AHEAD_DAYS))


def _data(
    row: AthleteShown, entry: EntryShown, picture: PictureShown, title: str, took: Mapping[str, tuple[int, ...]]
) -> CourseData:
    first, last = window(row.as_of, entry)
    names = tuple(dates.short_day(first + timedelta(days=n)) for n in range((last - first).days + 1))
    return CourseData(
        first=first,
        last=last,
        today=row.as_of,
        title=title,
        chart_name=gettext("Chance that skin holds"),
        chart_note=(gettext("if the day were"), gettext("the event, in 100")),
        bar_name=numbers.bar(entry.bar_frac, provisional=False),
        day_names=names,
        bar_frac=entry.bar_frac,
        past=tuple(ChanceDay(d.day, d.p) for d in picture.course if d.day <= row.as_of and d.answered),
        fan=tuple(step for d in picture.course if d.day >= row.as_of and (step := _fan(d)) is not None),
        events=event_boxes([entry.event]),
        lanes=tuple(_lanes(row, entry, picture, took)),
    )


def _fan(day: CourseDay) -> FanDay | None:
    if day.low is None or day.high is None:
        return None
    lower = day.low if day.q25 is None else day.q25
    upper = day.high if day.q75 is None else day.q75
    return FanDay(day.day, day.low, lower, day.p, upper, day.high)


def _lanes(
    row: AthleteShown, entry: EntryShown, picture: PictureShown, took: Mapping[str, tuple[int, ...]]
) -> list[Lane]:
    lanes = [_damage_lane(found, took.get(found.episode_id, ())) for found in picture.damage if found.stage != "sound"]
    top = tallest_slu([picture])
    lanes.append(
        Lane(gettext("Sessions"), gettext("load on skin"), loads=loads(picture.load, row.as_of, top))
    )
    first, last = window(row.as_of, entry)
    drawn_care = [run for run in picture.care if run.first <= last and run.last >= first]
    for verb in dict.fromkeys(run.verb for run in drawn_care):
        runs = [run for run in drawn_care if run.verb == verb]
        marks = tuple(CareRun(care.form(run.form), run.first, run.last) for run in runs)
        lanes.append(Lane(care.verb(verb), "", care=marks))
    looks = _looks(entry)
    return [*lanes, Lane(gettext("Looks and calls"), gettext("in person"), looks=looks)] if looks else lanes


def _damage_lane(found: DamageShown, took: tuple[int, ...]) -> Lane:
    """Its stages, and each own case of the kind as a dot on the day on which this one would be sound after as long."""
    few = len(took) < hands_over_time.FEW
    cases = tuple((found.noticed_on + timedelta(days=n), str(n)) for n in took)
    return Lane(
        care.state_phrase(found.kind, found.stage), sites.site(found.site), damage=damage_runs(found),
        cases=cases, few=few, more=my_hands.took(took, few),
    )  # fmt: skip


def _looks(entry: EntryShown) -> tuple[tuple[date, str], ...]:
    kinds = {"look": gettext("look"), "taped-try": gettext("taped try"), "entry": gettext("entry")}
    found = {d.latest: kinds[d.kind] for d in entry.deadlines if d.kind in kinds and deadlines.undone(d)}
    return tuple(sorted(found.items()))


def _line(day: CourseDay, entry: EntryShown, as_of: date) -> CourseLine:
    low, high = (day.p, day.p) if day.low is None or day.high is None else (day.low, day.high)
    on_event = entry.event.first_day <= day.day <= entry.event.last_day
    return CourseLine(
        day=dates.event_day(day.day),
        today=day.day == as_of,
        event=entry.event.name if on_event else "",
        chance=numbers.short_chance(day.p, low, high),
        range="" if day.low is None else numbers.chance_range(low, high),
        answered=_answered(day, as_of),
    )


def _answered(day: CourseDay, as_of: date) -> str:
    if day.day > as_of:
        return gettext("forecast")
    return gettext("answered") if day.answered else gettext("no answer")
