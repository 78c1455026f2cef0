"""The air of an event against the air its athletes trained in: what differs, and what fingers make of it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from athletes.records.queries_events import EventAir, EventFacts
from coaching.rules.event_needs import DEW_POINT_APART_C
from coaching.science.air import day as days
from coaching.science.air.limits import heat_index_c
from coaching.science.air.moist_air import STANDARD_PA, pressure_pa
from coaching.science.air.psychrometrics import humidity_frac, saturation_over_water_pa
from coaching.usecases.shown_air import OneAir, TwoAirs
from coaching.usecases.shown_event import EntryRow

DAMP, DRY = days.Fingers(7.0, 9.0), days.Fingers(1.0, 3.0)
HOT_C, COLD_C, HIGH_M = 28.0, 14.0, 1500.0
REHEARSAL_DAYS = 13
"""As the rulebook has it: two rehearsals three days apart, the second ten days before."""


def two_airs(event: EventFacts, air: EventAir, rows: Sequence[EntryRow], today: date, now: datetime) -> TwoAirs:
    """What the event's air asks beyond that of home, from what is known of both."""
    there, home = _there(event, air), _home(air)
    gap = there.dew_c - home.dew_c if there and home else None
    damper, drier = (gap is not None and sign * gap >= DEW_POINT_APART_C for sign in (1.0, -1.0))
    by, count = _rehearsal(event, rows, damper)
    temps = [hour.temp_c for hour in air.hours]
    feels = [float(heat_index_c(h.temp_c, h.humidity_pct / 100.0)) for h in air.hours]
    high = event.altitude_m
    higher = high is not None and high >= HIGH_M and high - (air.home_altitude_m or 0.0) >= HIGH_M / 2
    return TwoAirs(
        home, there, gap, damper, drier,
        max(temps, default=None), min(temps, default=None), max(feels, default=None),
        high if higher else None, _apart(event, air, now), by, count, by is not None and by < today,
    )  # fmt: skip


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
    dew = float(np.mean([hour.dew_point_c for hour in air.home_hours]))
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


def _apart(event: EventFacts, air: EventAir, now: datetime) -> float | None:
    if air.home_zone is None:
        return None
    there, home = (now.astimezone(ZoneInfo(zone)).utcoffset() for zone in (event.timezone, air.home_zone))
    return abs((there - home).total_seconds()) / 3600.0 if there is not None and home is not None else None
