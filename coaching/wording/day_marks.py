"""What stands about the lines of a day's figure: windows, nights, wet rock, names of lanes, own days, wind."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import groupby
from typing import Any

from django.utils.translation import gettext

from coaching.usecases.shown_air import DayAtPlace, HourShown
from coaching.wording import air_day, air_units
from coaching.wording.day_strip import warned, window_marks

OWN_Y, WIND_Y, STRENGTH_Y, SEA_Y = 0.165, 0.12, 0.07, 0.02
ROCK_Y = (0.4, 0.412)
"""Foot of the air, where wet rock and rain are marked."""
LETTER_PX, HOUR_PX = 6.5, 46.0


def shapes(hours: Sequence[HourShown], day: DayAtPlace) -> list[dict[str, Any]]:
    """Frames, washes and bars."""
    return [*_windows(hours, day), *_nights(hours, day), *_rocks(hours, day)]


def annotations(hours: Sequence[HourShown], day: DayAtPlace) -> list[dict[str, Any]]:
    """Words and arrows."""
    return [*_names(hours, day), *_lines(hours, day), *_own(hours), *_winds(hours, day), *_seas(hours)]


def has_sun(day: DayAtPlace) -> bool:
    """Whether a face is told on which the sun may stand."""
    return day.place.kind != "hall" and day.place.face_deg is not None


def middle(hour: HourShown) -> float:
    """The middle of the hour on the clock of the place."""
    return hour.at.hour + 0.5


def _windows(hours: Sequence[HourShown], day: DayAtPlace) -> list[dict[str, Any]]:
    first = middle(hours[0]) - 0.5
    return [
        {"type": "rect", "yref": "paper", "x0": first + one.first, "x1": first + one.last, "y0": 0.93, "y1": 1.0,
         "line": {"color": "token:ink", "width": 2.5 if one.best else 1},
         "label": {"text": one.name, "textposition": "middle left"}}
        for one in window_marks(hours, day, False)
    ]  # fmt: skip


def _nights(hours: Sequence[HourShown], day: DayAtPlace) -> list[dict[str, Any]]:
    dark = [hour for hour in hours if not hour.sun_up and day.place.kind != "hall"]
    return [
        {"type": "rect", "yref": "paper", "x0": middle(hour) - 0.5, "x1": middle(hour) + 0.5, "y0": 0, "y1": 0.9,
         "layer": "below", "line": {"width": 0}, "fillcolor": "token:wash"}
        for hour in dark
    ]  # fmt: skip


def _rocks(hours: Sequence[HourShown], day: DayAtPlace) -> list[dict[str, Any]]:
    """A bar under the air while rock gathers water, may do so, or rain falls, with its words."""
    if day.indoors:
        return []
    return [
        {"type": "rect", "yref": "paper", "x0": first, "x1": last, "y0": ROCK_Y[0], "y1": ROCK_Y[1],
         "line": {"width": 0}, "fillcolor": "token:ink-2",
         "label": {"text": words if _fits(words, last - first) else "", "textposition": "top left"}}
        for words, first, last in _spans(hours, lambda hour: warned(hour, day))
    ]  # fmt: skip


def _fits(words: str, hours: float) -> bool:
    """Whether words fit under so many hours on a page of about 1,000 px."""
    return LETTER_PX * len(words) <= HOUR_PX * hours


def _seas(hours: Sequence[HourShown]) -> list[dict[str, Any]]:
    """Whether the wind comes off the land or the sea, once over the hours alike."""
    return [
        {"xref": "x", "yref": "paper", "x": (first + last) / 2, "y": SEA_Y, "yanchor": "middle", "showarrow": False,
         "text": words if _fits(words, last - first) else ""}
        for words, first, last in _spans(hours, lambda hour: str(air_day.SEA.get(hour.sea, "")))
    ]  # fmt: skip


def _spans(hours: Sequence[HourShown], words_of: Callable[[HourShown], str]) -> list[tuple[str, float, float]]:
    """(words, first and last hour of the clock) of runs of hours of which the same is said."""
    runs = ((words, [middle(hour) for hour in run]) for words, run in groupby(hours, key=words_of))
    return [(words, at[0] - 0.5, at[-1] + 0.5) for words, at in runs if words]


def _names(hours: Sequence[HourShown], day: DayAtPlace) -> list[dict[str, Any]]:
    """Names of the lanes at their left."""
    lanes = [(0.965, gettext("Windows")), (0.25, gettext("s between tries"))]
    lanes += [(OWN_Y, gettext("Own days"))] if any(hour.own[1] for hour in hours) else []
    lanes += [(0.85, gettext("Sun on the face"))] if has_sun(day) else []
    if any(hour.wind_m_s is not None for hour in hours):
        lanes.append((WIND_Y, gettext("Wind") + f", {day.units.wind}"))
    return [
        {"xref": "paper", "yref": "paper", "x": 0, "y": y, "xanchor": "right", "yanchor": "middle", "xshift": -8,
         "showarrow": False, "text": name, "font": {"weight": 700}}
        for y, name in lanes
    ]  # fmt: skip


def _lines(hours: Sequence[HourShown], day: DayAtPlace) -> list[dict[str, Any]]:
    """What the two lines of the air are, at their end."""
    known = [hour for hour in hours if hour.temp_c is not None and hour.dew_c is not None]
    return [
        {"xref": "x", "yref": "y", "x": middle(hour), "y": air_units.degrees(value or 0.0, day.units),
         "xanchor": "right", "yanchor": anchor, "showarrow": False, "text": text}
        for hour in known[-1:]
        for value, anchor, text in ((hour.temp_c, "bottom", gettext("air")), (hour.dew_c, "top", gettext("dew point")))
    ]  # fmt: skip


def _own(hours: Sequence[HourShown]) -> list[dict[str, Any]]:
    """Own sessions in like air, not limited by skin of all, under the hour."""
    return [
        {"xref": "x", "yref": "paper", "x": middle(hour), "y": OWN_Y, "yanchor": "middle", "showarrow": False,
         "text": air_day.own_days(*hour.own)}
        for hour in hours if hour.own[1]
    ]  # fmt: skip


def _winds(hours: Sequence[HourShown], day: DayAtPlace) -> list[dict[str, Any]]:
    """Arrows that turn with the wind, its strength under each."""
    shown = []
    for hour in hours:
        if hour.wind_m_s is None:
            continue
        said = air_units.whole(air_units.wind(hour.wind_m_s, day.units))
        mark = {"xref": "x", "yref": "paper", "x": middle(hour), "yanchor": "middle", "showarrow": False}
        shown.append(mark | {"y": STRENGTH_Y, "text": said})
        if hour.wind_from_deg is not None and hour.wind_m_s:
            turn = {"textangle": (hour.wind_from_deg + 180.0) % 360.0, "font": {"size": 18}}
            shown.append(mark | turn | {"y": WIND_Y, "text": "\N{UPWARDS ARROW}"})
    return shown
