"""Convection, evaporation and drying of a finger against a heat-transfer library (ht), printed and derived rows."""

import json
from pathlib import Path

import numpy as np
import pytest

from coaching.science.air.between_tries import between_tries, sweat_of
from coaching.science.air.convection import (
    finger_convection_w_m2_k,
    forced_nusselt,
    lewis_number,
    lewis_ratio_k_kpa,
    natural_nusselt,
)
from coaching.science.air.drying import (
    cooling_s,
    film_drying_bounds_s,
    film_evaporation_g_m2_h,
    film_time_s,
    unheated_evaporation_g_m2_h,
)
from coaching.science.air.moist_air import (
    air_of,
    conductivity_w_m_k,
    latent_j_kg,
    vapour_diffusivity_m2_s,
    viscosity_pa_s,
)

MADE = json.loads((Path(__file__).parents[2] / "fixtures/reference/air/cylinder.json").read_text())
SEA_PA = 101_325.0
FINGER_M = 0.016


@pytest.mark.parametrize("row", MADE["forced"], ids=lambda row: f"Re{row['re']}")
def test_forced_convection_is_that_of_the_library(row: dict) -> None:
    assert forced_nusselt(row["re"], row["pr"]) == pytest.approx(row["nu"], rel=1e-9)  # same published formula


@pytest.mark.parametrize("row", MADE["natural"], ids=lambda row: f"Ra{row['ra']:.0f}")
def test_natural_convection_is_that_of_the_library(row: dict) -> None:
    assert natural_nusselt(row["ra"], row["pr"]) == pytest.approx(row["nu"], rel=1e-9)


@pytest.mark.parametrize(("re", "pr", "nu"), [(6071, 0.7, 40.6371), (120, 0.71, 5.65356)])
def test_printed_examples_of_a_cylinder(re: float, pr: float, nu: float) -> None:
    """Bergman, Lavine, Incropera & DeWitt, example 7.3, and the library's own; six printed digits."""
    assert forced_nusselt(re, pr) == pytest.approx(nu, rel=2e-6)


@pytest.mark.parametrize("k", range(3))
def test_other_correlations_lie_where_the_spread_says(k: int) -> None:
    """Six other published correlations, ht 1.2.0: the register calls them 20 % apart; one goes to 32 %."""
    ours = forced_nusselt(MADE["others_at_re"][k], 0.71)
    ratios = np.array([values[k] for values in MADE["others"].values()]) / ours
    assert np.median(np.abs(ratios - 1)) < 0.20 and ratios.min() > 0.80 and ratios.max() < 1.33


def test_air_at_300_kelvin() -> None:
    """Incropera table A.4 at 300 K: viscosity 184.6e-7 Pa s, conductivity 26.3e-3 W/m/K."""
    assert viscosity_pa_s(26.85) == pytest.approx(184.6e-7, rel=3e-3)  # Sutherland against the table
    assert conductivity_w_m_k(26.85) == pytest.approx(26.3e-3, rel=5e-3)  # three printed digits


def test_vapour_diffusivity_lies_between_the_two_common_forms() -> None:
    """2.26e-5 (T/273.15)^1.81 and 2.12e-5 bracket it at 0 C; half the pressure doubles it."""
    assert 2.12e-5 < vapour_diffusivity_m2_s(0.0, SEA_PA) < 2.26e-5
    assert vapour_diffusivity_m2_s(20.0, SEA_PA / 2) == pytest.approx(2 * vapour_diffusivity_m2_s(20.0, SEA_PA))


@pytest.mark.parametrize(("temp_c", "kj_kg"), [(0, 2500.9), (20, 2453.5), (40, 2406.0)])
def test_latent_heat_of_the_steam_table(temp_c: float, kj_kg: float) -> None:
    """IAPWS steam tables (from memory, 0.1 kJ/kg); a straight line keeps 0.1 %."""
    assert latent_j_kg(temp_c) == pytest.approx(1000 * kj_kg, rel=1e-3)


# 16 mm cylinder in air of 300 K (nu 15.89e-6, k 0.0263, Pr 0.707): wind m/s, coefficient W/m2/K.
FINGERS = [(0.2, 11.9), (0.5, 18.6), (1, 26.4), (2, 37.6), (5, 60.7)]


@pytest.mark.parametrize(("wind", "expected"), FINGERS)
def test_finger_in_wind(wind: float, expected: float) -> None:
    found = finger_convection_w_m2_k(26.85, 26.86, wind, SEA_PA)
    assert found == pytest.approx(expected, rel=0.01)  # properties of air, 0.5 % each


@pytest.mark.parametrize(("wind", "expected"), FINGERS)
def test_whole_body_formula_dries_a_finger_three_times_too_slowly(wind: float, expected: float) -> None:
    """Mitchell 1974 in the ASHRAE handbook (from memory): 8.3 V^0.6 for a seated body; ratio 2.7 to 3.9."""
    assert 2.7 < finger_convection_w_m2_k(26.85, 26.86, wind, SEA_PA) / (8.3 * wind**0.6) < 3.9


def test_lewis_ratio_of_the_handbook_and_at_altitude() -> None:
    """Handbook 16.5 K/kPa = 2.2 K/Torr, ISO 7933 16.7, first principles 16.3; 19.8 at 84.6 kPa."""
    at_sea = lewis_ratio_k_kpa(26.0, SEA_PA)
    assert at_sea == pytest.approx(16.5, rel=0.005) and 16.3 < at_sea < 16.7
    assert at_sea * 0.1333224 == pytest.approx(2.2, rel=0.005)
    assert lewis_ratio_k_kpa(26.0, 84_600.0) == pytest.approx(19.8, rel=0.005)
    assert lewis_ratio_k_kpa(26.0, 74_700.0) == pytest.approx(22.4, rel=0.005)  # 2500 m
    assert lewis_number(26.0, 84_600.0) == pytest.approx(lewis_number(26.0, SEA_PA), rel=1e-12)


def test_wet_finger_in_a_breeze() -> None:
    """32 C skin, 20 C, 50 %, 1 m/s: 2313 g/m2/h, 10 um in 16 s (handbook Lewis ratio 16.5)."""
    loss = film_evaporation_g_m2_h(air_of(20.0, 0.5, 1.0), 32.0)
    assert loss == pytest.approx(2313, rel=0.02)  # spread of the Lewis ratio between standards, 1.2 %, and h
    assert film_time_s(10.0, loss) == pytest.approx(16, rel=0.03)  # printed to the second


# Air C, humidity, skin C, coefficient W/m2/K, loss g/m2/h, seconds for 10 um.
STILL = [(20, 0.5, 32, 3.67, 322, 112), (30, 0.85, 33, 3.67, 128, 282)]


@pytest.mark.parametrize(("temp_c", "humidity", "skin_c", "h", "loss", "seconds"), STILL)
def test_wet_hand_in_still_air(
    temp_c: float, humidity: float, skin_c: float, h: float, loss: float, seconds: float
) -> None:
    """Coefficient of a standing hand (Ichihara et al. 1997) with the handbook Lewis ratio."""
    found = film_evaporation_g_m2_h(air_of(temp_c, humidity, 0.0), skin_c, h)
    assert found == pytest.approx(loss, rel=0.02)
    assert film_time_s(10.0, found) == pytest.approx(seconds, rel=0.02)


@pytest.mark.parametrize("h", [4.0, 5.0, 6.0])
def test_film_of_a_drying_experiment(h: float) -> None:
    """Persson et al. 2013, doi 10.1007/s11249-012-0053-2: 14 um gone in about 100 s at 50 %, room air."""
    seconds = film_time_s(14.0, film_evaporation_g_m2_h(air_of(22.0, 0.5, 0.0), 32.0, h))
    assert 62 < seconds < 160  # a factor of 1.6 for skin temperature and draught, which are not told


def test_wind_dries_more_than_dry_air_does() -> None:
    """By the same rows: wind 0.5 to 5 m/s 3.3-fold; 80 to 40 % 1.14-fold at 10 C, 1.35-fold at 20 C."""

    def loss(temp_c: float, pct: float, wind: float) -> float:
        return float(film_evaporation_g_m2_h(air_of(temp_c, pct / 100, wind), 32.0))

    assert loss(25, 60, 5) / loss(25, 60, 0.5) == pytest.approx(3.3, abs=0.1)
    assert loss(10, 40, 1) / loss(10, 80, 1) == pytest.approx(1.14, abs=0.02)
    assert loss(20, 40, 1) / loss(20, 80, 1) == pytest.approx(1.35, abs=0.03)


def test_bounds_hold_and_meet_where_air_is_as_warm_as_skin() -> None:
    air = air_of(np.array([5.0, 20.0, 30.0]), 0.5, 0.5)
    bounds = film_drying_bounds_s(air, 10.0)
    middle = film_time_s(10.0, film_evaporation_g_m2_h(air, 29.7))  # sweating palm, Dermatologica 1987;175:126
    assert np.all(bounds.low_s < middle) and np.all(middle < bounds.high_s)


def test_unheated_film_against_a_balance_by_hand() -> None:
    """20 C, 50 %: wet bulb 13.78 C (psychrometric chart); loss = h (T - Tw) / L."""
    air = air_of(20.0, 0.5, 1.0)
    h = float(finger_convection_w_m2_k(20.0, 13.78, 1.0, SEA_PA))
    by_hand = h * (20.0 - 13.78) / 2.468e6 * 3.6e6
    assert unheated_evaporation_g_m2_h(air) == pytest.approx(by_hand, rel=0.005)  # chart read to 0.03 K


def test_cooling_of_a_dry_finger_against_the_exponential() -> None:
    """With a steady coefficient a body cools as exp(-t/tau); over a short step the coefficient is steady."""
    air = air_of(10.0, 0.5, 2.0)
    h = float(finger_convection_w_m2_k(10.0, 31.5, 2.0, SEA_PA)) + 4.5
    tau_s = 3.66e6 * FINGER_M / 4 / h
    expected = tau_s * np.log((32.0 - 10.0) / (31.0 - 10.0))
    assert cooling_s(air, 32.0, 31.0, wet=False) == pytest.approx(expected, rel=1e-3)  # h moves 0.1 % over 1 K
    assert cooling_s(air, 32.0, 31.0, wet=True) < expected
    assert cooling_s(air_of(34.0, 0.5, 2.0), 35.0, 33.0, wet=False) == np.inf


def test_sweat_spans_the_published_palms() -> None:
    """Healthy 37.9 and 49.3 g/m2/h lie inside; a cut for very sweaty at 73 between healthy and 133.6."""
    rest = sweat_of(np.array([0.0, 5.0, 10.0])).rest_g_m2_h
    assert rest == pytest.approx([19.5, np.sqrt(19.5 * 133.6), 133.6]) and 37.9 < rest[1] < 73 < rest[2]


def test_pauses_between_tries_tell_climates_apart() -> None:
    """Signs only: a fan helps, a damper athlete waits longer, and the dampest never dries in a hot, damp hall."""
    cool, hall = (between_tries(air, np.array([2.0, 5.0, 9.0])) for air in (air_of(8, 0.5, 0.5), air_of(30, 0.85, 0.0)))
    for found in (cool, hall):
        assert np.all(found.plain.dry.low_s <= found.plain.dry.high_s)
        assert np.all(found.fanned.dry.low_s < found.plain.dry.low_s)
        assert np.all(np.diff(found.plain.dry.low_s) > 0)
    assert np.all(np.isfinite(cool.plain.dry.high_s)) and np.all(hall.plain.dry.high_s == np.inf)
