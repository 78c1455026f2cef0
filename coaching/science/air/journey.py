"""The way to another air: how far, about how long by air, and the air of a cabin."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from coaching.science.air.air_quantities import chosen
from coaching.science.air.psychrometrics import Values, dew_point_c, vapour_pressure_pa
from coaching.science.inputs import Floats

EARTH_RADIUS_KM = 6371.0088
"""Mean radius of the International Union of Geodesy and Geophysics (GRS 80)."""


class Cabin(NamedTuple):
    """Dew point of cabin air after some hours aloft, C: driest and dampest."""

    low_c: float
    high_c: float


def great_circle_km(lat_deg: Values, lon_deg: Values, other_lat_deg: Values, other_lon_deg: Values) -> Floats:
    """Return the distance between two places over a sphere.

    Parameters: lat_deg, lon_deg of each (degrees); shapes broadcast.
    Returns: broadcast shape, km.
    Raises: nothing.
    Assumes: a sphere; the ellipsoid differs by up to 0.6 %.
    Source: haversine formula; tests/reference/test_air_journey.py.
    """
    a, b, c, d = (np.radians(np.asarray(v, dtype=np.float64)) for v in (lat_deg, lon_deg, other_lat_deg, other_lon_deg))
    half = np.sin((c - a) / 2) ** 2 + np.cos(a) * np.cos(c) * np.sin((d - b) / 2) ** 2
    return np.asarray(2.0 * EARTH_RADIUS_KM * np.arcsin(np.sqrt(np.clip(half, 0.0, 1.0))))


def flight_h(distance_km: Values) -> Floats:
    """Return about how long a flight over a distance lasts.

    Parameters: distance_km (any shape, km).
    Returns: same shape, h, without a change of planes.
    Raises: nothing.
    Assumes: the speed of an airliner and half an hour for climb and descent; winds are left out.
    Source: judgement, register of the air model; tests/reference/test_air_journey.py.
    """
    return np.asarray(distance_km, dtype=np.float64) / chosen("flight_km_h") + chosen("flight_ends_h")


def cabin() -> Cabin:
    """Return the dew point of cabin air once the humidity of the ground has left it.

    Parameters: none.
    Returns: Cabin.
    Raises: nothing.
    Assumes: an ordinary cabin temperature.
    Source: 5 to 15 % after three or four hours, as makers of airframes and humidifiers quote it, register of the air
        model; tests/reference/test_air_journey.py.
    """
    warm = chosen("cabin_c")
    ends = (float(dew_point_c(vapour_pressure_pa(warm, chosen(n)))) for n in ("cabin_dry_frac", "cabin_damp_frac"))
    return Cabin(*ends)
