"""The air of an event against the air its athletes trained in: what differs, and what fingers make of it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from athletes.records.histories_air import FIRST_HOUR, LAST_HOUR
from athletes.records.queries_events import EventAir, EventFacts, HourAir
from coaching.rules.event_needs import DEW_POINT_APART_C
from coaching.science.air import day as days
from coaching.science.air.air_quantities import chosen
from coaching.science.air.face import sun_share_by_hour, upright
from coaching.science.air.journey import flight_h, great_circle_km
from coaching.science.air.limits import heat_index_c
from coaching.science.air.moist_air import STANDARD_PA, pressure_pa
from coaching.science.air.psychrometrics import humidity_frac, saturation_over_water_pa
from coaching.usecases.shown_event import EntryRow
from coaching.usecases.shown_two_airs import Extreme, HomeGap, OneAir, TwoAirs

DAMP, DRY = days.Fingers(7.0, 9.0), days.Fingers(1.0, 3.0)
HOT_C, COLD_C, HIGH_M = 28.0, 14.0, 1500.0
REHEARSAL_DAYS = 13
"""As the rulebook has it: two rehearsals three days apart, the second ten days before."""


def two_airs(event: EventFacts, air: EventAir, rows: Sequence[EntryRow], today: date, now: datetime) -> TwoAirs:
    """What the event's air asks beyond that of home, from what is known of both."""
    there, home = _there(event, air), _home(air)
    gap = there.dew_c - home.dew_c if there and home else None
    spread, age = _sure(event, air)
    damper, drier = (gap is not None and sign * gap >= DEW_POINT_APART_C for sign in (1.0, -1.0))
    by, count = _rehearsal(event, rows, damper)
    by_temp = sorted(air.hours, key=lambda hour: hour.temp_c)
    feels = [float(heat_index_c(h.temp_c, h.humidity_pct / 100.0)) for h in air.hours]
    high = event.altitude_m
    higher = high is not None and high >= HIGH_M and high - (air.home_altitude_m or 0.0) >= HIGH_M / 2
    return TwoAirs(
        home, there, gap, damper, drier,
        _extreme(event, by_temp[-1]) if by_temp else None, _extreme(event, by_temp[0]) if by_temp else None,
        max(feels, default=None), high if higher else None, _flight_h(event, air, now), by, count,
        by is not None and by < today, spread if gap is not None else None, age, event.place_kind == "hall",
        _sun_h(event), _one("", there.temp_c, there.dew_c, None).damp_s if there and higher else None,
        _cool_s(home) if home else None,
        tuple(HomeGap(o.name, o.athletes, there.dew_c - o.dew_point_c) for o in air.others) if there else (),
    )  # fmt: skip


def _sure(event: EventFacts, air: EventAir) -> tuple[float, float | None]:
    """Half of the range of the gap, K, and how old the forecast is when the event begins, d."""
    if air.typical_of:
        return chosen("forecast_spread_most_k"), None
    if air.forecast_of is None:
        return chosen("reading_spread_k"), None
    begins = datetime.combine(event.first_day, time(12), ZoneInfo(event.timezone))
    age = (begins - air.forecast_of).total_seconds() / days.S_PER_DAY
    return float(days.spread_k(days.FORECAST, np.asarray(age))), age


def _hour(temp_c: float, dew_c: float, altitude_m: float | None) -> days.Hours:
    """In the slight draught of a hall, as both airs."""
    pressure = STANDARD_PA if altitude_m is None else float(pressure_pa(altitude_m))
    humidity = float(humidity_frac(temp_c, saturation_over_water_pa(min(dew_c, temp_c))))
    low, high = days.finger_wind_m_s(np.array([np.nan]), sheltered=True, indoors=True)
    nought = np.zeros(1)
    air = days.HourlyAir(np.array([temp_c]), np.array([humidity]), nought, nought, low, high, pressure)
    return days.read_hours(air, DAMP)


def _extreme(event: EventFacts, hour: HourAir) -> Extreme:
    found = _hour(hour.temp_c, hour.dew_point_c, event.altitude_m)
    return Extreme(hour.temp_c, float(found.cool.low_s[0]), float(found.clumsy_s[0]))


def _cool_s(home: OneAir) -> float:
    return float(_hour(home.temp_c, home.dew_c, None).cool.low_s[0])


def _sun_h(event: EventFacts) -> tuple[int, int] | None:
    """First and last hour with sun on the face on the event's first day, between 8 and 20 o'clock."""
    if event.place_kind == "hall" or event.lat is None or event.lon is None or event.face_deg is None:
        return None
    zone = ZoneInfo(event.timezone)
    starts = [datetime.combine(event.first_day, time(h), zone) for h in range(FIRST_HOUR, LAST_HOUR)]
    face = upright(event.lat, event.lon, np.array([event.face_deg]), event.skyline_deg or 0.0)
    share = sun_share_by_hour(np.array([at.timestamp() for at in starts]), face)[0]
    lit = [at.hour for at, part in zip(starts, share, strict=True) if part >= 0.5]
    return (lit[0], lit[-1] + 1) if lit else None


def _there(event: EventFacts, air: EventAir) -> OneAir | None:
    if not air.hours:
        return None
    temp = float(np.mean([hour.temp_c for hour in air.hours]))
    dew = float(np.mean([hour.dew_point_c for hour in air.hours]))
    return _one(event.place or event.name, temp, dew, event.altitude_m)


def _home(air: EventAir) -> OneAir | None:
    if air.home is None or not air.home_hours:
        return None
    temp = float(np.mean([hour.temp_c for hour in air.home_hours]))
    mean = air.home_dew_point_c  # the mean that the page and the athletes' reasons tell
    dew = float(np.mean([hour.dew_point_c for hour in air.home_hours])) if mean is None else mean
    return _one(air.home, temp, dew, air.home_altitude_m)


def _one(name: str, temp_c: float, dew_c: float, altitude_m: float | None) -> OneAir:
    """Both in the slight draught of a hall: the airs are compared, not the winds."""
    pressure = STANDARD_PA if altitude_m is None else float(pressure_pa(altitude_m))
    dew_c = min(dew_c, temp_c)
    humidity = float(humidity_frac(temp_c, saturation_over_water_pa(dew_c)))
    low, high = days.finger_wind_m_s(np.array([np.nan]), sheltered=True, indoors=True)
    nought = np.zeros(1)
    hourly = days.HourlyAir(np.array([temp_c]), np.array([humidity]), nought, nought, low, high, pressure)
    damp, dry = (float(days.read_hours(hourly, fingers).middling_s[0]) for fingers in (DAMP, DRY))
    return OneAir(name, temp_c, dew_c, humidity, pressure, damp, dry)


def _rehearsal(event: EventFacts, rows: Sequence[EntryRow], damper: bool) -> tuple[date | None, int]:
    """The earliest start that somebody's plan holds, else the rulebook's where the air is damper."""
    starts = [
        due.latest
        for row in rows
        for due in (row.entry.deadlines if row.entry else ())
        if due.kind == "rehearsal-start" and due.state != "done"
    ]
    if starts:
        return min(starts), len(starts)
    return (event.first_day - timedelta(days=REHEARSAL_DAYS), 0) if damper else (None, 0)


def _flight_h(event: EventFacts, air: EventAir, now: datetime) -> float | None:
    """From the distance; where a position is missing at least as many hours as the clocks lie apart."""
    here, there = (air.home_lat, air.home_lon), (event.lat, event.lon)
    if None not in here and None not in there:
        return float(flight_h(great_circle_km(*here, *there)))  # type: ignore[arg-type]
    return _apart(event, air, now)


def _apart(event: EventFacts, air: EventAir, now: datetime) -> float | None:
    """A clock turns an hour each 1,700 km at the equator and less elsewhere: about an hour and more by air."""
    if air.home_zone is None:
        return None
    there, home = (now.astimezone(ZoneInfo(zone)).utcoffset() for zone in (event.timezone, air.home_zone))
    return abs((there - home).total_seconds()) / 3600.0 if there is not None and home is not None else None
