"""The hours of one place, each with its range: what is unknown of the air widens what is told of fingers and rock."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from coaching.science.air.air_quantities import chosen
from coaching.science.air.between_tries import between_tries, sweat_of
from coaching.science.air.condensation import Margin, rock_margin_k
from coaching.science.air.drying import Seconds, film_evaporation_g_m2_h, film_time_s
from coaching.science.air.limits import brittleness_frac, humidity_at_skin_frac, soonest_clumsy_s
from coaching.science.air.moist_air import Air
from coaching.science.air.psychrometrics import dew_point_c, saturation_over_water_pa, vapour_pressure_pa
from coaching.science.inputs import Floats

MEASURED, BETWEEN, FORECAST, TYPICAL, NOTHING = 0, 1, 2, 3, -1
"""Where the air of an hour comes from: a reading, between two readings, a forecast, a typical year, nowhere."""

S_PER_H, S_PER_DAY = 3600.0, 86_400.0


@dataclass(frozen=True)
class HourlyAir:
    """H hours of one place. NaN: not known."""

    temp_c: Floats  # (H,)
    humidity_frac: Floats  # (H,), over water
    temp_spread_k: Floats  # (H,), half of the range
    dew_spread_k: Floats  # (H,), half of the range
    wind_low_m_s: Floats  # (H,), at a finger
    wind_high_m_s: Floats  # (H,)
    pressure_pa: float


class Hours(NamedTuple):
    """What H hours mean for fingers and rock, each (H,)."""

    dew_c: Floats
    dry: Seconds  # between tries, fingers as they are
    fanned: Seconds  # the same with a hand fan
    middling_s: Floats  # after a middling try, within `dry` and no bound
    cool: Seconds  # a lower bound at both ends
    rock: Margin
    brittle_frac: Floats  # a rank, not a chance
    clumsy_s: Floats  # of a dry finger, a lower bound


class Fingers(NamedTuple):
    """How damp fingers may be, on the athlete's own scale of 0 to 10."""

    low_pt: float
    high_pt: float


def spread_k(source: int, age_days: Floats) -> Floats:
    """Return half of the range of a temperature or dew point by where it comes from.

    Parameters: source (of this module); age_days (any shape, d, from when a forecast was known to the hour).
    Returns: same shape, K; grows with the age of a forecast, NaN for a typical year, which brings its own range.
    Raises: nothing.
    Assumes: errors of a forecast grow by the day; the place lies near what was measured or forecast.
    Source: judgement, sizes in the register of the air model; tests/unit/test_air_day.py.
    """
    age = np.maximum(np.asarray(age_days, dtype=np.float64), 0.0)
    if source in (TYPICAL, NOTHING):
        return np.full(age.shape, np.nan)
    if source == FORECAST:
        grown = chosen("forecast_spread_k") + chosen("forecast_growth_k_per_day") * age
        return np.minimum(grown, chosen("forecast_spread_most_k"))
    return np.full(age.shape, chosen("reading_spread_k") * (2.0 if source == BETWEEN else 1.0))


def finger_wind_m_s(wind_m_s: Floats, sheltered: bool, indoors: bool) -> tuple[Floats, Floats]:
    """Return between what the wind at a finger lies, from a wind as stations and forecasts give it.

    Parameters: wind_m_s (H,), m/s at ten metres, NaN not known; sheltered (a lee or a wood); indoors.
    Returns: two arrays (H,), m/s; not known widens to the whole of what is usual.
    Raises: nothing.
    Assumes: friction near the ground takes part of the wind; indoors the air moves by people alone.
    Source: judgement, register of the air model; tests/unit/test_air_day.py.
    """
    if indoors:
        return np.zeros(wind_m_s.shape), np.full(wind_m_s.shape, chosen("indoor_draught_m_s"))
    low, high = (0.2, 0.6) if sheltered else (0.5, 1.0)
    known = ~np.isnan(wind_m_s)
    return np.where(known, low * wind_m_s, 0.0), np.where(known, high * wind_m_s, high * chosen("wind_unknown_m_s"))


def read_hours(air: HourlyAir, fingers: Fingers) -> Hours:
    """Return what the hours of a place mean for fingers and rock, as ranges over what is not known.

    Parameters: air (H hours in a row); fingers (low not above high).
    Returns: Hours; NaN where the air is not known.
    Raises: ValueError for fingers whose ends are the wrong way round.
    Assumes: drier air, more wind and the drier finger go together, and the opposite; that makes the range wide
        rather than narrow. No sun on the finger.
    Source: `between_tries` and `rock_margin_k` at both ends; tests/unit/test_air_day.py.
    """
    if fingers.low_pt > fingers.high_pt:
        raise ValueError("fingers: low_pt lies above high_pt")
    dew = dew_point_c(vapour_pressure_pa(air.temp_c, air.humidity_frac))
    # Warmth alone moves drying a little either way, so both ends of the temperature are tried with each dew point.
    quick = [between_tries(_end(air, dew, sign, 1.0, air.wind_high_m_s), fingers.low_pt) for sign in (-1.0, 1.0)]
    slow = [between_tries(_end(air, dew, sign, -1.0, air.wind_low_m_s), fingers.high_pt) for sign in (-1.0, 1.0)]
    dry, fanned, cool = (
        Seconds(np.minimum(*(one.low_s for one in lows)), np.maximum(*(one.high_s for one in highs)))
        for lows, highs in (
            ([one.plain.dry for one in quick], [one.plain.dry for one in slow]),
            ([one.fanned.dry for one in quick], [one.fanned.dry for one in slow]),
            ([one.plain.cool for one in quick], [one.plain.cool for one in slow]),
        )
    )
    skin = 0.5 * (chosen("skin_warm_c") + chosen("skin_cool_c"))
    brittle = brittleness_frac(humidity_at_skin_frac(saturation_over_water_pa(dew), skin), skin)
    clumsy = soonest_clumsy_s(_end(air, dew, -1.0, 0.0, air.wind_high_m_s))
    middling = np.clip(_middling_s(air, dew, fingers), *dry)
    return Hours(dew, dry, fanned, middling, cool, _rock(air, dew), brittle, clumsy.high_s)


def _middling_s(air: HourlyAir, dew_c: Floats, fingers: Fingers) -> Floats:
    """Two minutes of a sweat between rest and effort, skin between cool and warm, the wind's middle."""
    here = _end(air, dew_c, 0.0, 0.0, 0.5 * (air.wind_low_m_s + air.wind_high_m_s))
    sweat = sweat_of(0.5 * (fingers.low_pt + fingers.high_pt))
    minutes = np.sqrt(chosen("try_short_min") * chosen("try_long_min"))
    film_um = np.sqrt(sweat.rest_g_m2_h * sweat.effort_g_m2_h) * minutes / 60.0
    skin = 0.5 * (chosen("skin_warm_c") + chosen("skin_cool_c"))
    return film_time_s(film_um, film_evaporation_g_m2_h(here, skin) - sweat.rest_g_m2_h)


def _end(air: HourlyAir, dew_c: Floats, warmer: float, drier: float, wind_m_s: Floats) -> Air:
    """The air moved by its spreads, each by a sign; never over saturation."""
    temp = air.temp_c + warmer * air.temp_spread_k
    dew = np.minimum(dew_c - drier * air.dew_spread_k, temp)
    return Air(temp, saturation_over_water_pa(dew), wind_m_s, np.asarray(air.pressure_pa))


def _rock(air: HourlyAir, dew_c: Floats) -> Margin:
    """Run by run: rock follows the air it has known since the last gap. Both spreads together widen the margin."""
    low, high = np.full(dew_c.shape, np.nan), np.full(dew_c.shape, np.nan)
    known = ~np.isnan(dew_c)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], known, [False]])))
    for first, last in zip(edges[::2], edges[1::2], strict=True):
        run = slice(int(first), int(last))
        vapour, spread = saturation_over_water_pa(dew_c[run]), np.hypot(air.temp_spread_k[run], air.dew_spread_k[run])
        found = rock_margin_k(air.temp_c[run], vapour)
        low[run], high[run] = found.low_k - spread, found.high_k + spread
        # The first hour knows nothing of the rock before it: it may be as warm as the air, or colder by a night.
        low[first] -= chosen("rock_first_hour_k")
    return Margin(low, high)
