"""Speed of sun and air against a loop over a solar library: ratios within one run, no gate.

In the environment of requirements-reference.lock, from the root: `python tests/reference/bench_air.py`.
100 invented places, 16 days by the hour; the best of seven runs of each, one after the other in turn.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from time import perf_counter

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from coaching.science.air.condensation import rock_margin_k  # noqa: E402
from coaching.science.air.drying import film_drying_bounds_s  # noqa: E402
from coaching.science.air.face import Faces, sun_share_by_hour  # noqa: E402
from coaching.science.air.moist_air import air_of  # noqa: E402
from coaching.science.air.psychrometrics import (  # noqa: E402
    absolute_humidity_g_m3,
    dew_point_c,
    vapour_pressure_pa,
)
from coaching.science.air.sun import azimuth_deg, elevation_deg, sun_direction  # noqa: E402

PLACES, HOURS, REPEATS = 100, 384, 7
START_S = 1_793_577_600.0  # 2026-11-02 00:00 UTC
CHANCE = np.random.default_rng(1)
LAT, LON = CHANCE.uniform(-60, 70, PLACES), CHANCE.uniform(-180, 180, PLACES)
TIMES_S = START_S + 3600.0 * np.arange(HOURS)
TEMP_C = 10 + 8 * np.sin(TIMES_S / 86_400 * 2 * np.pi) + CHANCE.normal(0, 1, (PLACES, HOURS))
HUMIDITY = CHANCE.uniform(0.2, 1.0, (PLACES, HOURS))
WIND = CHANCE.uniform(0, 10, (PLACES, HOURS))
FACES = Faces(LAT, LON, CHANCE.uniform(0, 360, PLACES), np.full(PLACES, 90.0), CHANCE.uniform(0, 15, (PLACES, 36)))


def own_sun() -> np.ndarray:
    sun = sun_direction(TIMES_S, LAT[:, None], LON[:, None])
    azimuth_deg(sun)
    return elevation_deg(sun)


def own_sun_and_humidity() -> None:
    own_sun()
    vapour = vapour_pressure_pa(TEMP_C, HUMIDITY)
    dew_point_c(vapour)
    absolute_humidity_g_m3(TEMP_C, vapour)


def all_of_it() -> None:
    """Sun on faces at six looks an hour, humidity, drying bounds, margin of rock."""
    sun_share_by_hour(TIMES_S, FACES)
    air = air_of(TEMP_C, HUMIDITY, WIND)
    dew_point_c(air.vapour_pa)
    film_drying_bounds_s(air, 10.0)
    rock_margin_k(TEMP_C, air.vapour_pa)


def library_loop(method: str) -> Callable[[], np.ndarray]:
    import pandas
    from pvlib.solarposition import get_solarposition

    times = pandas.to_datetime(TIMES_S, unit="s", utc=True)
    return lambda: np.array(
        [get_solarposition(times, a, b, method=method)["elevation"] for a, b in zip(LAT, LON, strict=True)]
    )


def main() -> None:
    runs: dict[str, Callable[[], object]] = {
        "own sun": own_sun,
        "own sun and humidity": own_sun_and_humidity,
        "sun on faces and all air": all_of_it,
        "library, ephemeris": library_loop("ephemeris"),
        "library, nrel_numpy": library_loop("nrel_numpy"),
    }
    took: dict[str, list[float]] = {name: [] for name in runs}
    for _ in range(REPEATS):
        for name, run in runs.items():
            begun = perf_counter()
            run()
            took[name].append(perf_counter() - begun)
    base = min(took["own sun"])
    for name, seconds in took.items():
        print(f"{name:26} {1000 * min(seconds):9.1f} ms   {min(seconds) / base:7.2f} x own sun")
    full = library_loop("nrel_numpy")()
    print(f"worst height against nrel_numpy: {np.abs(own_sun() - full).max():.4f} degree")


if __name__ == "__main__":
    main()
