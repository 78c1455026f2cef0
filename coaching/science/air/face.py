"""Sun on a face of rock: its slope, the way it looks and the skyline before it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coaching.science.air.sun import Direction, azimuth_deg, elevation_deg, refraction_deg, sun_direction
from coaching.science.inputs import Bools, Floats

S_PER_H, H_PER_DAY = 3600.0, 24.0


@dataclass(frozen=True)
class Faces:
    """P faces of rock.

    Facing is the compass bearing of the outward normal; a slope of 90 is upright, more overhangs. The skyline
    is its height in S equal sectors of the compass, the first centred on north; S = 1 is one height all round.
    """

    lat_deg: Floats  # (P,)
    lon_deg: Floats  # (P,) east positive
    facing_deg: Floats  # (P,)
    slope_deg: Floats  # (P,)
    skyline_deg: Floats  # (P, S)


def upright(lat_deg: float, lon_deg: float, facing_deg: Floats, skyline_deg: float = 0.0) -> Faces:
    """Return upright faces at one place before a level skyline.

    Parameters: lat_deg, lon_deg (degrees); facing_deg (P,) (compass degrees); skyline_deg (degrees).
    Returns: Faces.
    Raises: nothing.
    Assumes: nothing.
    Source: definition; tests/reference/test_air_sun.py.
    """
    facing = np.atleast_1d(np.asarray(facing_deg, dtype=np.float64))
    full = np.ones(facing.shape)
    return Faces(lat_deg * full, lon_deg * full, facing, 90.0 * full, skyline_deg * full[:, None])


def skyline_at_deg(faces: Faces, bearing_deg: Floats) -> Floats:
    """Return the height of the skyline along bearings, straight between the centres of its sectors.

    Parameters: faces; bearing_deg (P, T), compass degrees.
    Returns: (P, T), degrees.
    Raises: nothing.
    Assumes: nothing stands between two sectors that neither shows.
    Source: judgement: linear between sectors, so that nothing jumps; tests/property/test_air.py.
    """
    count = faces.skyline_deg.shape[-1]
    if count == 1:
        return np.broadcast_to(faces.skyline_deg, bearing_deg.shape)
    place = (bearing_deg % 360.0) / 360.0 * count
    first = np.floor(place).astype(np.int64)
    share = place - first
    left = np.take_along_axis(faces.skyline_deg, first % count, axis=-1)
    right = np.take_along_axis(faces.skyline_deg, (first + 1) % count, axis=-1)
    return np.asarray(left + share * (right - left))


def sun_on_face(utc_s: Floats, faces: Faces) -> Bools:
    """Return whether the centre of the sun is over the skyline and before the face.

    Parameters: utc_s (T,), s since 1970-01-01 UTC; faces (P).
    Returns: (P, T).
    Raises: ValueError for a latitude beyond the poles.
    Assumes: a clear sky; cloud is another matter. Ordinary refraction. Trees and roofs are part of the skyline.
    Source: Meeus 1998 and geometry; tests/reference/test_air_sun.py.
    """
    sun = sun_direction(utc_s, faces.lat_deg[:, None], faces.lon_deg[:, None])
    height = elevation_deg(sun)
    height = height + refraction_deg(height)
    return (height > skyline_at_deg(faces, azimuth_deg(sun))) & (_before(sun, height, faces) > 0)


def sun_share_by_hour(hour_starts_s: Floats, faces: Faces, samples: int = 6) -> Floats:
    """Return the share of each hour in which a face has sun under a clear sky.

    Parameters: hour_starts_s (H,), s since 1970-01-01 UTC; faces (P); samples (looks in an hour, >= 1).
    Returns: (P, H), 0-1 in steps of one over samples.
    Raises: ValueError for fewer than one sample.
    Assumes: as `sun_on_face`.
    Source: midpoint rule; tests/reference/test_air_sun.py.
    """
    if samples < 1:
        raise ValueError("samples must be at least 1")
    within_s = (np.arange(samples) + 0.5) * S_PER_H / samples
    times = (hour_starts_s[:, None] + within_s).ravel()
    lit = sun_on_face(times, faces).reshape(faces.lat_deg.shape[0], hour_starts_s.shape[0], samples)
    return np.asarray(lit.mean(axis=-1))


def hours_of_sun(day_start_s: float, faces: Faces, step_s: float = 60.0) -> Floats:
    """Return the hours of sun that a face has in the 24 hours from an instant under a clear sky.

    Parameters: day_start_s (s since 1970-01-01 UTC); faces (P); step_s (s, divides a day).
    Returns: (P,), h, 0-24.
    Raises: nothing.
    Assumes: as `sun_on_face`.
    Source: rectangle rule; tests/reference/test_air_sun.py.
    """
    times = day_start_s + np.arange(0.0, H_PER_DAY * S_PER_H, step_s)
    return np.asarray(sun_on_face(times, faces).mean(axis=-1)) * H_PER_DAY


def _before(sun: Direction, seen_deg: Floats, faces: Faces) -> Floats:
    """Positive where the sun, lifted to its seen height, stands before the face."""
    facing, slope = np.radians(faces.facing_deg)[:, None], np.radians(faces.slope_deg)[:, None]
    level = np.sqrt(sun.east * sun.east + sun.north * sun.north)
    across = sun.east * np.sin(facing) + sun.north * np.cos(facing)
    return np.asarray(across * np.sin(slope) + level * np.tan(np.radians(seen_deg)) * np.cos(slope))
