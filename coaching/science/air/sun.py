"""Where the sun stands: the short series of Meeus with the largest pulls of the planets, good to 0.01 degree.

What depends on time alone is worked out once for all places; what depends on the place alone once for all
times. Compass degrees: 0 north, 90 east, for sun and for faces alike. (Some solar software counts the bearing
of a face from south, west positive: its -10 is 170 here.)
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coaching.science.air.moist_air import STANDARD_PA
from coaching.science.air.psychrometrics import Values
from coaching.science.inputs import Floats

J2000_UTC_S = 946_728_000.0  # 2000-01-01 12:00 UTC
EARTH_MINUS_CLOCK_S = 69.0  # terrestrial time less UTC; 0.0001 degree for each 10 s of error
PARALLAX_RAD = 8.794 / 3600.0 * np.pi / 180.0

# Size, phase at 1900 and rate of each pull, degrees and degrees a century; Meeus 1979, Astronomical Formulae for
# Calculators, ch. 18 (from memory; with them 200 random positions of the full algorithm are met three times closer):
# twice Venus, Jupiter, the Moon, and one slow term (sines there turned into cosines).
_PULLS = (
    (0.00134, 153.23, 22_518.7541),
    (0.00154, 216.57, 45_037.5082),
    (0.00200, 312.69, 32_964.3577),
    (0.00179, 260.74, 445_267.1142),
    (0.00178, 141.19, 20.20),
)


class Direction(NamedTuple):
    """Towards the centre of the sun as seen from a place, without refraction; a vector of length about 1."""

    east: Floats
    north: Floats
    up: Floats


def sun_direction(utc_s: Values, lat_deg: Values, lon_deg: Values) -> Direction:
    """Return the direction of the sun.

    Parameters: utc_s (s since 1970-01-01 UTC); lat_deg (-90 to 90); lon_deg (east positive); shapes broadcast:
        give times as (H,) and places as (P, 1) for (P, H), which is by far the quickest.
    Returns: Direction, broadcast shape.
    Raises: ValueError for a latitude beyond the poles.
    Assumes: years 1980-2050; clock time within a second of the Earth's rotation.
    Source: Meeus 1998, Astronomical Algorithms, ch. 12, 22, 25; tests/reference/test_air_sun.py.
    """
    lat, lon = np.radians(np.asarray(lat_deg, dtype=np.float64)), np.radians(np.asarray(lon_deg, dtype=np.float64))
    if np.any(np.abs(lat) > np.pi / 2 + 1e-12):
        raise ValueError("lat_deg must be within -90 to 90")
    sin_dec, cos_dec, hour_angle = _equator(np.asarray(utc_s, dtype=np.float64))
    # The cosine of a sum, so that no trigonometry is done for each place and time.
    a, b = cos_dec * np.cos(hour_angle), cos_dec * np.sin(hour_angle)
    toward = a * np.cos(lon) - b * np.sin(lon)
    west = b * np.cos(lon) + a * np.sin(lon)
    sin_lat, cos_lat = np.sin(lat), np.cos(lat)
    up = sin_lat * sin_dec + cos_lat * toward - PARALLAX_RAD
    return Direction(-west, cos_lat * sin_dec - sin_lat * toward, up)


def elevation_deg(sun: Direction) -> Floats:
    """Return the true height of the sun over the level horizon.

    Parameters: sun.
    Returns: same shape, degrees, -90 to 90.
    Raises: nothing.
    Assumes: no refraction.
    Source: geometry; tests/reference/test_air_sun.py.
    """
    return np.degrees(np.arctan2(sun.up, np.sqrt(sun.east * sun.east + sun.north * sun.north)))


def azimuth_deg(sun: Direction) -> Floats:
    """Return the compass bearing of the sun.

    Parameters: sun.
    Returns: same shape, degrees, 0-360, 90 east; without meaning straight overhead.
    Raises: nothing.
    Assumes: nothing.
    Source: geometry; tests/reference/test_air_sun.py.
    """
    bearing = np.degrees(np.arctan2(sun.east, sun.north))
    return np.where(bearing < 0, bearing + 360.0, bearing)


def refraction_deg(elevation_deg: Values, pressure_pa: Values = STANDARD_PA, temp_c: Values = 12.0) -> Floats:
    """Return by how much the air lifts the sun.

    Parameters: elevation_deg (true, degrees); pressure_pa (Pa); temp_c (C); shapes broadcast.
    Returns: broadcast shape, degrees; fades to nought between 1 and 6 degrees below the horizon.
    Raises: nothing.
    Assumes: ordinary air; near the horizon it may be off by some tenths of a degree.
    Source: Saemundsson 1986 as used in Reda & Andreas 2004, doi 10.1016/j.solener.2003.12.003;
        tests/reference/test_air_sun.py.
    """
    height = np.asarray(elevation_deg, dtype=np.float64)
    seen = np.maximum(height, -1.0)
    lift = 1.02 / np.tan(np.radians(seen + 10.3 / (seen + 5.11))) / 60.0
    thick = np.asarray(pressure_pa, dtype=np.float64) / 101_000.0 * 283.0 / (273.0 + np.asarray(temp_c))
    return lift * thick * np.clip((height + 6.0) / 5.0, 0.0, 1.0)


def incidence_deg(elevation_deg: Values, azimuth_deg: Values, facing_deg: Values, slope_deg: Values = 90.0) -> Floats:
    """Return the angle between the sun and the outward normal of a face.

    Parameters: elevation_deg, azimuth_deg (sun, degrees); facing_deg (compass bearing the face looks to);
        slope_deg (0 level ground, 90 upright, over 90 overhanging); shapes broadcast.
    Returns: broadcast shape, degrees; under 90 the sun is before the face.
    Raises: nothing.
    Assumes: a plane face.
    Source: spherical trigonometry, Reda & Andreas 2004 eq. 47; tests/reference/test_air_sun.py.
    """
    height, slope = np.radians(elevation_deg), np.radians(slope_deg)
    turn = np.radians(np.asarray(azimuth_deg, dtype=np.float64) - facing_deg)
    cosine = np.sin(height) * np.cos(slope) + np.cos(height) * np.sin(slope) * np.cos(turn)
    return np.asarray(np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0))))


def _equator(utc_s: Floats) -> tuple[Floats, Floats, Floats]:
    """Sine and cosine of the declination, and the hour angle at Greenwich in radians."""
    days = (utc_s - J2000_UTC_S) / 86_400.0
    t = (days + EARTH_MINUS_CLOCK_S / 86_400.0) / 36_525.0
    anomaly = np.radians(357.52911 + t * (35_999.05029 - 0.0001537 * t))
    centre = (
        (1.914602 - t * (0.004817 + 0.000014 * t)) * np.sin(anomaly)
        + (0.019993 - 0.000101 * t) * np.sin(2 * anomaly)
        + 0.000289 * np.sin(3 * anomaly)
        + _pulls_deg(t)
    )
    node = np.radians(125.04 - 1934.136 * t)
    nutation = -0.00478 * np.sin(node)
    longitude = np.radians(280.46646 + t * (36_000.76983 + 0.0003032 * t) + centre - 0.00569 + nutation)
    tilt = np.radians(23.4392911 - 0.0130042 * t + 0.00256 * np.cos(node))
    ascension = np.arctan2(np.cos(tilt) * np.sin(longitude), np.cos(longitude))
    sidereal = 280.46061837 + 360.98564736629 * days + 0.000387933 * t * t + nutation * np.cos(tilt)
    sin_dec = np.sin(tilt) * np.sin(longitude)
    return sin_dec, np.sqrt(1.0 - sin_dec * sin_dec), np.radians(sidereal % 360.0) - ascension


def _pulls_deg(t: Floats) -> Floats:
    """What Venus, Jupiter and the Moon add to the sun's longitude, degrees."""
    since_1900 = t + 1.0
    total = np.zeros(np.shape(t))
    for size, start, rate in _PULLS:
        total = total + size * np.cos(np.radians(start + rate * since_1900))
    return total
