"""What must hold of air, sun and wind whatever the numbers."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coaching.science.air import psychrometrics as air
from coaching.science.air.between_tries import between_tries
from coaching.science.air.condensation import rock_margin_k, settling_point_c, shaded_rock_c
from coaching.science.air.drying import cooling_s, film_drying_bounds_s, film_evaporation_g_m2_h
from coaching.science.air.face import Faces, hours_of_sun, skyline_at_deg, sun_on_face, upright
from coaching.science.air.limits import heat_index_c
from coaching.science.air.moist_air import Air, air_of
from coaching.science.air.sun import azimuth_deg, elevation_deg, incidence_deg, refraction_deg, sun_direction
from coaching.science.air.wind import coast_wind, mean_wind

SEA_PA = 101_325.0
temps = st.floats(-30, 45)
humidities = st.floats(0.02, 1.0)
speeds = st.floats(0, 15)
bearings = st.floats(0, 360)
skins = st.floats(24, 36)
DAY_S = 86_400.0
days = st.integers(10_000, 28_000).map(lambda d: d * DAY_S)  # 1997 to 2046


@given(temps, humidities)
def test_dew_point_wet_bulb_and_temperature_stand_in_order(temp_c: float, humidity: float) -> None:
    vapour = air.vapour_pressure_pa(temp_c, humidity)
    dew, wet = air.dew_point_c(vapour), air.wet_bulb_c(temp_c, vapour, SEA_PA)
    assert dew <= temp_c + 1e-9 and dew - 1e-3 <= wet <= temp_c + 1e-9  # 1e-3 K: constants of the two formulas
    assert air.humidity_frac(temp_c, air.saturation_over_water_pa(dew)) == pytest.approx(humidity, rel=1e-10)


@given(st.floats(1.0, 611.0))
def test_frost_point_stands_over_the_dew_point_below_freezing(vapour_pa: float) -> None:
    assert air.frost_point_c(vapour_pa) >= air.dew_point_c(vapour_pa)
    assert settling_point_c(vapour_pa) == air.frost_point_c(vapour_pa)


@given(st.floats(612.0, 9000.0))
def test_no_frost_point_above_the_triple_point(vapour_pa: float) -> None:
    assert np.isnan(air.frost_point_c(vapour_pa)) and settling_point_c(vapour_pa) == air.dew_point_c(vapour_pa)


def test_settling_point_does_not_jump_at_the_triple_point() -> None:
    vapour = np.linspace(600, 625, 2001)
    assert np.abs(np.diff(settling_point_c(vapour))).max() < 0.01  # slope of either curve, 0.02 K/Pa, plus 2 mK


@given(temps, st.floats(0.02, 0.9), st.floats(0.01, 0.1))
def test_more_vapour_means_more_of_everything_but_deficit(temp_c: float, humidity: float, more: float) -> None:
    less, full = (air.vapour_pressure_pa(temp_c, h) for h in (humidity, humidity + more))
    assert air.dew_point_c(less) < air.dew_point_c(full)
    assert air.wet_bulb_c(temp_c, less, SEA_PA) < air.wet_bulb_c(temp_c, full, SEA_PA)
    assert air.absolute_humidity_g_m3(temp_c, less) < air.absolute_humidity_g_m3(temp_c, full)
    assert air.vapour_deficit_pa(temp_c, less) > air.vapour_deficit_pa(temp_c, full)


@given(temps, humidities, speeds, st.floats(0.05, 3), skins)
def test_drying_is_faster_with_wind_and_slower_with_vapour(
    temp_c: float, humidity: float, wind: float, more: float, skin_c: float
) -> None:
    here, windy = air_of(temp_c, humidity, wind), air_of(temp_c, humidity, wind + more)
    damper = Air(here.temp_c, here.vapour_pa + 50.0, here.wind_m_s, here.pressure_pa)
    loss = film_evaporation_g_m2_h(here, skin_c)
    assert film_evaporation_g_m2_h(damper, skin_c) < loss
    assert np.abs(film_evaporation_g_m2_h(windy, skin_c)) >= np.abs(loss)
    assert (loss > 0) == (air.dew_point_c(here.vapour_pa) < skin_c)


@given(temps, humidities, skins)
def test_thin_air_dries_faster(temp_c: float, humidity: float, skin_c: float) -> None:
    low, high = (film_evaporation_g_m2_h(air_of(temp_c, humidity, 2.0, m), skin_c) for m in (0.0, 3400.0))
    assert abs(high) >= abs(low)


@given(temps, humidities, speeds, st.floats(0, 10))
def test_pauses_are_ranges_and_a_fan_never_harms_a_finger_that_dries(
    temp_c: float, humidity: float, wind: float, dampness_pt: float
) -> None:
    found = between_tries(air_of(temp_c, humidity, wind), dampness_pt)
    for pause in found:
        assert pause.dry.low_s <= pause.dry.high_s and pause.cool.low_s <= pause.cool.high_s
    assert found.fanned.dry.low_s <= found.plain.dry.low_s and found.fanned.dry.high_s <= found.plain.dry.high_s


@given(temps, humidities, speeds)
def test_bounds_of_drying_are_in_order(temp_c: float, humidity: float, wind: float) -> None:
    bounds = film_drying_bounds_s(air_of(temp_c, humidity, wind), 10.0)
    assert bounds.low_s <= bounds.high_s


def test_numbers_and_arrays_give_the_same() -> None:
    temp, humid, wind = np.array([[-5.0, 8.0], [21.0, 33.0]]), np.array([0.9, 0.4]), np.array([[0.0], [3.0]])
    many = air_of(temp, humid, wind, 800.0)
    whole = [film_evaporation_g_m2_h(many, 31.0), cooling_s(many, 34.0, 30.0, wet=True),
             air.wet_bulb_c(temp, many.vapour_pa, many.pressure_pa),
             between_tries(many, 6.0).plain.dry.high_s]  # fmt: skip
    for i, j in np.ndindex(2, 2):
        one = air_of(float(temp[i, j]), float(humid[j]), float(wind[i, 0]), 800.0)
        single = [film_evaporation_g_m2_h(one, 31.0), cooling_s(one, 34.0, 30.0, wet=True),
                  air.wet_bulb_c(float(temp[i, j]), one.vapour_pa, one.pressure_pa),
                  between_tries(one, 6.0).plain.dry.high_s]  # fmt: skip
        # A vector unit may round the last bit otherwise than the scalar one.
        assert [float(w[i, j]) for w in whole] == pytest.approx([float(s) for s in single], rel=1e-12)


def test_what_is_not_known_stays_unknown() -> None:
    hole = air_of(np.array([np.nan, 20.0]), 0.5, np.array([1.0, np.nan]))
    assert np.isnan(film_evaporation_g_m2_h(hole, 31.0)).all()
    found = between_tries(hole, 5.0).plain
    assert np.isnan([found.dry.low_s, found.dry.high_s, found.cool.low_s, found.cool.high_s]).all()
    assert np.isnan(heat_index_c(np.nan, 0.5)) and np.isnan(mean_wind(np.array([np.nan]), np.array([1.0])).speed_m_s)


@given(st.floats(-65, 65), st.floats(-180, 180), days, bearings)
@settings(max_examples=25)
def test_opposite_faces_share_the_day(lat: float, lon: float, day_s: float, facing: float) -> None:
    """Every minute of sun lies on exactly one of two opposite upright faces."""
    pair = upright(lat, lon, np.array([facing, facing + 180.0]))
    ground = Faces(pair.lat_deg[:1], pair.lon_deg[:1], np.zeros(1), np.zeros(1), np.zeros((1, 1)))
    assert hours_of_sun(day_s, pair).sum() == pytest.approx(hours_of_sun(day_s, ground)[0], abs=2 / 60)


@given(st.floats(-89, 89), st.floats(-180, 180), days, bearings, st.floats(0, 180))
def test_incidence_by_angles_and_by_vectors_agree(
    lat: float, lon: float, day_s: float, facing: float, slope: float
) -> None:
    times = day_s + 3600.0 * np.arange(24)
    faces = Faces(np.array([lat]), np.array([lon]), np.array([facing]), np.array([slope]), np.zeros((1, 1)))
    sun = sun_direction(times, lat, lon)
    height = elevation_deg(sun)
    height = height + refraction_deg(height)
    angle = incidence_deg(height, azimuth_deg(sun), facing, slope)
    clear = (np.abs(angle - 90) > 1e-6) & (np.abs(height) > 1e-6)  # on the very edge either may be right
    assert np.array_equal(sun_on_face(times, faces)[0][clear], ((angle < 90) & (height > 0))[clear])


@given(st.lists(st.floats(0, 40), min_size=4, max_size=16))
def test_skyline_meets_its_sectors_and_does_not_jump(heights: list[float]) -> None:
    faces = Faces(*(np.zeros(1) for _ in range(3)), np.array([90.0]), np.array([heights]))
    centres = np.arange(len(heights)) * 360.0 / len(heights)
    assert skyline_at_deg(faces, centres[None])[0] == pytest.approx(heights, abs=1e-9)
    fine = skyline_at_deg(faces, np.arange(0.0, 720.0, 0.1)[None])[0]
    assert np.abs(np.diff(fine)).max() <= 40 * 0.1 * len(heights) / 360 + 1e-9


def test_refraction_does_not_jump() -> None:
    lift = refraction_deg(np.arange(-10.0, 90.0, 0.001))
    assert lift.min() >= -1e-3 and np.abs(np.diff(lift)).max() < 0.001 and lift[0] == 0


@given(speeds, bearings, bearings)
def test_on_and_along_keep_the_wind(speed: float, bearing: float, seaward: float) -> None:
    found = coast_wind(speed, bearing, seaward)
    assert found.onshore_m_s**2 + found.along_m_s**2 == pytest.approx(speed**2, abs=1e-9)


def test_shaded_rock_follows_and_the_margin_is_a_range() -> None:
    temp = np.concatenate([np.full(48, 2.0), np.full(24, 18.0)])[None]
    rock = shaded_rock_c(temp, 24.0)
    assert np.all(rock[0, :48] == 2) and np.all(np.diff(rock[0, 47:]) > 0) and rock[0, -1] < 18
    assert rock[0, -1] == pytest.approx(18 - 16 * np.exp(-1), abs=1e-9)  # one lag leaves 1/e of the step
    margin = rock_margin_k(temp, air.vapour_pressure_pa(temp, 0.8))
    assert np.all(margin.low_k <= margin.high_k) and margin.low_k[0, 49] < 0 < margin.high_k[0, 60]
    with pytest.raises(ValueError, match="lag_h"):
        shaded_rock_c(temp, 0.0)
