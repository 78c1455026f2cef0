"""Wind: units, components, on and along a coast, and means that never average bearings."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from coaching.science.air.air_quantities import chosen
from coaching.science.air.psychrometrics import Values
from coaching.science.inputs import Bools, Floats

M_S_PER: Mapping[str, float] = MappingProxyType(
    {"m/s": 1.0, "km/h": 1 / 3.6, "mph": 0.44704, "kn": 1852.0 / 3600.0, "tenths of m/s": 0.1}
)
"""Metres a second in one of a unit; mile and knot by international definition. Old station files count tenths."""


class Components(NamedTuple):
    """Where the air moves to, m/s: towards east and towards north."""

    east_m_s: Floats
    north_m_s: Floats


class CoastWind(NamedTuple):
    """Wind at a coast, m/s: from sea to land, and along the coast.

    Along is positive where it comes from the right hand of who looks out to sea.
    """

    onshore_m_s: Floats
    along_m_s: Floats


class MeanWind(NamedTuple):
    """Mean of a wind as a vector: speed, bearing it comes from (NaN in a calm), and how steady it was, 0-1."""

    speed_m_s: Floats
    from_deg: Floats
    steadiness_frac: Floats


def speed_m_s(speed: Values, unit: str) -> Floats:
    """Return a wind speed in metres a second.

    Parameters: speed (any shape, in the unit); unit (a key of M_S_PER).
    Returns: same shape, m/s.
    Raises: KeyError for a unit that is not known; no unit is ever guessed.
    Assumes: nothing.
    Source: definitions of mile and knot; tests/reference/test_air_wind.py.
    """
    return np.asarray(speed, dtype=np.float64) * M_S_PER[unit]


def implausible(speed_m_s: Values) -> Bools:
    """Return whether a speed cannot be an hourly wind: negative, or above the strongest gust on record.

    Parameters: speed_m_s (any shape, m/s, NaN not known).
    Returns: same shape; NaN is not implausible, only unknown.
    Raises: nothing.
    Assumes: nothing.
    Source: World Meteorological Organization record, 113.2 m/s; tests/reference/test_air_wind.py.
    """
    speed = np.asarray(speed_m_s, dtype=np.float64)
    return (speed < 0) | (speed > chosen("wind_record_m_s"))


def components(speed_m_s: Values, from_deg: Values) -> Components:
    """Return the components of a wind.

    Parameters: speed_m_s (m/s); from_deg (compass bearing it comes from); shapes broadcast.
    Returns: Components, broadcast shape: a west wind moves towards east.
    Raises: nothing.
    Assumes: nothing.
    Source: meteorological convention (WMO-No. 8); tests/reference/test_air_wind.py.
    """
    bearing = np.radians(np.asarray(from_deg, dtype=np.float64))
    return Components(-speed_m_s * np.sin(bearing), -speed_m_s * np.cos(bearing))


def coast_wind(speed_m_s: Values, from_deg: Values, seaward_deg: Values) -> CoastWind:
    """Return the wind on and along a coast.

    Parameters: speed_m_s (m/s); from_deg (compass bearing it comes from); seaward_deg (compass bearing that
        looks straight out to sea); shapes broadcast.
    Returns: CoastWind, broadcast shape; onshore is negative where it blows off the land.
    Raises: nothing.
    Assumes: a straight coast.
    Source: geometry; tests/reference/test_air_wind.py.
    """
    turn = np.radians(np.asarray(from_deg, dtype=np.float64) - seaward_deg)
    return CoastWind(speed_m_s * np.cos(turn), speed_m_s * np.sin(turn))


def mean_wind(speed_m_s: Floats, from_deg: Floats) -> MeanWind:
    """Return the mean of a wind over the last axis, as a vector.

    Parameters: speed_m_s (..., T), m/s; from_deg (..., T), compass degrees, NaN in a calm; hours without a
        speed, or with one but no bearing, are left out.
    Returns: MeanWind (...); NaN where no hour is known.
    Raises: nothing.
    Assumes: every hour counts once.
    Source: vector mean (WMO-No. 8); tests/reference/test_air_wind.py.
    """
    calm = speed_m_s == 0
    known = ~np.isnan(speed_m_s) & (calm | ~np.isnan(from_deg))
    parts = components(np.where(known, speed_m_s, 0.0), np.where(known & ~calm, from_deg, 0.0))
    count = known.sum(axis=-1)
    share = 1.0 / np.where(count > 0, count, np.nan)
    east, north = parts.east_m_s.sum(axis=-1) * share, parts.north_m_s.sum(axis=-1) * share
    speed, scalar = np.hypot(east, north), np.where(known, speed_m_s, 0.0).sum(axis=-1) * share
    moving = speed > 1e-9 * np.maximum(scalar, 1e-9)
    bearing = np.degrees(np.arctan2(-east, -north)) % 360.0
    steady = np.where(scalar > 0, speed / np.where(scalar > 0, scalar, 1.0), np.nan)
    return MeanWind(speed, np.where(moving, bearing, np.nan), steady)
