"""From the air of a place's hours to what is shown of its day: hours, windows, what each costs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import NamedTuple
from zoneinfo import ZoneInfo

import numpy as np

from athletes.records.histories import SURFACE_OF_ROCK
from athletes.records.queries_air import Floats, PlaceFacts
from coaching.science.air import day as days
from coaching.science.air import windows as found_windows
from coaching.science.air.drying import Seconds
from coaching.science.air.face import sun_share_by_hour, upright
from coaching.science.air.limits import heat_index_c
from coaching.science.air.moist_air import STANDARD_PA, pressure_pa
from coaching.science.air.sun import elevation_deg, sun_direction
from coaching.science.air.wind import coast_wind
from coaching.science.air.windows import LEAST_SESSIONS, Alike, PastAir, Setting, Window, alike
from coaching.usecases import day_cost
from coaching.usecases.hours_at_place import SOURCES, Row
from coaching.usecases.shown_air import Cost, DayAtPlace, HourShown, Range, Units, Whose, WindowShown

MIDDLING = (3.0, 7.0)
"""Dampness of anybody, on the scale of 0 to 10."""
DAMPNESS_SPREAD_PT = 1.0
FIRST_INDOORS, LAST_INDOORS = 7, 22
LONGEST_SESSION_H = 4.0
MOST_WINDOWS = 3
RAIN_MM = 0.1
Costs = Callable[[Sequence[float], str], dict[float, Cost]]
"""From lengths of sessions in hours, and a surface, to what each costs the athlete."""


class Past(NamedTuple):
    own: PastAir
    squad: PastAir


@dataclass(frozen=True)
class Asked:
    """Which day is meant, and whose fingers."""

    place: PlaceFacts
    zone: str
    day: date
    today: date
    units: Units
    whose: Whose


@dataclass(frozen=True)
class _Read:
    """H hours with everything that is said of them."""

    row: Row
    hours: days.Hours
    setting: Setting
    up: np.ndarray
    rock: np.ndarray
    heat_c: Floats
    own: Alike
    squad: Alike
    local: Sequence[datetime]


def told(
    asked: Asked, row: Row, typical_of: str, past: Past, people: tuple[tuple[str, str], ...], costs: Costs
) -> DayAtPlace:
    place, zone = asked.place, ZoneInfo(asked.zone)
    local = [datetime.fromtimestamp(float(at), zone) for at in row.starts_s]
    of_day = np.array([at.date() == asked.day for at in local])
    read = _read(asked, row, past, local, of_day)
    dry_skin = asked.whose.skin_kind == "dry"
    ranked = found_windows.windows(read.hours, read.setting, past.own, past.squad, dry_skin)[:MOST_WINDOWS]
    surface = "plastic" if place.kind == "hall" else SURFACE_OF_ROCK.get(place.rock, "")
    own = costs([_climbed(one) for one in ranked], surface)
    issued = row.known_s[of_day & np.isfinite(row.known_s)]
    return DayAtPlace(
        place, asked.zone, asked.day, asked.today, asked.units,
        tuple(_hour(read, int(h)) for h in np.flatnonzero(of_day)),
        tuple(_window(one, read, own.get(_climbed(one)) or day_cost.of_anybody(_climbed(one), surface))
              for one in ranked),
        asked.whose, people, datetime.fromtimestamp(float(issued.max()), zone) if issued.size else None, typical_of,
        surface,
    )  # fmt: skip


def _read(asked: Asked, row: Row, past: Past, local: Sequence[datetime], of_day: np.ndarray) -> _Read:
    place, damp = asked.place, asked.whose.dampness_pt
    indoors = place.kind == "hall" and place.exposure != "open"
    low, high = days.finger_wind_m_s(row.wind_m_s, place.exposure == "sheltered", indoors)
    pressure = float(pressure_pa(place.altitude_m)) if place.altitude_m is not None else STANDARD_PA
    air = days.HourlyAir(row.temp_c, row.humidity_frac, row.temp_spread_k, row.dew_spread_k, low, high, pressure)
    ends = MIDDLING if damp is None else (max(0.0, damp - DAMPNESS_SPREAD_PT), min(10.0, damp + DAMPNESS_SPREAD_PT))
    hours = days.read_hours(air, days.Fingers(*ends))
    sun, up = _sun(place, row.starts_s)
    clock_h = np.array([at.hour for at in local])
    lit = (clock_h >= FIRST_INDOORS) & (clock_h < LAST_INDOORS) if place.kind == "hall" or place.lat is None else up
    rain = np.nan_to_num(row.rain_mm) >= RAIN_MM
    if place.kind == "hall":
        sun, rain = np.zeros(sun.shape), np.zeros(sun.shape, dtype=bool)
    setting = Setting(lit & of_day, sun, row.temp_c, _sea(place, row), rain)
    mine, theirs = (alike(row.temp_c, hours.dew_c, one) for one in past)
    heat = heat_index_c(row.temp_c, row.humidity_frac)
    enough = past.own.good.size >= LEAST_SESSIONS
    none = Alike(np.zeros_like(mine.good), np.zeros_like(mine.all))
    return _Read(
        row, hours, setting, up, found_windows.rock_state(hours), heat, mine if enough else none, theirs, local
    )


def _sun(place: PlaceFacts, starts_s: Floats) -> tuple[Floats, np.ndarray]:
    """Share of each hour with sun on the face, NaN without a face; and whether the sun is up at its middle."""
    size = starts_s.size
    if place.lat is None or place.lon is None:
        return np.full(size, np.nan), np.ones(size, dtype=bool)
    up = elevation_deg(sun_direction(starts_s + days.S_PER_H / 2, place.lat, place.lon)) > 0
    if place.face_deg is None:
        return np.full(size, np.nan), up
    face = upright(place.lat, place.lon, np.array([place.face_deg]), place.skyline_deg or 0.0)
    return sun_share_by_hour(starts_s, face)[0], up


def _sea(place: PlaceFacts, row: Row) -> np.ndarray:
    if place.coast_deg is None:
        return np.full(row.starts_s.size, found_windows.NO_COAST)
    wind = coast_wind(row.wind_m_s, row.wind_from_deg, place.coast_deg)
    return found_windows.sea_wind(wind.onshore_m_s, row.wind_m_s)


def _hour(read: _Read, h: int) -> HourShown:
    row, hours, setting = read.row, read.hours, read.setting
    return HourShown(
        at=read.local[h],
        source=SOURCES[int(row.source[h])],
        temp_c=_or_none(row.temp_c[h]),
        humidity_pct=_or_none(100.0 * row.humidity_frac[h]),
        dew_c=_or_none(hours.dew_c[h]),
        temp_spread_k=float(row.temp_spread_k[h]),
        wind_m_s=_or_none(row.wind_m_s[h]),
        wind_from_deg=_or_none(row.wind_from_deg[h]),
        sun_frac=_or_none(setting.sun_frac[h]),
        sun_up=bool(read.up[h]),
        sea=int(setting.sea[h]),
        rock=int(read.rock[h]),
        dry_s=_range(hours.dry, h),
        middling_s=_or_none(hours.middling_s[h]),
        fanned_s=_range(hours.fanned, h),
        cool_least_s=_or_none(hours.cool.low_s[h]),
        brittle_frac=_or_none(hours.brittle_frac[h]),
        clumsy_least_s=_or_none(hours.clumsy_s[h]),
        heat_index_c=_or_none(read.heat_c[h]),
        rain=bool(setting.rain[h]),
        own=(int(read.own.good[h]), int(read.own.all[h])),
        squad=(int(read.squad.good[h]), int(read.squad.all[h])),
    )


def _or_none(value: float) -> float | None:
    return None if np.isnan(value) else float(value)


def _range(found: Seconds, h: int) -> Range | None:
    low, high = float(found.low_s[h]), float(found.high_s[h])
    return None if np.isnan(low) or np.isnan(high) else (low, high)


def _climbed(one: Window) -> float:
    """Hours of climbing that a window is counted for."""
    return min(float(one.last - one.first), LONGEST_SESSION_H)


def _window(one: Window, read: _Read, cost: Cost | None) -> WindowShown:
    run, hours = slice(one.first, one.last), read.hours
    return WindowShown(
        first=read.local[one.first],
        last=read.local[one.last - 1] + timedelta(hours=1),
        sunny=one.sunny,
        sea=one.sea,
        rock=one.rock,
        source=SOURCES[max(int(source) for source in read.row.source[run])],
        dry_s=(float(hours.dry.low_s[run].min()), float(hours.dry.high_s[run].max())),
        middling_s=float(np.median(hours.middling_s[run])),
        own=one.own,
        squad=one.squad,
        hours=_climbed(one),
        cost=cost,
        clumsy_s=float(np.where(read.row.temp_c[run] <= found_windows.COLD_C, hours.clumsy_s[run], np.inf).min()),
    )
