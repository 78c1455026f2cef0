"""Speed of sun and air against a loop over a solar library, as ratios within one run; absolute times are only told.

In the environment of requirements-reference.lock, from the root: `python -m tests.reference.bench_air`. 100 invented
places, 16 days by the hour; the best of seven runs of each, one after the other in turn. With `--check` it fails where
our sun is not fifteen times as fast as the loop over the library's quick series, or strays over 0.02 degree from its
full one: the loop is the documented way to ask it, and as exact as ours (0.01 degree).
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from time import perf_counter

import numpy as np

from coaching.science.air.condensation import rock_margin_k
from coaching.science.air.drying import film_drying_bounds_s
from coaching.science.air.face import Faces, sun_share_by_hour
from coaching.science.air.moist_air import air_of
from coaching.science.air.psychrometrics import absolute_humidity_g_m3, dew_point_c, vapour_pressure_pa
from coaching.science.air.sun import azimuth_deg, elevation_deg, sun_direction

LEAST_RATIO, MOST_DEG = 15.0, 0.02
QUICK, FULL = "library, ephemeris", "library, nrel_numpy"
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


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--check", action="store_true", help="tell one line; fail where it is too slow or too coarse")
    check = parser.parse_args().check
    runs: dict[str, Callable[[], object]] = {
        "own sun": own_sun,
        "own sun and humidity": own_sun_and_humidity,
        "sun on faces and all air": all_of_it,
        QUICK: library_loop("ephemeris"),
        FULL: library_loop("nrel_numpy"),
    }
    took: dict[str, list[float]] = {name: [] for name in runs}
    for _ in range(REPEATS):
        for name, run in runs.items():
            begun = perf_counter()
            run()
            took[name].append(perf_counter() - begun)
    base = min(took["own sun"])
    for name, seconds in took.items() if not check else ():
        print(f"{name:26} {1000 * min(seconds):9.1f} ms   {min(seconds) / base:7.2f} x own sun")
    ratio, apart = min(took[QUICK]) / base, float(np.abs(own_sun() - runs[FULL]()).max())
    whole_ms = 1000 * min(took["sun on faces and all air"])
    print(f"sun of {PLACES} places x {HOURS} h: {ratio:.0f} x as fast as a loop over the library, {apart:.4f} degree "
          f"off; with faces and all air {whole_ms:.0f} ms")  # fmt: skip
    return int(check and (ratio < LEAST_RATIO or apart > MOST_DEG))


if __name__ == "__main__":
    sys.exit(main())
