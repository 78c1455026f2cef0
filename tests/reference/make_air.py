"""Reference values of the air from general libraries; started by tests.reference.make."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import UTC, datetime
from importlib.metadata import version
from typing import Any

Rows = dict[str, Any]
# Temperature C and relative humidity % over water; the mild sixteen, then cold ones.
AIRS = [
    (0, 50), (0, 90), (5, 30), (5, 80), (10, 40), (10, 60), (15, 50), (15, 95), (20, 40), (20, 60), (25, 50),
    (25, 80), (30, 40), (30, 70), (35, 30), (35, 60), (-5, 60), (-15, 80), (-25, 70), (45, 10), (10, 15),
]  # fmt: skip
SUNS = [
    ("2025-06-21T06:00", 53.3, -1.63), ("2025-06-21T12:00", 53.3, -1.63), ("2025-06-21T18:00", 53.3, -1.63),
    ("2025-12-21T09:00", 53.3, -1.63), ("2025-12-21T12:00", 53.3, -1.63), ("2025-03-20T07:30", 48.40, 2.60),
    ("2025-03-20T15:00", 48.40, 2.60), ("2025-10-01T16:00", 37.33, -118.58), ("2025-01-15T20:00", 37.33, -118.58),
    ("2025-01-15T00:30", -33.65, 150.30), ("2025-07-15T05:00", -33.65, 150.30), ("2025-06-21T22:00", 69.65, 18.96),
]  # fmt: skip
HEATS_F = [
    (80, 90), (84, 70), (86, 90), (88, 60), (90, 50), (90, 70), (92, 85), (95, 10), (96, 50), (100, 40), (100, 60),
    (110, 40),
]  # fmt: skip
WINDS = [(5, 270), (5, 90), (5, 0), (5, 225), (8, 200), (8, 340), (10, 10), (6.5, 123)]


def saturation_over_water_pa(temp_c: float) -> float:
    """The library gives pressures over ice below 0.01 C, so water below it is left out."""
    import psychrolib

    return float(psychrolib.GetSatVapPres(temp_c))


def air_point(temp_c: float, humidity_pct: float) -> Rows:
    import psychrolib

    full = saturation_over_water_pa(temp_c) if temp_c > 0.01 else None
    vapour = humidity_pct / 100 * (full or supercooled_pa(temp_c))
    ratio = psychrolib.GetHumRatioFromVapPres(vapour, 101_325)
    settles = psychrolib.GetTDewPointFromVapPres(temp_c, vapour)
    return {
        "temp_c": temp_c, "humidity_pct": humidity_pct, "vapour_pa": vapour, "humidity_ratio": ratio,
        "settles_c": settles, "settles_as": "frost" if settles < 0 else "dew",
        "wet_bulb_c": psychrolib.GetTWetBulbFromHumRatio(temp_c, ratio, 101_325),
        "density_kg_m3": psychrolib.GetMoistAirDensity(temp_c, ratio, 101_325),
    }  # fmt: skip


def supercooled_pa(temp_c: float) -> float:
    """Murphy & Koop 2005, doi 10.1256/qj.04.94, eq. 10: only to set a vapour pressure, not to check one."""
    from math import exp, log, tanh

    t = temp_c + 273.15
    first = 54.842763 - 6763.22 / t - 4.210 * log(t) + 0.000367 * t
    return exp(first + tanh(0.0415 * (t - 218.8)) * (53.878 - 1331.22 / t - 9.44523 * log(t) + 0.014025 * t))


def psychrometrics() -> Rows:
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)
    return {
        "library": f"psychrolib {version('psychrolib')}",
        "over_water_pa": {t: saturation_over_water_pa(t) for t in (1, 5, 10, 15, 20, 25, 30, 32, 35, 40, 50)},
        "over_ice_pa": {t: float(psychrolib.GetSatVapPres(t)) for t in (-40, -30, -20, -15, -10, -5, -1, 0)},
        "pressure_pa": {m: psychrolib.GetStandardAtmPressure(m) for m in (-500, 0, 500, 1500, 2500, 3400, 5000)},
        "points": [air_point(*air) for air in AIRS],
    }


def sun_rows(places: list[tuple[str, float, float]]) -> list[Rows]:
    import pandas
    from pvlib import solarposition

    rows = []
    for at, lat, lon in places:
        time = pandas.DatetimeIndex([at], tz="UTC")
        seen = solarposition.spa_python(time, lat, lon, pressure=101_325, temperature=12).iloc[0]
        rows.append({"utc": at, "lat_deg": lat, "lon_deg": lon, "zenith_deg": float(seen["zenith"]),
                     "apparent_zenith_deg": float(seen["apparent_zenith"]),
                     "azimuth_deg": float(seen["azimuth"])})  # fmt: skip
    return rows


def random_suns(count: int) -> list[tuple[str, float, float]]:
    chance = random.Random(20261126)
    first, last = datetime(2020, 1, 1, tzinfo=UTC).timestamp(), datetime(2040, 1, 1, tzinfo=UTC).timestamp()
    return [
        (datetime.fromtimestamp(int(chance.uniform(first, last)), UTC).strftime("%Y-%m-%dT%H:%M:%S"),
         round(chance.uniform(-70, 70), 3), round(chance.uniform(-180, 180), 3))
        for _ in range(count)
    ]  # fmt: skip


def example() -> Rows:
    """The worked example of NREL/TP-560-34302 and its face by compass."""
    import pandas
    from pvlib import irradiance, solarposition

    time = pandas.DatetimeIndex(["2003-10-17T19:30:30"], tz="UTC")
    seen = solarposition.spa_python(
        time, 39.742476, -105.1786, altitude=1830.14, pressure=82_000, temperature=11, delta_t=67
    ).iloc[0]
    zenith, azimuth = float(seen["apparent_zenith"]), float(seen["azimuth"])
    faces = {facing: float(irradiance.aoi(30, facing, zenith, azimuth)) for facing in (170, 190)}
    return {"utc": "2003-10-17T19:30:30", "lat_deg": 39.742476, "lon_deg": -105.1786, "pressure_pa": 82_000,
            "temp_c": 11, "slope_deg": 30, "apparent_zenith_deg": zenith, "azimuth_deg": azimuth,
            "incidence_by_facing_deg": faces}  # fmt: skip


def sunny_hours() -> list[Rows]:
    """Hours of sun on upright faces, looked at every minute."""
    import pandas
    from pvlib import irradiance, solarposition

    rows = []
    for day in ("2025-03-20", "2025-06-21", "2025-12-21"):
        times = pandas.date_range(day, periods=1440, freq="min", tz="UTC")
        seen = solarposition.spa_python(times, 53.3, -1.63, pressure=101_325, temperature=12)
        for facing in range(0, 360, 45):
            before = irradiance.aoi(90, facing, seen["apparent_zenith"], seen["azimuth"]) < 90
            hours = {sky: int((before & (seen["apparent_zenith"] < 90 - sky)).sum()) / 60 for sky in (0, 20)}
            rows.append({"day": day, "facing_deg": facing, "hours_by_skyline_deg": hours})
    return rows


def sun() -> Rows:
    return {
        "library": f"pvlib {version('pvlib')}, spa_python",
        "example": example(),
        "listed": sun_rows(SUNS),
        "random": sun_rows(random_suns(200)),
        "hours": {"lat_deg": 53.3, "lon_deg": -1.63, "rows": sunny_hours()},
    }


def cylinder() -> Rows:
    from ht import conv_external, conv_free_immersed

    forced = conv_external.Nu_cylinder_Churchill_Bernstein
    others = {name: [getattr(conv_external, f"Nu_cylinder_{name}")(re, 0.71) for re in (200, 1000, 6071)]
              for name in ("Sanitjai_Goldstein", "Fand", "McAdams", "Perkins_Leppert_1964", "Zukauskas",
                           "Whitaker")}  # fmt: skip
    natural = conv_free_immersed.Nu_horizontal_cylinder_Churchill_Chu
    return {
        "library": f"ht {version('ht')}",
        "forced": [{"re": re, "pr": pr, "nu": forced(re, pr)}
                   for re, pr in ((6071, 0.7), (120, 0.71), (20, 0.71), (1000, 0.71), (20_000, 0.72))],
        "natural": [{"ra": ra, "pr": pr, "nu": natural(pr, ra / pr)}
                    for ra, pr in ((0.69 * 2.63e9, 0.69), (1000, 0.71), (5000, 0.71), (50_000, 0.72))],
        "others_at_re": [200, 1000, 6071],
        "others": others,
    }  # fmt: skip


def weather() -> Rows:
    from metpy.calc import heat_index, wind_components
    from metpy.units import units

    heats = [{"temp_f": t, "humidity_pct": r,
              "heat_index_f": float(heat_index(t * units.degF, r * units.percent).to("degF").magnitude[0])}
             for t, r in HEATS_F]  # fmt: skip
    winds = []
    for speed, bearing in WINDS:
        u, v = wind_components(speed * units("m/s"), bearing * units.deg)
        winds.append(
            {"speed_m_s": speed, "from_deg": bearing, "u_m_s": float(u.magnitude), "v_m_s": float(v.magnitude)}
        )
    return {"library": f"metpy {version('metpy')}", "heat": heats, "wind": winds}


FILES: dict[str, Callable[[], Rows]] = {
    "air/psychrometrics.json": psychrometrics,
    "air/sun.json": sun,
    "air/cylinder.json": cylinder,
    "air/weather.json": weather,
}
