"""Water vapour in air: pressure, dew point over water, frost point over ice, humidity, deficit, wet bulb.

Relative humidity is always over liquid water, also below 0 C, as weather stations report it. Dew point and
frost point are two functions and never mixed: below 0 C they differ by more than a kelvin.
"""

from __future__ import annotations

import numpy as np

from coaching.science.air.curves import ICE, WATER, Curve, log_pressure, log_slope
from coaching.science.inputs import Floats

Values = float | Floats
ZERO_C_K = 273.15
DRY_AIR_J_KG_K = 287.042  # ASHRAE Handbook of Fundamentals 2017, ch. 1
VAPOUR_RATIO = 0.621945  # same: mass of a mole of water over one of dry air
VAPOUR_J_KG_K = DRY_AIR_J_KG_K / VAPOUR_RATIO

_NEWTON_STEPS = 3
_BISECTIONS = 40


def saturation_over_water_pa(temp_c: Values) -> Floats:
    """Return the saturation vapour pressure over liquid water, supercooled below 0 C.

    Parameters: temp_c (any shape, C, about -60 to 100).
    Returns: same shape, Pa.
    Raises: nothing.
    Assumes: pure water; no enhancement by air (0.4 % at sea level).
    Source: Hyland & Wexler 1983, ASHRAE Fundamentals eq. 6; tests/reference/test_air_psychrometrics.py.
    """
    return np.exp(log_pressure(_kelvin(temp_c), WATER))


def saturation_over_ice_pa(temp_c: Values) -> Floats:
    """Return the saturation vapour pressure over ice.

    Parameters: temp_c (any shape, C, -100 to 0.01; above it the curve has no meaning).
    Returns: same shape, Pa.
    Raises: nothing.
    Assumes: pure ice.
    Source: Hyland & Wexler 1983, ASHRAE Fundamentals eq. 5; tests/reference/test_air_psychrometrics.py.
    """
    return np.exp(log_pressure(_kelvin(temp_c), ICE))


def vapour_pressure_pa(temp_c: Values, humidity_frac: Values) -> Floats:
    """Return the vapour pressure of air.

    Parameters: temp_c (C); humidity_frac (0-1, over water at every temperature); shapes broadcast.
    Returns: broadcast shape, Pa.
    Raises: ValueError for a humidity below nought.
    Assumes: humidity as stations report it.
    Source: definition of relative humidity (WMO-No. 8); tests/reference/test_air_psychrometrics.py.
    """
    humidity = np.asarray(humidity_frac, dtype=np.float64)
    if np.any(humidity < 0):
        raise ValueError("humidity_frac must not be negative")
    return humidity * saturation_over_water_pa(temp_c)


def humidity_frac(temp_c: Values, vapour_pa: Values) -> Floats:
    """Return relative humidity over water.

    Parameters: temp_c (C); vapour_pa (Pa); shapes broadcast.
    Returns: broadcast shape, 0-1, above 1 where supersaturated.
    Raises: nothing.
    Assumes: nothing.
    Source: definition of relative humidity (WMO-No. 8); tests/property/test_air.py.
    """
    return np.asarray(vapour_pa, dtype=np.float64) / saturation_over_water_pa(temp_c)


def dew_point_c(vapour_pa: Values) -> Floats:
    """Return the dew point: where the vapour saturates over liquid water, also below 0 C.

    Parameters: vapour_pa (any shape, Pa).
    Returns: same shape, C; NaN where there is no vapour.
    Raises: nothing.
    Assumes: nothing.
    Source: inverse of Hyland & Wexler 1983 by Newton; tests/reference/test_air_psychrometrics.py.
    """
    return _inverse(vapour_pa, WATER, (17.625, 243.04, 610.94))  # start: Alduchov & Eskridge 1996


def frost_point_c(vapour_pa: Values) -> Floats:
    """Return the frost point: where the vapour saturates over ice.

    Parameters: vapour_pa (any shape, Pa).
    Returns: same shape, C; NaN where there is no vapour, and above the triple point, where no frost forms.
    Raises: nothing.
    Assumes: nothing.
    Source: inverse of Hyland & Wexler 1983 by Newton; tests/reference/test_air_psychrometrics.py.
    """
    frost = _inverse(vapour_pa, ICE, (22.587, 273.86, 611.21))  # start: Alduchov & Eskridge 1996
    return np.where(frost <= 0.01, frost, np.nan)


def absolute_humidity_g_m3(temp_c: Values, vapour_pa: Values) -> Floats:
    """Return the mass of vapour in a volume of air.

    Parameters: temp_c (C); vapour_pa (Pa); shapes broadcast.
    Returns: broadcast shape, g/m3.
    Raises: nothing.
    Assumes: ideal gas (up to 0.6 % low).
    Source: ideal gas law, ASHRAE constants; tests/reference/test_air_psychrometrics.py.
    """
    return 1000.0 * np.asarray(vapour_pa, dtype=np.float64) / (VAPOUR_J_KG_K * _kelvin(temp_c))


def vapour_deficit_pa(temp_c: Values, vapour_pa: Values) -> Floats:
    """Return how much vapour pressure the air lacks to saturation over water.

    Parameters: temp_c (C); vapour_pa (Pa); shapes broadcast.
    Returns: broadcast shape, Pa, negative where supersaturated.
    Raises: nothing.
    Assumes: nothing.
    Source: definition; tests/reference/test_air_psychrometrics.py.
    """
    return saturation_over_water_pa(temp_c) - np.asarray(vapour_pa, dtype=np.float64)


def humidity_ratio(vapour_pa: Values, pressure_pa: Values) -> Floats:
    """Return the mass of vapour to a mass of dry air.

    Parameters: vapour_pa (Pa); pressure_pa (Pa, above the vapour pressure); shapes broadcast.
    Returns: broadcast shape, kg/kg.
    Raises: nothing.
    Assumes: ideal gases.
    Source: ASHRAE Fundamentals eq. 20; tests/reference/test_air_psychrometrics.py.
    """
    vapour = np.asarray(vapour_pa, dtype=np.float64)
    return VAPOUR_RATIO * vapour / (pressure_pa - vapour)


def wet_bulb_c(temp_c: Values, vapour_pa: Values, pressure_pa: Values) -> Floats:
    """Return the psychrometric wet bulb of a liquid film, which may be supercooled.

    Parameters: temp_c (C, -40 to 60); vapour_pa (Pa); pressure_pa (Pa); shapes broadcast.
    Returns: broadcast shape, C; the temperature itself where the air is saturated.
    Raises: nothing.
    Assumes: adiabatic saturation with liquid water at every temperature, so that nothing jumps at 0 C.
    Source: ASHRAE Fundamentals eq. 33; tests/reference/test_air_psychrometrics.py.
    """
    return _bulb(temp_c, vapour_pa, pressure_pa, (2501.0, 2.326, 4.186), WATER)


def ice_bulb_c(temp_c: Values, vapour_pa: Values, pressure_pa: Values) -> Floats:
    """Return the psychrometric wet bulb of a film of ice.

    Parameters: temp_c (C, -40 to 60); vapour_pa (Pa); pressure_pa (Pa); shapes broadcast.
    Returns: broadcast shape, C; NaN above 0 C, where ice does not last.
    Raises: nothing.
    Assumes: adiabatic saturation with ice.
    Source: ASHRAE Fundamentals eq. 35; tests/reference/test_air_psychrometrics.py.
    """
    bulb = _bulb(temp_c, vapour_pa, pressure_pa, (2830.0, 0.24, 2.1), ICE)
    return np.where(bulb <= 0.0, bulb, np.nan)


def _kelvin(temp_c: Values) -> Floats:
    return np.asarray(temp_c, dtype=np.float64) + ZERO_C_K


def _inverse(vapour_pa: Values, curve: Curve, start: tuple[float, float, float]) -> Floats:
    vapour = np.asarray(vapour_pa, dtype=np.float64)
    wanted = np.log(np.where(vapour > 0, vapour, np.nan))
    b, c, e0 = start
    x = wanted - np.log(e0)
    t = c * x / (b - x) + ZERO_C_K
    for _ in range(_NEWTON_STEPS):
        t = t - (log_pressure(t, curve) - wanted) / log_slope(t, curve)
    return np.asarray(t - ZERO_C_K)


def _bulb(
    temp_c: Values, vapour_pa: Values, pressure_pa: Values, heat: tuple[float, float, float], curve: Curve
) -> Floats:
    """Bisection of the psychrometer equation; heat: (latent kJ/kg at 0 C, its slope, kJ/kg/K of the film)."""
    temp, vapour, pressure = np.broadcast_arrays(*(np.asarray(v, float) for v in (temp_c, vapour_pa, pressure_pa)))
    ratio = humidity_ratio(vapour, pressure)
    latent, slope, film = heat
    low, high = np.minimum(temp - 60.0, -45.0), np.asarray(temp, dtype=np.float64)
    for _ in range(_BISECTIONS):
        mid = 0.5 * (low + high)
        full = humidity_ratio(np.exp(log_pressure(mid + ZERO_C_K, curve)), pressure)
        held = ((latent - slope * mid) * full - 1.006 * (temp - mid)) / (latent + 1.86 * temp - film * mid)
        low, high = np.where(held < ratio, mid, low), np.where(held < ratio, high, mid)
    return np.where(np.isnan(ratio), np.nan, 0.5 * (low + high))
