"""How fast a wet finger dries and a hot one cools; every result says which bound it is."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from coaching.science.air.air_quantities import chosen
from coaching.science.air.convection import (
    finger_convection_w_m2_k,
    vapour_transfer_kg_m2_s_pa,
)
from coaching.science.air.moist_air import Air, latent_j_kg
from coaching.science.air.psychrometrics import Values, saturation_over_water_pa, wet_bulb_c
from coaching.science.inputs import Floats

S_PER_H = 3600.0
_COOLING_STEPS = 12  # within 1 % but where the air hardly cools at all; there too short, so still a lower bound


class Seconds(NamedTuple):
    """A range of times, s; infinite where it never comes about."""

    low_s: Floats
    high_s: Floats


def film_evaporation_g_m2_h(air: Air, skin_c: Values, convection_w_m2_k: Values | None = None) -> Floats:
    """Return what a fully wet finger loses: an upper bound for any finger at that skin temperature.

    Parameters: air; skin_c (C, of the film); convection_w_m2_k (W/m2/K) where known better than for a finger.
    Returns: broadcast shape, g/m2/h; negative where the finger gains water from the air.
    Raises: nothing.
    Assumes: skin stays at its temperature; water like pure water (salt and chalk hold it back).
    Source: Lewis relation on Churchill & Bernstein 1977; tests/reference/test_air_drying.py.
    """
    skin = np.asarray(skin_c, dtype=np.float64)
    film_c = 0.5 * (skin + air.temp_c)
    h = convection_w_m2_k
    if h is None:
        h = finger_convection_w_m2_k(air.temp_c, skin, air.wind_m_s, air.pressure_pa)
    lack_pa = saturation_over_water_pa(skin) - air.vapour_pa
    return 1000.0 * S_PER_H * vapour_transfer_kg_m2_s_pa(h, film_c, air.pressure_pa) * lack_pa


def unheated_evaporation_g_m2_h(air: Air) -> Floats:
    """Return what a wet finger loses with no warmth from the body at all: a lower bound.

    Parameters: air.
    Returns: broadcast shape, g/m2/h, never negative.
    Raises: nothing.
    Assumes: the film is at the psychrometric wet bulb and gets its heat from the air alone.
    Source: energy balance of a wet bulb, ASHRAE Fundamentals ch. 1; tests/property/test_air.py.
    """
    film_c = wet_bulb_c(air.temp_c, air.vapour_pa, air.pressure_pa)
    h = finger_convection_w_m2_k(air.temp_c, film_c, air.wind_m_s, air.pressure_pa)
    return 1000.0 * S_PER_H * h * np.maximum(air.temp_c - film_c, 0.0) / latent_j_kg(film_c)


def film_time_s(film_um: Values, loss_g_m2_h: Values) -> Floats:
    """Return how long a film of water lasts at a steady loss.

    Parameters: film_um (um, which is g/m2); loss_g_m2_h (g/m2/h); shapes broadcast.
    Returns: broadcast shape, s; infinite where nothing is lost.
    Raises: nothing.
    Assumes: a steady loss until the last.
    Source: identity, 1 um of water is 1 g/m2; tests/reference/test_air_drying.py.
    """
    film, loss = np.broadcast_arrays(np.asarray(film_um, float), np.asarray(loss_g_m2_h, float))
    time = S_PER_H * film / np.where(loss > 0, loss, np.nan)
    return np.where(loss <= 0, np.where(film > 0, np.inf, 0.0), time)


def film_drying_bounds_s(air: Air, film_um: Values) -> Seconds:
    """Return between which bounds a film on a finger dries when the finger sweats no more.

    Parameters: air; film_um (um).
    Returns: Seconds: lower bound, with skin held warm by the body; upper bound, with no warmth from it.
    Raises: nothing.
    Assumes: the correlations for a finger are right; they are about 20 % apart.
    Source: `film_evaporation_g_m2_h` and `unheated_evaporation_g_m2_h`; tests/reference/test_air_drying.py.
    """
    warm = film_evaporation_g_m2_h(air, chosen("skin_warm_c"))
    slow = np.minimum(unheated_evaporation_g_m2_h(air), warm)
    return Seconds(film_time_s(film_um, warm), film_time_s(film_um, slow))


def cooling_s(air: Air, start_c: Values, end_c: Values, wet: bool, convection_factor: float = 1.0) -> Floats:
    """Return how long a finger takes to cool when no blood warms it: a lower bound of the true time.

    Parameters: air; start_c, end_c (C, start above end); wet (film all the while, or dry); convection_factor
        (1), for the spread of the correlations.
    Returns: broadcast shape, s; nought where it starts below the end, infinite where the air cannot cool it so
        far.
    Raises: nothing.
    Assumes: one temperature through the finger, no sun, surroundings as warm as the air, no blood flow.
    Source: heat balance of a long cylinder, integrated over temperature; tests/reference/test_air_drying.py.
    """
    start, end = np.asarray(start_c, dtype=np.float64), np.asarray(end_c, dtype=np.float64)
    share = (np.arange(_COOLING_STEPS) + 0.5) / _COOLING_STEPS
    skin = end[..., None] + (start - end)[..., None] * share
    flow = _heat_loss_w_m2(_with_axis(air), skin, wet, convection_factor)
    heat = chosen("tissue_j_m3_k") * chosen("finger_diameter_m") / 4.0
    step = heat * np.maximum(start - end, 0.0)[..., None] / _COOLING_STEPS
    time = np.asarray((step / np.where(flow > 0, flow, np.nan)).sum(axis=-1))
    stuck = _heat_loss_w_m2(air, end, wet, convection_factor) <= 0  # the loss is least at the end
    return np.where(start <= end, 0.0, np.where(stuck, np.inf, time))


def _heat_loss_w_m2(air: Air, skin_c: Floats, wet: bool, factor: float) -> Floats:
    h = factor * finger_convection_w_m2_k(air.temp_c, skin_c, air.wind_m_s, air.pressure_pa)
    dry = (h + chosen("radiation_w_m2_k")) * (skin_c - air.temp_c)
    if not wet:
        return np.asarray(dry)
    return dry + latent_j_kg(skin_c) * film_evaporation_g_m2_h(air, skin_c, h) / (1000.0 * S_PER_H)


def _with_axis(air: Air) -> Air:
    one = (np.asarray(v, dtype=np.float64)[..., None] for v in (air.temp_c, air.vapour_pa))
    temp, vapour = one
    wind, pressure = (np.asarray(v, dtype=np.float64)[..., None] for v in (air.wind_m_s, air.pressure_pa))
    return replace(air, temp_c=temp, vapour_pa=vapour, wind_m_s=wind, pressure_pa=pressure)
