"""The table of a day at a place: one row an hour."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext

from coaching.usecases.shown_air import DayAtPlace, HourShown
from coaching.wording import air_day, air_units
from coaching.wording.dates import clock_time
from coaching.wording.day_strip import warned


@dataclass(frozen=True)
class HourLine:
    """One row of the table."""

    hour: str
    source: str
    sun: str
    temp: str
    humidity: str
    dew: str
    rock: str
    dry: str
    fanned: str
    wind: str
    own: str


def line_of(hour: HourShown, day: DayAtPlace) -> HourLine:
    """An hour in the reader's units and words."""
    units, unknown = day.units, gettext("not known")
    said = air_units.wind_said(hour.wind_m_s, units)
    sea = str(air_day.SEA.get(hour.sea, ""))
    wind = " ".join(part for part in (said, air_day.bearing(hour.wind_from_deg), sea) if part)
    return HourLine(
        hour=clock_time(hour.at),
        source=str(air_day.SOURCES[hour.source]),
        sun=_sun(hour, day),
        temp=_with_range(hour, day),
        humidity=unknown if hour.humidity_pct is None else f"{hour.humidity_pct:.0f} %",
        dew=air_units.temp(hour.dew_c, units),
        rock=_rock(hour, day),
        dry=f"{air_units.about(hour.middling_s)} ({air_units.pause(hour.dry_s)})",
        fanned=air_units.pause(hour.fanned_s),
        wind=wind,
        own=air_day.own_days(*hour.own) or unknown,
    )


def _with_range(hour: HourShown, day: DayAtPlace) -> str:
    said = air_units.temp(hour.temp_c, day.units)
    if hour.temp_c is None or hour.temp_spread_k < 0.75:
        return said
    return f"{said} ± {max(1, round(air_units.gap(hour.temp_spread_k, day.units)))}"


def _sun(hour: HourShown, day: DayAtPlace) -> str:
    if day.place.kind == "hall":
        return gettext("indoors")
    if hour.sun_frac is None:
        return gettext("not known")
    return gettext("%(n)d of 60 min") % {"n": round(60 * hour.sun_frac)} if hour.sun_frac else gettext("none")


def _rock(hour: HourShown, day: DayAtPlace) -> str:
    dry = gettext("dry") if hour.rock == 0 else gettext("not known")
    return warned(hour, day) or dry
