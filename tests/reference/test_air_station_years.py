"""Three typical years and one airport's year, whole: counts by plain arithmetic on the open files, made with pandas.

Files and whence they come: fixtures/reference/air/years/README.md. Counts are exact, means carry the digits printed.
"""

from __future__ import annotations

import csv
import gzip
import hashlib
from itertools import groupby
from pathlib import Path

import numpy as np
import pytest

from athletes.records.errors import BadInput
from coaching.science.air.psychrometrics import (
    absolute_humidity_g_m3,
    saturation_over_ice_pa,
    vapour_deficit_pa,
    vapour_pressure_pa,
)
from coaching.science.air.wind import coast_wind, implausible, speed_m_s
from coaching.usecases.typical_files import TypicalYear, read_typical

YEARS = Path(__file__).parents[2] / "fixtures/reference/air/years"
TMY3 = (YEARS / "sand-point.csv").read_bytes()
SAND_POINT, GREENSBORO = read_typical(TMY3), read_typical((YEARS / "greensboro.csv").read_bytes())

TMY2 = gzip.decompress((YEARS / "miami.tm2.gz").read_bytes())
MIAMI = read_typical(TMY2)


def good(year: TypicalYear) -> np.ndarray:
    """Cool, dry and not blown away: 4 to 16 C, at most 60 %, at most 8 m/s."""
    return (year.temp_c >= 4) & (year.temp_c <= 16) & (year.rh_pct <= 60) & (year.wind_m_s <= 8)


def runs(hours: np.ndarray) -> list[int]:
    return [len(list(rows)) for true, rows in groupby(hours) if true]


@pytest.mark.parametrize(
    ("year", "hours", "longest", "of_four"),
    [(SAND_POINT, 382, 19, 154), (GREENSBORO, 1020, 22, 519), (MIAMI, 100, 11, 40)],
    ids=["coast of Alaska", "inland Carolina", "coast of Florida"],
)  # fmt: skip
def test_good_hours_and_the_longest_run(year: TypicalYear, hours: int, longest: int, of_four: int) -> None:
    found = good(year)
    assert (len(year.starts), int(found.sum()), max(runs(found))) == (8760, hours, longest)
    assert sum(max(run - 3, 0) for run in runs(found)) == of_four  # every window of four hours in a row


def test_good_hours_lie_in_the_day() -> None:
    hour = np.array([at.hour + 1 for at in SAND_POINT.starts])  # stamped by their end
    assert int((good(SAND_POINT) & (hour >= 8) & (hour <= 18)).sum()) == 300


@pytest.mark.parametrize(
    ("year", "temps", "humidities", "water_g_m3"),
    [(SAND_POINT, (-10.6, 4.4207, 19.4), (34, 73.4866, 100), 5.0950),
     (GREENSBORO, (-16.7, 14.4218, 35.6), (11, 69.5161, 100), 9.7566)],
    ids=["coast of Alaska", "inland Carolina"],
)  # fmt: skip
def test_ranges_and_means(year: TypicalYear, temps: tuple, humidities: tuple, water_g_m3: float) -> None:
    for values, (low, mean, high) in ((year.temp_c, temps), (year.rh_pct, humidities)):
        assert (values.min(), values.max()) == (low, high) and values.mean() == pytest.approx(mean, abs=5.1e-5)
    vapour = vapour_pressure_pa(year.temp_c, year.rh_pct / 100.0)
    # 0.3 %: the published mean was made with another curve of saturation, over ice below freezing.
    assert absolute_humidity_g_m3(year.temp_c, vapour).mean() == pytest.approx(water_g_m3, rel=3e-3)


def test_deficit_and_wind_of_the_coast() -> None:
    year = SAND_POINT
    vapour = vapour_pressure_pa(year.temp_c, year.rh_pct / 100.0)
    over_ice = (1.0 - year.rh_pct / 100.0) * saturation_over_ice_pa(np.minimum(year.temp_c, 0.01))
    deficit = np.where(year.temp_c > 0.01, vapour_deficit_pa(year.temp_c, vapour), over_ice)
    assert deficit.mean() == pytest.approx(229.65, abs=5.1e-3)  # the library counts ice below freezing, stations do not
    assert year.wind_m_s.mean() == pytest.approx(5.072, abs=5.1e-4)
    assert (year.wind_m_s.max(), int((year.wind_m_s == 0).sum())) == (23.7, 669)


@pytest.mark.parametrize(("year", "sd", "worst"), [(SAND_POINT, 0.111, 3.42), (GREENSBORO, 0.176, 6.24)])
def test_bad_records_are_flagged_and_not_swallowed(year: TypicalYear, sd: float, worst: float) -> None:
    """The two dew points of an hour, told and worked out; 0.03 K more than printed for another saturation curve."""
    over_water = year.dew_c > 0
    apart = (year.humid_dew_c - year.dew_c)[over_water]
    assert apart.std() == pytest.approx(sd, abs=0.03) and np.abs(apart).max() == pytest.approx(worst, abs=0.03)
    assert 0 < year.flagged.sum() < 40 and year.flagged[over_water][np.abs(apart).argmax()]
    assert year.temp_c.size == 8760  # none was taken out


def test_a_file_of_fixed_places_is_read_in_tenths() -> None:
    """TMY2 of Miami: ranges and means by pvlib 0.16.1 `read_tmy2` and plain arithmetic, to the digits printed.

    Trap: its temperatures and winds are tenths. Read as they stand, the mean would be 243 C and the wind 43 m/s.
    """
    assert hashlib.sha256(TMY2).hexdigest()[:16] == "57f0de21ed1685a4"
    assert (MIAMI.station, MIAMI.form, MIAMI.ahead_h, len(MIAMI.starts)) == ("MIAMI", "TMY2", -5.0, 8760)
    for values, (low, mean, high) in (
        (MIAMI.temp_c, (3.3, 24.314007, 33.9)), (MIAMI.dew_c, (-5.0, 18.782842, 26.1)),
        (MIAMI.rh_pct, (20, 72.543721, 100)), (MIAMI.wind_m_s, (0, 4.33718, 13.9)),
        (MIAMI.wind_from_deg, (0, 156.477626, 360)),
    ):  # fmt: skip
        assert (values.min(), values.max()) == (low, high) and values.mean() == pytest.approx(mean, abs=5.1e-6)
    assert int((MIAMI.wind_m_s == 0).sum()) == 183
    apart = MIAMI.humid_dew_c - MIAMI.dew_c
    assert np.abs(apart).max() < 0.4 and not MIAMI.flagged.any()  # humidity is told to 1 %, dew points to 0.1 K


@pytest.mark.parametrize(("hour", "onshore"), [(6, 0.7963), (9, 1.8847), (14, 3.4720), (18, 2.8115), (24, 1.4917)])
def test_the_sea_breeze_of_florida(hour: int, onshore: float) -> None:
    """June to August, open sea to the east: means by hour (stamped by its end) by pvlib and plain arithmetic."""
    stamped, summer = ([at.hour + 1 for at in MIAMI.starts], [at.month in (6, 7, 8) for at in MIAMI.starts])
    wind = coast_wind(MIAMI.wind_m_s, MIAMI.wind_from_deg, 90.0).onshore_m_s
    assert wind[(np.array(stamped) == hour) & np.array(summer)].mean() == pytest.approx(onshore, abs=5.1e-5)


@pytest.mark.parametrize(
    "broken",
    [TMY2[:500_000], TMY2.replace(b"A70200A7", b"A70x00A7", 1), TMY2.replace(b"A70200A7", b"A79999A7", 1), TMY2[:60],
     b"", TMY3[: TMY3.index(b"\n", 90) + 1]],
    ids=["half", "letter", "not known", "head", "empty", "names alone"],
)
def test_what_is_no_whole_year_is_refused_by_name(broken: bytes) -> None:
    with pytest.raises(BadInput):
        read_typical(broken)


def airport() -> tuple[list[dict[str, str]], dict[str, np.ndarray]]:
    with (YEARS / "jfk-2013.csv").open(newline="", encoding="utf-8") as source:
        rows = list(csv.DictReader(source))
    jfk = [row for row in rows if row["origin"] == "JFK"]
    names = ("hour", "temp", "dewp", "humid", "wind_dir", "wind_speed", "precip")
    return rows, {name: np.array([float(row[name]) if row[name] else np.nan for row in jfk]) for name in names}


ROWS, JFK = airport()


def test_the_airport_year_is_whole() -> None:
    assert JFK["temp"].size == 8706 and np.nanmean(JFK["temp"]) == pytest.approx(54.4722, abs=5.1e-5)
    assert np.nanmean(JFK["humid"]) == pytest.approx(65.2051, abs=5.1e-5) and int((JFK["precip"] > 0).sum()) == 576


def test_onshore_wind_of_the_whole_year() -> None:
    """Speeds cut to 0.001 mph in the extract; calms without a bearing are onshore by nothing."""
    wind = coast_wind(speed_m_s(JFK["wind_speed"], "mph"), JFK["wind_dir"], 160.0).onshore_m_s
    known = wind[~np.isnan(wind)]
    assert known.size == 8655 and known.mean() == pytest.approx(-0.4853, abs=6e-4)
    assert 100 * (known > 0).mean() == pytest.approx(48.16, abs=0.006)


def test_trap_12_one_wind_is_impossible_and_the_humidity_column_contradicts_its_dew_point() -> None:
    speeds = speed_m_s(np.array([float(row["wind_speed"] or "nan") for row in ROWS]), "mph")
    assert int(implausible(speeds).sum()) == 1 and ROWS[int(implausible(speeds).argmax())]["origin"] == "EWR"
    temp, dew = ((JFK[name] - 32.0) / 1.8 for name in ("temp", "dewp"))
    worked = 100 * vapour_pressure_pa(dew, 1.0) / vapour_pressure_pa(temp, 1.0)
    assert np.nanmax(np.abs(worked - JFK["humid"])) > 5  # 14 points over all three airports
