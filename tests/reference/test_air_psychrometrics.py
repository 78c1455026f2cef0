"""Water vapour against a general library (psychrolib, recorded by make.py), handbook tables and printed rows."""

import json
from pathlib import Path

import numpy as np
import pytest

from coaching.science.air import psychrometrics as air
from coaching.science.air.condensation import margin_k, settling_point_c
from coaching.science.air.moist_air import air_of, density_kg_m3, pressure_pa

MADE = json.loads((Path(__file__).parents[2] / "fixtures/reference/air/psychrometrics.json").read_text())
POINTS = MADE["points"]
IDS = [f"{row['temp_c']}C-{row['humidity_pct']}%" for row in POINTS]
SEA_PA = 101_325.0


def test_the_reference_names_its_library() -> None:
    assert MADE["library"] == "psychrolib 2.5.0" and len(POINTS) >= 16


@pytest.mark.parametrize(("temp_c", "expected"), MADE["over_water_pa"].items())
def test_saturation_over_water_is_that_of_the_library(temp_c: str, expected: float) -> None:
    # The same published formula twice: rounding of doubles.
    assert air.saturation_over_water_pa(float(temp_c)) == pytest.approx(expected, rel=1e-10)


@pytest.mark.parametrize(("temp_c", "expected"), MADE["over_ice_pa"].items())
def test_saturation_over_ice_is_that_of_the_library(temp_c: str, expected: float) -> None:
    assert air.saturation_over_ice_pa(float(temp_c)) == pytest.approx(expected, rel=1e-10)


# IAPWS-95 (Wagner & Pruss 2002) as CoolProp 8.0.0 gives it; Hyland-Wexler lies within 0.023 % of it.
IAPWS95 = [(0.01, 611.655), (5, 872.575), (10, 1228.199), (15, 1705.793), (20, 2339.318), (25, 3169.929),
           (30, 4246.971), (35, 5629.016), (40, 7384.938)]  # fmt: skip


@pytest.mark.parametrize(("temp_c", "expected"), IAPWS95)
def test_saturation_against_the_international_formulation(temp_c: float, expected: float) -> None:
    assert air.saturation_over_water_pa(temp_c) == pytest.approx(expected, rel=3e-4)  # 0.023 %, rounded up


@pytest.mark.parametrize(("temp_c", "expected"), [(-5, 401.7), (-10, 259.9), (-15, 165.3)])
def test_saturation_over_ice_of_a_printed_list(temp_c: float, expected: float) -> None:
    """Vapour pressure of ice as printed in handbooks, four digits."""
    assert air.saturation_over_ice_pa(temp_c) == pytest.approx(expected, abs=0.1)


# CRC Handbook of Chemistry and Physics, 62nd ed.: mass of vapour in saturated air, g/m3, and pressure, hPa.
CRC = [(0, 4.86, 6.11), (4, 6.37, 8.13), (10, 9.42, 12.28), (16, 13.66, 18.19), (20, 17.33, 23.40),
       (24, 21.83, 29.86), (30, 30.43, 42.48), (34, 37.66, 53.26)]  # fmt: skip


@pytest.mark.parametrize(("temp_c", "g_m3", "hpa"), CRC)
def test_handbook_table_of_saturated_air(temp_c: float, g_m3: float, hpa: float) -> None:
    full = air.saturation_over_water_pa(temp_c)
    assert full / 100 == pytest.approx(hpa, abs=0.03)  # the table's hot end lies 0.02 off, printed to 0.01
    # The table is not an ideal gas: 0.3 % at its hot end, printed to 0.01.
    assert air.absolute_humidity_g_m3(temp_c, full) == pytest.approx(g_m3, rel=0.003, abs=0.01)


@pytest.mark.parametrize(("temp_c", "kpa"), [(20, 2.337), (32, 4.756)])
def test_skin_temperatures_of_a_two_node_model(temp_c: float, kpa: float) -> None:
    """Gagge two-node model: 2.337 kPa at 20 C, 4.756 at 32 C; simple formulas agree within 0.2 %."""
    assert air.saturation_over_water_pa(temp_c) == pytest.approx(1000 * kpa, rel=2e-3)


@pytest.mark.parametrize("row", POINTS, ids=IDS)
def test_dew_and_frost_point_each_against_its_like(row: dict) -> None:
    found = air.frost_point_c(row["vapour_pa"]) if row["settles_as"] == "frost" else air.dew_point_c(row["vapour_pa"])
    assert found == pytest.approx(row["settles_c"], abs=0.002)  # the library stops its search at 0.001 K
    assert settling_point_c(row["vapour_pa"]) == found


# Dew points over water below 0 C by metpy 1.7.1 (Ambaum 2020) and pythermalcomfort 4.8.1 (0 C, 5 C, 10 C).
COLD = [(0, 50, -9.2006, -9.2020, -8.1636), (5, 30, -11.1623, -11.1747, -9.9204), (10, 40, -2.9899, -3.0005, -2.6277)]


@pytest.mark.parametrize(("temp_c", "pct", "metpy_c", "thermal_c", "frost_c"), COLD)
def test_dew_point_below_freezing_is_over_water_and_not_the_frost_point(
    temp_c: float, pct: float, metpy_c: float, thermal_c: float, frost_c: float
) -> None:
    """Trap: some libraries give the frost point and call it dew point; they are up to 1.25 K apart."""
    vapour = air.vapour_pressure_pa(temp_c, pct / 100)
    for expected in (metpy_c, thermal_c):
        assert air.dew_point_c(vapour) == pytest.approx(expected, abs=0.06)  # spread of six libraries
    assert air.frost_point_c(vapour) == pytest.approx(frost_c, abs=0.03)  # psychrolib, two others within 0.001
    assert air.frost_point_c(vapour) - air.dew_point_c(vapour) > 0.3


@pytest.mark.parametrize("row", [r for r in POINTS if r["temp_c"] > 0 and r["wet_bulb_c"] > 0], ids=str)
def test_wet_bulb_is_the_psychrometric_one(row: dict) -> None:
    found = air.wet_bulb_c(row["temp_c"], row["vapour_pa"], SEA_PA)
    assert found == pytest.approx(row["wet_bulb_c"], abs=0.002)  # the library stops its search at 0.001 K


@pytest.mark.parametrize("row", [r for r in POINTS if r["wet_bulb_c"] < 0], ids=str)
def test_ice_bulb_is_the_library_s_wet_bulb_below_freezing(row: dict) -> None:
    found = air.ice_bulb_c(row["temp_c"], row["vapour_pa"], SEA_PA)
    assert found == pytest.approx(row["wet_bulb_c"], abs=0.002)


def test_wet_bulb_is_not_the_one_line_regression() -> None:
    """Trap: Stull 2011 gives 22.144 C at 35 C and 30 %; psychrolib 21.5235, CoolProp humid air 21.5157."""
    found = air.wet_bulb_c(35.0, air.vapour_pressure_pa(35.0, 0.30), SEA_PA)
    assert found == pytest.approx(21.5235, abs=0.02) and 22.144 - found > 0.6  # 0.02 K: the two libraries


@pytest.mark.parametrize("row", POINTS, ids=IDS)
def test_ratio_and_density(row: dict) -> None:
    vapour = row["vapour_pa"]
    assert air.humidity_ratio(vapour, SEA_PA) == pytest.approx(row["humidity_ratio"], rel=1e-9)  # same formula
    # The library's constant 1.607858 is 1/0.621945 cut to seven digits.
    assert density_kg_m3(row["temp_c"], vapour, SEA_PA) == pytest.approx(row["density_kg_m3"], rel=1e-6)


@pytest.mark.parametrize(("metres", "expected"), MADE["pressure_pa"].items())
def test_pressure_of_the_standard_atmosphere(metres: str, expected: float) -> None:
    assert pressure_pa(float(metres)) == pytest.approx(expected, rel=1e-9)  # same formula


@pytest.mark.parametrize(("metres", "kpa"), [(0, 101.325), (1500, 84.556), (3000, 70.108)])
def test_pressure_of_the_printed_table(metres: float, kpa: float) -> None:
    """US Standard Atmosphere 1976 (from memory for 3000 m): the short formula keeps 0.05 %."""
    assert pressure_pa(metres) == pytest.approx(1000 * kpa, rel=5e-4)


@pytest.mark.parametrize(("temp_c", "pct", "dew_c"), [(30, 70, 23.9), (25, 60, 16.7), (20, 50, 9.3)])
def test_a_surface_under_the_dew_point_gains_water(temp_c: float, pct: float, dew_c: float) -> None:
    """Dew points by the two-node model's formula, printed to 0.1 K; formulas differ by up to 0.06 K."""
    vapour = air_of(temp_c, pct / 100, 0.0).vapour_pa
    assert air.dew_point_c(vapour) == pytest.approx(dew_c, abs=0.2)
    assert margin_k(dew_c - 0.5, vapour) < 0 < margin_k(dew_c + 0.5, vapour)


def test_negative_humidity_is_refused_and_nought_has_no_dew_point() -> None:
    with pytest.raises(ValueError, match="negative"):
        air.vapour_pressure_pa(20.0, -0.1)
    assert np.isnan(air.dew_point_c(0.0)) and np.isnan(air.frost_point_c(np.nan))
