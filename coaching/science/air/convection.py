"""Heat and vapour leaving a finger-sized cylinder: forced and natural convection in one smooth blend.

Formulas for a whole body dry a finger about three times too slowly, so none of them is used here. Published
correlations for one cylinder lie about 20 % apart; no number below is better than that.
"""

from __future__ import annotations

import numpy as np

from coaching.science.air.air_quantities import chosen
from coaching.science.air.moist_air import (
    HEAT_J_KG_K,
    conductivity_w_m_k,
    latent_j_kg,
    vapour_diffusivity_m2_s,
    viscosity_pa_s,
)
from coaching.science.air.psychrometrics import DRY_AIR_J_KG_K, VAPOUR_RATIO, ZERO_C_K, Values
from coaching.science.inputs import Floats

GRAVITY_M_S2 = 9.80665
_BLEND = 4.0  # cylinders across the flow; Bergman, Lavine, Incropera & DeWitt, section on combined convection


def forced_nusselt(reynolds: Values, prandtl: Values) -> Floats:
    """Return the Nusselt number of a cylinder across the flow.

    Parameters: reynolds (>= 0); prandtl (> 0); shapes broadcast.
    Returns: broadcast shape; 0.3 in still air.
    Raises: nothing.
    Assumes: Re Pr above 0.2, which for a finger is any wind above 1 mm/s.
    Source: Churchill & Bernstein 1977, doi 10.1115/1.3450685; tests/reference/test_air_drying.py.
    """
    re, pr = np.asarray(reynolds, dtype=np.float64), np.asarray(prandtl, dtype=np.float64)
    first = 0.62 * np.sqrt(re) * np.cbrt(pr) / (1.0 + (0.4 / pr) ** (2 / 3)) ** 0.25
    return 0.3 + first * (1.0 + (re / 282_000.0) ** 0.625) ** 0.8


def natural_nusselt(rayleigh: Values, prandtl: Values) -> Floats:
    """Return the Nusselt number of a level cylinder in still air.

    Parameters: rayleigh (>= 0); prandtl (> 0); shapes broadcast.
    Returns: broadcast shape; 0.36 without a temperature difference.
    Raises: nothing.
    Assumes: a long cylinder.
    Source: Churchill & Chu 1975, doi 10.1016/0017-9310(75)90222-7; tests/reference/test_air_drying.py.
    """
    ra, pr = np.asarray(rayleigh, dtype=np.float64), np.asarray(prandtl, dtype=np.float64)
    return (0.6 + 0.387 * ra ** (1 / 6) / (1.0 + (0.559 / pr) ** (9 / 16)) ** (8 / 27)) ** 2


def finger_convection_w_m2_k(
    air_c: Values, surface_c: Values, wind_m_s: Values, pressure_pa: Values, diameter_m: float | None = None
) -> Floats:
    """Return the heat transfer coefficient of a finger, wind and buoyancy together.

    Parameters: air_c (C); surface_c (C); wind_m_s (m/s, >= 0); pressure_pa (Pa); shapes broadcast; diameter_m
        (m), 16 mm where not given.
    Returns: broadcast shape, W/m2/K.
    Raises: nothing.
    Assumes: properties of dry air at the mean of the two temperatures; wind across the finger.
    Source: fourth powers of the two Nusselt numbers added, as handbooks advise for cylinders across the flow;
        tests/reference/test_air_drying.py, tests/property/test_air.py.
    """
    d = chosen("finger_diameter_m") if diameter_m is None else diameter_m
    film_c = 0.5 * (np.asarray(air_c, dtype=np.float64) + surface_c)
    film_k, k = film_c + ZERO_C_K, conductivity_w_m_k(film_c)
    density = np.asarray(pressure_pa, dtype=np.float64) / (DRY_AIR_J_KG_K * film_k)
    viscosity = viscosity_pa_s(film_c) / density
    spread = k / (density * HEAT_J_KG_K)
    pr = viscosity / spread
    lift = GRAVITY_M_S2 * np.abs(np.asarray(surface_c, dtype=np.float64) - air_c) / film_k
    natural = natural_nusselt(lift * d**3 / (viscosity * spread), pr)
    forced = forced_nusselt(np.asarray(wind_m_s, dtype=np.float64) * d / viscosity, pr)
    return (forced**_BLEND + natural**_BLEND) ** (1.0 / _BLEND) * k / d


def lewis_number(film_c: Values, pressure_pa: Values) -> Floats:
    """Return how fast heat spreads in air against vapour.

    Parameters: film_c (C); pressure_pa (Pa); shapes broadcast.
    Returns: broadcast shape; the same at every pressure, since both spread faster in thin air alike.
    Raises: nothing.
    Assumes: dry air.
    Source: definition; tests/reference/test_air_drying.py.
    """
    t = np.asarray(film_c, dtype=np.float64) + ZERO_C_K
    density = np.asarray(pressure_pa, dtype=np.float64) / (DRY_AIR_J_KG_K * t)
    return conductivity_w_m_k(film_c) / (density * HEAT_J_KG_K * vapour_diffusivity_m2_s(film_c, pressure_pa))


def vapour_transfer_kg_m2_s_pa(convection_w_m2_k: Values, film_c: Values, pressure_pa: Values) -> Floats:
    """Return the vapour that leaves a wet surface for each pascal of difference.

    Parameters: convection_w_m2_k (W/m2/K); film_c (C); pressure_pa (Pa); shapes broadcast.
    Returns: broadcast shape, kg/m2/s/Pa; grows as the air thins.
    Raises: nothing.
    Assumes: little vapour in the air, so that its own flow does not help it along.
    Source: Lewis relation with the power 2/3 (Chilton & Colburn); tests/reference/test_air_drying.py.
    """
    h = np.asarray(convection_w_m2_k, dtype=np.float64)
    slow = lewis_number(film_c, pressure_pa) ** (2 / 3)
    return h * VAPOUR_RATIO / (np.asarray(pressure_pa, dtype=np.float64) * HEAT_J_KG_K * slow)


def lewis_ratio_k_kpa(film_c: Values, pressure_pa: Values) -> Floats:
    """Return the Lewis ratio: evaporative over convective heat transfer.

    Parameters: film_c (C); pressure_pa (Pa); shapes broadcast.
    Returns: broadcast shape, K/kPa; about 16.5 at sea level, inversely as the pressure.
    Raises: nothing.
    Assumes: as `vapour_transfer_kg_m2_s_pa`.
    Source: Lewis relation; handbook 16.5, ISO 7933 16.7; tests/reference/test_air_drying.py.
    """
    return 1000.0 * latent_j_kg(film_c) * vapour_transfer_kg_m2_s_pa(1.0, film_c, pressure_pa)
