"""Limits that air sets: signs of papers on horny skin, cold fingers, and the heat index of a weather service."""

import json
from pathlib import Path

import numpy as np
import pytest

from coaching.science.air.limits import (
    COLD_SIGNS,
    brittleness_frac,
    cold_sign,
    heat_index_c,
    humidity_at_skin_frac,
    soonest_clumsy_s,
)
from coaching.science.air.moist_air import air_of
from coaching.science.air.psychrometrics import vapour_pressure_pa

MADE = json.loads((Path(__file__).parents[2] / "fixtures/reference/air/weather.json").read_text())


def heat_f(temp_f: float, humidity_pct: float) -> float:
    return float(1.8 * heat_index_c((temp_f - 32) / 1.8, humidity_pct / 100) + 32)


@pytest.mark.parametrize("row", MADE["heat"], ids=lambda row: f"{row['temp_f']}F-{row['humidity_pct']}%")
def test_heat_index_is_that_of_the_library(row: dict) -> None:
    """metpy 1.7.1, above 80 F of heat index; below it libraries differ on what they return."""
    assert heat_f(row["temp_f"], row["humidity_pct"]) == pytest.approx(row["heat_index_f"], abs=0.01)


# Chart of the US National Weather Service (from memory), whole degrees F.
@pytest.mark.parametrize(
    ("temp_f", "pct", "chart"),
    [(90, 50, 95), (90, 70, 106), (96, 50, 108), (100, 40, 109), (100, 60, 129), (110, 40, 136)],
)
def test_heat_index_of_the_public_chart(temp_f: float, pct: float, chart: int) -> None:
    assert round(heat_f(temp_f, pct)) == chart


@pytest.mark.parametrize(("temp_f", "pct", "expected"), [(68, 50, 67.425), (86, 90, 105.394), (95, 10, 89.450)])
def test_heat_index_by_the_page_of_the_weather_service(temp_f: float, pct: float, expected: float) -> None:
    """The page's steps by hand: simple form, damp adjustment (+0.1 F), dry adjustment (-0.75 F)."""
    assert heat_f(temp_f, pct) == pytest.approx(expected, abs=0.001)


def test_horny_skin_turns_from_brittle_to_ductile_at_seventy_percent() -> None:
    """Papir et al. 1975: above about 70 % at 25 C. Wildnauer et al. 1971: ever more pliable from 0 to 100 %."""
    humidity = np.linspace(0, 1, 101)
    index = brittleness_frac(humidity, 25.0)
    assert index[70] == pytest.approx(0.5, abs=1e-9) and np.all(np.diff(index) < 0)
    assert index[0] > 0.99 and index[100] < 0.06  # between the two, only the order is published


@pytest.mark.parametrize(("humidity", "moves"), [(0.3, True), (0.5, True), (0.9, False), (0.97, False)])
def test_warmth_softens_dry_skin_only(humidity: float, moves: bool) -> None:
    """Spencer et al. 1975: half more water from 20 to 35 C below 60 %, no effect of temperature at 90 %."""
    cool, warm = brittleness_frac(humidity, 20.0), brittleness_frac(humidity, 35.0)
    assert (warm < cool) if moves else warm == pytest.approx(float(cool), abs=1e-12)


def test_cold_damp_air_is_dry_air_at_the_skin() -> None:
    """0 C and 80 % warmed to 28 C is 13 % (611 x 0.8 over 3782 Pa, steam table); a saturated film cuts at 1."""
    cold = humidity_at_skin_frac(vapour_pressure_pa(0.0, 0.8), 28.0)
    assert cold == pytest.approx(0.8 * 611.2 / 3782, rel=1e-3)  # four digits of the table
    assert humidity_at_skin_frac(vapour_pressure_pa(35.0, 0.9), 28.0) == 1.0
    assert brittleness_frac(cold, 28.0) > brittleness_frac(humidity_at_skin_frac(vapour_pressure_pa(25, 0.8), 28.0), 28)


def test_cold_fingers() -> None:
    """Chapman et al. 2025: dexterity below 22.9 C, 25.7 C on rewarming. Provins & Morton 1960: touch below 8 C."""
    fingers = np.array([30.0, 24.0, 22.0, 9.0, 7.0])
    assert [COLD_SIGNS[k] for k in cold_sign(fingers)] == ["able", "able", "clumsy", "clumsy", "numb"]
    assert [COLD_SIGNS[k] for k in cold_sign(fingers, rewarming=True)][1] == "clumsy"
    assert cold_sign(np.nan) == -1


def test_soonest_clumsy_is_sooner_in_wind_and_wet_and_never_in_warm_air() -> None:
    still, windy = soonest_clumsy_s(air_of(0.0, 0.7, 0.5)), soonest_clumsy_s(air_of(0.0, 0.7, 6.0))
    assert windy.low_s < windy.high_s < still.high_s and windy.low_s < still.low_s
    # A bare finger at 0 C in wind without blood: tau = rho c D / 4h is 3-4 min, so the limit falls in minutes.
    assert 30 < windy.high_s < 180
    assert soonest_clumsy_s(air_of(28.0, 0.7, 6.0)).high_s == np.inf
