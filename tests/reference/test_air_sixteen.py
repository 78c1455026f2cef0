"""Sixteen points of moist air at 101,325 Pa, every column of six general libraries, as printed by them.

psychrolib 2.5.0, metpy 1.7.1, CoolProp 8.0.0 humid air, pythermalcomfort 4.8.1, thermofeel 2.3.0, meteocalc 1.1.0.
Under 0 C the first and the third give the frost point as dew point; they are compared with the frost point only.
"""

from __future__ import annotations

import numpy as np
import pytest

from coaching.science.air import psychrometrics as air
from coaching.science.air.moist_air import density_kg_m3

SEA_PA = 101_325.0
# C, %, then what settles (dew or frost) by psychrolib and CoolProp, dew points over water by the other four, wet bulb
# by psychrolib and CoolProp.
POINTS = [
    (0, 50, -8.1636, -8.1638, -9.2006, -9.2020, -9.1965, -9.1811, -2.9752, -2.9845),
    (0, 90, -1.2735, -1.2734, -1.4532, -1.4451, -1.4442, -1.4409, -0.5717, -0.5735),
    (5, 30, -9.9204, -9.9211, -11.1623, -11.1747, -11.1653, -11.1192, -0.5747, -0.5917),
    (5, 80, 1.8413, 1.8419, 1.8313, 1.8340, 1.8359, 1.8425, 3.5876, 3.5852),
    (10, 40, -2.6277, -2.6273, -2.9899, -3.0005, -2.9931, -2.9672, 4.5629, 4.5530),
    (10, 60, 2.5998, 2.6010, 2.5876, 2.5838, 2.5880, 2.6003, 6.4810, 6.4751),
    (15, 50, 4.6719, 4.6735, 4.6575, 4.6516, 4.6575, 4.6697, 9.6724, 9.6645),
    (15, 95, 14.2060, 14.2062, 14.1973, 14.2047, 14.2051, 14.2056, 14.5096, 14.5089),
    (20, 40, 6.0043, 6.0067, 5.9857, 5.9804, 5.9881, 5.9992, 12.3551, 12.3458),
    (20, 60, 12.0075, 12.0091, 11.9925, 11.9955, 11.9999, 12.0033, 15.1437, 15.1384),
    (25, 50, 13.8640, 13.8669, 13.8429, 13.8516, 13.8576, 13.8578, 17.8894, 17.8835),
    (25, 80, 21.3094, 21.3107, 21.2863, 21.3069, 21.3089, 21.3073, 22.3803, 22.3788),
    (30, 40, 14.9358, 14.9407, 14.9069, 14.9251, 14.9330, 14.9281, 20.0640, 20.0577),
    (30, 70, 23.9279, 23.9305, 23.8938, 23.9272, 23.9305, 23.9252, 25.5034, 25.5024),
    (35, 30, 14.8436, 14.8511, 14.8055, 14.8364, 14.8467, 14.8352, 21.5235, 21.5157),
    (35, 60, 26.0680, 26.0728, 26.0209, 26.0723, 26.0769, 26.0657, 28.1748, 28.1743),
]
# C, %, vapour pressure Pa, deficit Pa, g/kg by psychrolib and CoolProp, g/m3 as an ideal gas and by CoolProp, kg/m3 by
# psychrolib and CoolProp.
AMOUNTS = [
    (0, 50, 305.58, 305.58, 1.8813, 1.8893, 2.4240, 2.4356, 1.2908, 1.2916),
    (0, 90, 550.04, 61.12, 3.3946, 3.4090, 4.3632, 4.3841, 1.2897, 1.2904),
    (5, 30, 261.75, 610.74, 1.6108, 1.6175, 2.0390, 2.0486, 1.2678, 1.2685),
    (5, 80, 697.99, 174.50, 4.3141, 4.3322, 5.4372, 5.4629, 1.2658, 1.2665),
    (10, 40, 491.20, 736.80, 3.0297, 3.0426, 3.7588, 3.7765, 1.2444, 1.2450),
    (10, 60, 736.80, 491.20, 4.5557, 4.5750, 5.6382, 5.6648, 1.2433, 1.2439),
    (15, 50, 852.72, 852.72, 5.2785, 5.3013, 6.4121, 6.4423, 1.2211, 1.2217),
    (15, 95, 1620.18, 85.27, 10.1064, 10.1504, 12.1830, 12.2408, 1.2176, 1.2182),
    (20, 40, 935.52, 1403.28, 5.7959, 5.8213, 6.9147, 6.9475, 1.1999, 1.2004),
    (20, 60, 1403.28, 935.52, 8.7345, 8.7730, 10.3720, 10.4214, 1.1978, 1.1983),
    (25, 50, 1584.61, 1584.61, 9.8810, 9.9257, 11.5159, 11.5713, 1.1770, 1.1774),
    (25, 80, 2535.37, 633.84, 15.9618, 16.0347, 18.4254, 18.5148, 1.1728, 1.1732),
    (30, 40, 1698.41, 2547.62, 10.6028, 10.6523, 12.1393, 12.1989, 1.1571, 1.1574),
    (30, 70, 2972.22, 1273.81, 18.7952, 18.8840, 21.2438, 21.3491, 1.1515, 1.1519),
    (35, 30, 1688.35, 3939.47, 10.5389, 10.5899, 11.8716, 11.9314, 1.1383, 1.1386),
    (35, 60, 3376.69, 2251.13, 21.4411, 21.5467, 23.7432, 23.8642, 1.1311, 1.1314),
]
IDS = [f"{row[0]}C-{row[1]}%" for row in POINTS]


def vapour_of(row: tuple[float, ...]) -> np.ndarray:
    return air.vapour_pressure_pa(row[0], row[1] / 100)


@pytest.mark.parametrize("row", POINTS, ids=IDS)
def test_dew_point_against_all_six(row: tuple[float, ...]) -> None:
    """Above freezing 0.03 K to psychrolib and 0.06 K to any, the spread of all six; below it over water, 0.09 K: the
    plain Magnus form of one library lies so far off at -11 C.
    """
    vapour = vapour_of(row)
    dew, settles = air.dew_point_c(vapour), row[2:4]
    for other in row[4:8]:
        assert dew == pytest.approx(other, abs=0.06 if row[2] > 0 else 0.09)
    if row[2] > 0:
        assert dew == pytest.approx(settles[0], abs=0.03) and dew == pytest.approx(settles[1], abs=0.06)
    else:
        assert air.frost_point_c(vapour) == pytest.approx(settles[0], abs=0.03)
        assert air.frost_point_c(vapour) == pytest.approx(settles[1], abs=0.03)


@pytest.mark.parametrize("row", POINTS, ids=IDS)
def test_wet_bulb_against_both_careful_ones(row: tuple[float, ...]) -> None:
    """0.02 K, more than the two are apart; below 0 C both mean a film of ice. The one-line regression is not asked."""
    vapour = vapour_of(row)
    found = air.wet_bulb_c(row[0], vapour, SEA_PA) if row[8] > 0 else air.ice_bulb_c(row[0], vapour, SEA_PA)
    assert found == pytest.approx(row[8], abs=0.02) and found == pytest.approx(row[9], abs=0.02)


@pytest.mark.parametrize("row", AMOUNTS, ids=IDS)
def test_amounts_of_vapour(row: tuple[float, ...]) -> None:
    """0.1 % to psychrolib and to an ideal gas; 0.6 % to CoolProp, which counts the enhancement by air (0.4-0.5 %);
    deficit 0.3 %. At 0 C the printed rows stand on the curve of ice, 0.01 % lower.
    """
    vapour = vapour_of(row)
    assert vapour == pytest.approx(row[2], rel=3e-4)
    assert air.vapour_deficit_pa(row[0], vapour) == pytest.approx(row[3], rel=3e-3)
    for found, ours, other in (
        (1000.0 * air.humidity_ratio(vapour, SEA_PA), row[4], row[5]),
        (air.absolute_humidity_g_m3(row[0], vapour), row[6], row[7]),
        (density_kg_m3(row[0], vapour, SEA_PA), row[8], row[9]),
    ):
        assert found == pytest.approx(ours, rel=1e-3) and found == pytest.approx(other, rel=6e-3)


# kPa of a handbook's second table of water vapour, four or five digits.
STEAM = [(0, 0.6113), (5, 0.8726), (10, 1.2281), (15, 1.7056), (20, 2.3388), (25, 3.1690), (30, 4.2455), (35, 5.6267),
         (40, 7.3814)]  # fmt: skip


@pytest.mark.parametrize(("temp_c", "kpa"), STEAM)
def test_second_handbook_table(temp_c: float, kpa: float) -> None:
    """0.04 %: the table rests on an older steam formulation, 0.03 % lower at its hot end; 0.02 % is its last digit."""
    assert air.saturation_over_water_pa(temp_c) == pytest.approx(1000 * kpa, rel=4e-4)


@pytest.mark.parametrize(("temp_c", "pa"), [(-5, 401.741), (-10, 259.874), (-15, 165.274)])
def test_ice_by_the_international_formulation(temp_c: float, pa: float) -> None:
    """iapws 1.5.5; Hyland & Wexler lie within 0.02 %, and water supercooled would be 5 to 16 % higher."""
    assert air.saturation_over_ice_pa(temp_c) == pytest.approx(pa, rel=3e-4)
    assert air.saturation_over_water_pa(temp_c) > 1.04 * pa


@pytest.mark.parametrize(
    ("temp_c", "pct", "more_g_m3"), [(12.0, 57.0, 0.213), (12.3, 55.0, 0.111)], ids=["2 % RH", "0.3 K"]
)
def test_a_sensor_errs_by_more_than_any_formula(temp_c: float, pct: float, more_g_m3: float) -> None:
    """At 12 C and 55 % air holds 5.8618 g/m3; an ordinary sensor's error moves it by 2 to 4 %. Three digits printed."""
    base = air.absolute_humidity_g_m3(12.0, air.vapour_pressure_pa(12.0, 0.55))
    moved = air.absolute_humidity_g_m3(temp_c, air.vapour_pressure_pa(temp_c, pct / 100))
    assert base == pytest.approx(5.8618, rel=1e-3) and moved - base == pytest.approx(more_g_m3, abs=6e-4)
