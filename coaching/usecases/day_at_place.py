"""A place's day for one athlete or for anybody: hours with sun, air and wind, and the windows that they leave."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from athletes.records import queries_air
from athletes.records.access import AthleteRef
from athletes.records.errors import NotFound
from athletes.records.histories import SURFACE_OF_ROCK
from athletes.records.queries_air import Floats, PastSession, PlaceFacts
from athletes.records.viewer import Viewer
from coaching.science.air import day as days
from coaching.science.air import windows as found_windows
from coaching.science.air.drying import Seconds
from coaching.science.air.face import sun_share_by_hour, upright
from coaching.science.air.limits import heat_index_c
from coaching.science.air.moist_air import STANDARD_PA, pressure_pa
from coaching.science.air.sun import elevation_deg, sun_direction
from coaching.science.air.wind import coast_wind
from coaching.science.air.windows import PastAir, Setting, Window
from coaching.science.load import SURFACE_FACTORS
from coaching.science.quantities import QUANTITIES
from coaching.usecases import clock
from coaching.usecases.hours_at_place import SOURCES, Row, row_of
from coaching.usecases.morning_list import COACHING
from coaching.usecases.showing import show
from coaching.usecases.shown import AthleteShown
from coaching.usecases.shown_air import DayAtPlace, HourShown, Range, Whose, WindowShown, units_of

MIDDLING = (3.0, 7.0)
"""Dampness of anybody, on the scale of 0 to 10."""
DAMPNESS_SPREAD_PT = 1.0
FIRST_INDOORS, LAST_INDOORS = 7, 22
LONGEST_SESSION_H = 4.0
MOST_WINDOWS = 3
RAIN_MM = 0.1
DAYS_AHEAD = 400


def day_at_place(viewer: Viewer, code: str, day: date | None = None, athlete_code: str | None = None) -> DayAtPlace:
    """The day. Raises NotFound for a place, or an athlete, that is not the viewer's, alike for one that is not."""
    if not (viewer.operator or viewer.roles() & COACHING):
        raise NotFound
    refs = queries_air.people(viewer)
    place = queries_air.place(viewer, refs, code)
    zone = queries_air.zone_of(place.id, refs)
    now = clock.now()
    today = clock.local_day(now, zone)
    day = day if day and abs((day - today).days) <= DAYS_AHEAD else today
    sharing = [ref for ref in refs if "checkins" in ref.shared]
    athlete = _athlete(viewer, sharing, athlete_code)
    row, typical_of = _row(place, zone, day, now)
    past = queries_air.past_sessions(sharing, today)
    own_id = next((ref.id for ref in sharing if athlete and ref.code == athlete.code), None)
    own, squad = _past([p for p in past if p.athlete_id == own_id]), _past(past)
    whose = _whose(athlete, own, squad)
    return _told(viewer, place, zone, day, today, row, typical_of, whose, own, squad, sharing)


def _athlete(viewer: Viewer, sharing: Sequence[AthleteRef], code: str | None) -> AthleteShown | None:
    if not code:
        return None
    ref = next((ref for ref in sharing if ref.code == code), None)
    if ref is None:
        raise NotFound
    return show(viewer, [ref], course=False)[0]


def _row(place: PlaceFacts, zone: str, day: date, now: datetime) -> tuple[Row, str]:
    """From the noon before, so that thick rock remembers its night, to the end of the day."""
    first, end = (_midnight(d, zone) for d in (day, day + timedelta(days=1)))
    begin = first - timedelta(hours=12)
    starts = np.arange(begin.timestamp(), end.timestamp(), days.S_PER_H)
    margin = timedelta(hours=4)
    found = queries_air.readings(place.id, begin - margin, end + margin, now)
    typical = queries_air.typical(place.id, sorted({begin.month, end.month}))
    row = row_of(starts, found, typical)
    used = row.source[-int((end - first).total_seconds() // 3600) :]
    names = {hour.source for hour in typical.values()} if (used == days.TYPICAL).any() else set()
    return row, next(iter(names), "")


def _midnight(day: date, zone: str) -> datetime:
    return datetime.combine(day, time(), ZoneInfo(zone)).astimezone(UTC)


def _past(sessions: Sequence[PastSession]) -> PastAir:
    columns = np.array([(s.temp_c, s.dew_c, not s.skin_limited) for s in sessions], dtype=np.float64).reshape(-1, 3)
    return PastAir(columns[:, 0], columns[:, 1], columns[:, 2] > 0)


def _whose(athlete: AthleteShown | None, own: PastAir, squad: PastAir) -> Whose:
    squads = int(squad.good.size)
    if athlete is None:
        return Whose(None, "", None, "", 0, squads)
    damp = athlete.picture.dampness_mean_pt if athlete.picture else None
    kind = "" if damp is None else "damp" if damp >= 6.5 else "dry" if damp <= 3.5 else "mixed"
    return Whose(athlete.code, athlete.name, damp, kind, int(own.good.size), squads)


def _told(
    viewer: Viewer, place: PlaceFacts, zone: str, day: date, today: date, row: Row, typical_of: str, whose: Whose,
    own: PastAir, squad: PastAir, sharing: Sequence[AthleteRef],
) -> DayAtPlace:  # fmt: skip
    indoors = place.kind == "hall" and place.exposure != "open"
    low, high = days.finger_wind_m_s(row.wind_m_s, place.exposure == "sheltered", indoors)
    pressure = float(pressure_pa(place.altitude_m)) if place.altitude_m is not None else STANDARD_PA
    air = days.HourlyAir(row.temp_c, row.humidity_frac, row.temp_spread_k, row.dew_spread_k, low, high, pressure)
    damp = MIDDLING if whose.dampness_pt is None else (
        max(0.0, whose.dampness_pt - DAMPNESS_SPREAD_PT), min(10.0, whose.dampness_pt + DAMPNESS_SPREAD_PT),
    )  # fmt: skip
    hours = days.read_hours(air, days.Fingers(*damp))
    sun, up = _sun(place, row.starts_s)
    zone_info = ZoneInfo(zone)
    local = [datetime.fromtimestamp(float(at), zone_info) for at in row.starts_s]
    clock_h = np.array([at.hour for at in local])
    of_day = np.array([at.date() == day for at in local])
    lit = (clock_h >= FIRST_INDOORS) & (clock_h < LAST_INDOORS) if place.kind == "hall" or place.lat is None else up
    sea = _sea(place, row)
    setting = Setting(lit & of_day, sun, row.temp_c, sea, np.nan_to_num(row.rain_mm) >= RAIN_MM)
    if place.kind == "hall":
        setting = Setting(setting.light, np.zeros(sun.shape), row.temp_c, sea, np.zeros(sun.shape, dtype=bool))
    ranked = found_windows.windows(hours, setting, own, squad, whose.skin_kind == "dry")[:MOST_WINDOWS]
    rock = found_windows.rock_state(hours)
    heat = heat_index_c(row.temp_c, row.humidity_frac)
    shown = [
        _hour(row, hours, setting, local[h], h, rock, up, heat) for h in np.flatnonzero(of_day)
    ]  # fmt: skip
    surface = "plastic" if place.kind == "hall" else SURFACE_OF_ROCK.get(place.rock, "")
    issued = row.known_s[of_day & np.isfinite(row.known_s)]
    return DayAtPlace(
        place, zone, day, today, units_of(viewer), tuple(shown),
        tuple(_window(w, row, hours, local, surface) for w in ranked), whose,
        tuple((ref.code, ref.name) for ref in sharing),
        datetime.fromtimestamp(float(issued.max()), zone_info) if issued.size else None, typical_of, surface,
    )  # fmt: skip


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


def _hour(
    row: Row, hours: days.Hours, setting: Setting, at: datetime, h: int, rock: np.ndarray, up: np.ndarray, heat: Floats
) -> HourShown:
    return HourShown(
        at=at,
        source=SOURCES[int(row.source[h])],
        temp_c=_or_none(row.temp_c[h]),
        humidity_pct=_or_none(100.0 * row.humidity_frac[h]),
        dew_c=_or_none(hours.dew_c[h]),
        temp_spread_k=float(row.temp_spread_k[h]),
        wind_m_s=_or_none(row.wind_m_s[h]),
        wind_from_deg=_or_none(row.wind_from_deg[h]),
        sun_frac=_or_none(setting.sun_frac[h]),
        sun_up=bool(up[h]),
        sea=int(setting.sea[h]),
        rock=int(rock[h]),
        dry_s=_range(hours.dry, h),
        middling_s=_or_none(hours.middling_s[h]),
        fanned_s=_range(hours.fanned, h),
        cool_least_s=_or_none(hours.cool.low_s[h]),
        brittle_frac=_or_none(hours.brittle_frac[h]),
        clumsy_least_s=_or_none(hours.clumsy_s[h]),
        heat_index_c=_or_none(heat[h]),
        rain=bool(setting.rain[h]),
    )


def _or_none(value: float) -> float | None:
    return None if np.isnan(value) else float(value)


def _range(found: Seconds, h: int) -> Range | None:
    low, high = float(found.low_s[h]), float(found.high_s[h])
    return None if np.isnan(low) or np.isnan(high) else (low, high)


def _window(w: Window, row: Row, hours: days.Hours, local: Sequence[datetime], surface: str) -> WindowShown:
    run = slice(w.first, w.last)
    climbed = min(float(w.last - w.first), LONGEST_SESSION_H)
    cost = _cost(climbed, surface)
    worst = max(row.source[run].tolist())
    return WindowShown(
        first=local[w.first],
        last=local[w.last - 1] + timedelta(hours=1),
        sunny=w.sunny,
        sea=w.sea,
        rock=w.rock,
        source=SOURCES[int(worst)],
        dry_s=(float(hours.dry.low_s[run].min()), float(hours.dry.high_s[run].max())),
        middling_s=float(np.median(hours.middling_s[run])),
        own=w.own,
        squad=w.squad,
        hours=climbed,
        reserve_pt=cost[0] if cost else None,
        days_back=cost[1] if cost else None,
    )


def _cost(hours: float, surface: str) -> tuple[Range, Range] | None:
    """Reserve worn by so many hours at middling effort, and days until half of it is back, each as a range."""
    if not surface:
        return None
    wear, renewal = QUANTITIES["reserve_wear_pt_per_slu"], QUANTITIES["reserve_renewal_d"]
    load_slu = hours * SURFACE_FACTORS[surface]
    spread = float(wear.spread or 0.0)
    factor = float(np.exp(renewal.spread or 0.0))
    back = float(np.log(2.0)) * renewal.default
    worn = (load_slu * (wear.default - spread), load_slu * (wear.default + spread))
    return worn, (back / factor, back * factor)
