"""Air as a body finds it: pressure at an altitude, density, and what carries heat and vapour through it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from coaching.science.air.psychrometrics import (
    DRY_AIR_J_KG_K,
    VAPOUR_J_KG_K,
    ZERO_C_K,
    Values,
    vapour_pressure_pa,
)
from coaching.science.inputs import Floats

STANDARD_PA = 101_325.0
HEAT_J_KG_K = 1006.0  # dry air near 20 C; ASHRAE Fundamentals


@dataclass(frozen=True)
class Air:
    """Air of places and hours; shapes broadcast against each other, NaN not known."""

    temp_c: Floats
    vapour_pa: Floats
    wind_m_s: Floats
    pressure_pa: Floats

    def blown(self, speed_m_s: float) -> Air:
        """Return the same air with a fan across the wind.

        Parameters: speed_m_s (m/s, of the fan).
        Returns: Air.
        Raises: nothing.
        Assumes: the fan blows across the wind, so the two add as at right angles.
        Source: geometry; tests/property/test_air.py.
        """
        return replace(self, wind_m_s=np.hypot(self.wind_m_s, speed_m_s))


def air_of(temp_c: Values, humidity_frac: Values, wind_m_s: Values, altitude_m: Values = 0.0) -> Air:
    """Return air from what a forecast gives.

    Parameters: temp_c (C); humidity_frac (0-1, over water); wind_m_s (m/s); altitude_m (m).
    Returns: Air.
    Raises: ValueError for negative humidity or wind.
    Assumes: standard pressure of the altitude.
    Source: ASHRAE Fundamentals eq. 3 for pressure; tests/reference/test_air_psychrometrics.py.
    """
    wind = np.asarray(wind_m_s, dtype=np.float64)
    if np.any(wind < 0):
        raise ValueError("wind_m_s must not be negative")
    vapour = vapour_pressure_pa(temp_c, humidity_frac)
    return Air(np.asarray(temp_c, dtype=np.float64), vapour, wind, pressure_pa(altitude_m))


def pressure_pa(altitude_m: Values) -> Floats:
    """Return the pressure of the standard atmosphere.

    Parameters: altitude_m (any shape, m, -500 to 11000).
    Returns: same shape, Pa.
    Raises: nothing.
    Assumes: the standard atmosphere; weather moves it by up to about 5 %.
    Source: ASHRAE Fundamentals eq. 3 and table 1; tests/reference/test_air_psychrometrics.py.
    """
    return STANDARD_PA * (1.0 - 2.25577e-5 * np.asarray(altitude_m, dtype=np.float64)) ** 5.2559


def density_kg_m3(temp_c: Values, vapour_pa: Values, pressure_pa: Values) -> Floats:
    """Return the density of moist air.

    Parameters: temp_c (C); vapour_pa (Pa); pressure_pa (Pa); shapes broadcast.
    Returns: broadcast shape, kg/m3.
    Raises: nothing.
    Assumes: ideal gases.
    Source: ideal gas law, ASHRAE constants; tests/reference/test_air_psychrometrics.py.
    """
    t = np.asarray(temp_c, dtype=np.float64) + ZERO_C_K
    vapour = np.asarray(vapour_pa, dtype=np.float64)
    return (pressure_pa - vapour) / (DRY_AIR_J_KG_K * t) + vapour / (VAPOUR_J_KG_K * t)


def viscosity_pa_s(temp_c: Values) -> Floats:
    """Return the dynamic viscosity of dry air.

    Parameters: temp_c (any shape, C).
    Returns: same shape, Pa s.
    Raises: nothing.
    Assumes: vapour changes it by under 1 %.
    Source: Sutherland's law, US Standard Atmosphere 1976; tests/reference/test_air_drying.py.
    """
    t = np.asarray(temp_c, dtype=np.float64) + ZERO_C_K
    return 1.458e-6 * t**1.5 / (t + 110.4)


def conductivity_w_m_k(temp_c: Values) -> Floats:
    """Return the thermal conductivity of dry air.

    Parameters: temp_c (any shape, C).
    Returns: same shape, W/m/K.
    Raises: nothing.
    Assumes: vapour changes it by under 1 %.
    Source: US Standard Atmosphere 1976; tests/reference/test_air_drying.py.
    """
    t = np.asarray(temp_c, dtype=np.float64) + ZERO_C_K
    return 2.64638e-3 * t**1.5 / (t + 245.4 * 10.0 ** (-12.0 / t))


def vapour_diffusivity_m2_s(temp_c: Values, pressure_pa: Values) -> Floats:
    """Return how fast vapour spreads in air.

    Parameters: temp_c (C); pressure_pa (Pa); shapes broadcast.
    Returns: broadcast shape, m2/s.
    Raises: nothing.
    Assumes: nothing.
    Source: Massman 1998, doi 10.1016/S1352-2310(97)00391-9 (constants from memory; another common form is 4 %
        higher); tests/reference/test_air_drying.py.
    """
    t = np.asarray(temp_c, dtype=np.float64) + ZERO_C_K
    return 2.178e-5 * (t / ZERO_C_K) ** 1.81 * STANDARD_PA / np.asarray(pressure_pa, dtype=np.float64)


def latent_j_kg(temp_c: Values) -> Floats:
    """Return the heat that evaporates water.

    Parameters: temp_c (any shape, C, of the water).
    Returns: same shape, J/kg.
    Raises: nothing.
    Assumes: liquid water.
    Source: ASHRAE Fundamentals, 2501 kJ/kg at 0 C less 2.381 kJ/kg/K; tests/reference/test_air_drying.py.
    """
    return 2.501e6 - 2381.0 * np.asarray(temp_c, dtype=np.float64)
