"""The strip of a day at a place: from shown hours to the inputs of its drawing, in the reader's units and words."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext

from coaching.drawing.hours_data import HourMark, HoursData, WindowMark
from coaching.science.air.windows import LEAST_SESSIONS
from coaching.usecases.shown_air import DayAtPlace, HourShown
from coaching.wording import air_day, air_units

TALLEST_S = 120.0

"""A pause as long as this fills its lane."""


def height_frac(value_s: float) -> float:
    """Height of the bar of a pause in its lane; the root tells short ones apart."""
    return min(value_s / TALLEST_S, 1.0) ** 0.5


def strip(title: str, hours: Sequence[HourShown], day: DayAtPlace, narrow: bool) -> HoursData:
    """Every lane that something is known of."""
    marks = [_mark(hour, day, narrow) for hour in hours]
    first = hours[0].at.hour if hours else 0
    return HoursData(title, marks, window_marks(hours, day, narrow), _lanes(hours, day, narrow), first_hour=first)


def window_marks(hours: Sequence[HourShown], day: DayAtPlace, narrow: bool) -> list[WindowMark]:
    """The windows as far as they lie on the strip."""
    marks = []
    for n, found in enumerate(day.windows):
        ends = ((at - hours[0].at).total_seconds() / 3600 if hours else 0.0 for at in (found.first, found.last))
        begin, end = (min(max(0.0, at), float(len(hours))) for at in ends)
        name = gettext("best") if n == 0 and not narrow else str(n + 1)
        if end > begin:
            marks.append(WindowMark(int(begin), int(end), name, n == 0))
    return marks


def _lanes(hours: Sequence[HourShown], day: DayAtPlace, narrow: bool) -> dict[str, tuple[str, str]]:
    units = day.units
    lanes = {
        "windows": (gettext("Windows"), gettext("best is 1") if narrow else gettext("hours to climb in")),
        "air": (
            gettext("Air") + f", °{units.temperature}",
            gettext("dotted: dew point") if narrow else gettext("line: air and its range; dotted: dew point"),
        ),
        "dry": (
            gettext("Between tries"), gettext("s, middling try") if narrow else gettext("s to dry, middling try"),
        ),
    }  # fmt: skip
    if day.place.kind != "hall" and day.place.face_deg is not None:
        lanes["sun"] = (gettext("Sun on the face"), gettext("clear sky"))
    if any(hour.wind_m_s is not None for hour in hours):
        lanes["wind"] = (gettext("Wind") + f", {units.wind}", gettext("arrow: where it goes"))
    if day.whose.sessions >= LEAST_SESSIONS:
        lanes["own"] = (
            gettext("Own days"),
            gettext("good, of all in like air") if narrow
            else gettext("not limited by skin, of all in like air"),
        )  # fmt: skip
    return lanes


def _mark(hour: HourShown, day: DayAtPlace, narrow: bool) -> HourMark:
    units = day.units
    never = hour.middling_s is not None and hour.middling_s > air_units.LONGEST_S
    middle = None if never else hour.middling_s
    words = "" if middle is None else air_units.short(middle)
    best = bool(day.windows) and day.windows[0].first <= hour.at < day.windows[0].last
    return HourMark(
        name=f"{hour.at:%H}",
        night=not hour.sun_up and day.place.kind != "hall",
        sun_frac=hour.sun_frac if day.place.kind != "hall" else None,
        temp=None if hour.temp_c is None else air_units.degrees(hour.temp_c, units),
        spread=0.0 if hour.temp_c is None else air_units.gap(hour.temp_spread_k, units),
        dew=None if hour.dew_c is None else air_units.degrees(hour.dew_c, units),
        dry_frac=None if middle is None else height_frac(middle),
        dry_words=gettext("no") if never and not narrow else "–" if never else words,
        never=never,
        toward_deg=None if hour.wind_from_deg is None or not hour.wind_m_s else (hour.wind_from_deg + 180.0) % 360.0,
        wind_words="" if hour.wind_m_s is None else air_units.whole(air_units.wind(hour.wind_m_s, units)),
        sea=str(air_day.SEA.get(hour.sea, "")),
        rock=warned(hour, day) if not day.indoors else "",
        best=best,
        own_words=air_day.own_days(*hour.own),
    )


def warned(hour: HourShown, day: DayAtPlace) -> str:
    """What may be wrong with the rock of an hour."""
    return gettext("rain") if hour.rain else air_day.water(hour.rock, day)
