"""Hours of a day and their windows: ranges widen with what is not known, order and ranking are as they say."""

from __future__ import annotations

import numpy as np
import pytest

from coaching.science.air import day as days
from coaching.science.air import windows as w
from coaching.science.air.moist_air import STANDARD_PA, pressure_pa

NAN = np.nan


def hourly(n: int = 24, **changes: object) -> days.HourlyAir:
    """An even day at 12 C and 60 %, a breeze at the finger."""
    full = {
        "temp_c": np.full(n, 12.0), "humidity_frac": np.full(n, 0.6), "temp_spread_k": np.full(n, 1.0),
        "dew_spread_k": np.full(n, 1.0), "wind_low_m_s": np.full(n, 1.0), "wind_high_m_s": np.full(n, 2.0),
        "pressure_pa": STANDARD_PA,
    }  # fmt: skip
    return days.HourlyAir(**{**full, **changes})  # type: ignore[arg-type]


def read(air: days.HourlyAir, low: float = 4.0, high: float = 6.0) -> days.Hours:
    return days.read_hours(air, days.Fingers(low, high))


def test_more_doubt_of_anything_never_narrows_a_range() -> None:
    sure = read(hourly())
    for doubt in (
        read(hourly(temp_spread_k=np.full(24, 4.0))), read(hourly(dew_spread_k=np.full(24, 4.0))),
        read(hourly(wind_low_m_s=np.zeros(24))), read(hourly(wind_high_m_s=np.full(24, 6.0))), read(hourly(), 1.0, 9.0),
    ):  # fmt: skip
        assert np.all(doubt.dry.low_s <= sure.dry.low_s) and np.all(doubt.dry.high_s >= sure.dry.high_s)
        assert np.all(doubt.rock.low_k <= sure.rock.low_k) and np.all(doubt.rock.high_k >= sure.rock.high_k)


def test_the_middling_pause_lies_within_the_range_and_a_fan_shortens_it() -> None:
    found = read(hourly())
    assert np.all(found.dry.low_s < found.middling_s) and np.all(found.middling_s < found.dry.high_s)
    assert np.all(found.fanned.low_s <= found.dry.low_s)
    assert np.all(found.fanned.high_s < found.dry.high_s)


def test_damper_fingers_wait_longer_and_thin_air_less() -> None:
    damp, dry = (read(hourly(), pt - 1, pt + 1).middling_s[0] for pt in (9.0, 2.0))
    high = read(hourly(pressure_pa=float(pressure_pa(3400.0)))).middling_s[0]
    assert dry < damp and high < read(hourly()).middling_s[0]


def test_what_is_not_known_stays_unknown_and_rock_begins_anew_after_a_gap() -> None:
    temp = np.full(24, 12.0)
    temp[5:8] = NAN
    found = read(hourly(temp_c=temp))
    assert np.isnan(found.dry.low_s[5:8]).all() and np.isnan(found.rock.low_k[5:8]).all()
    assert not np.isnan(found.rock.low_k[8:]).any() and not np.isnan(found.rock.low_k[:5]).any()
    with pytest.raises(ValueError, match="low_pt"):
        read(hourly(), 6.0, 4.0)


def test_a_forecast_grows_wider_with_its_age_and_a_typical_year_brings_its_own() -> None:
    ages = np.array([0.0, 1.0, 5.0, 30.0])
    grown = days.spread_k(days.FORECAST, ages)
    assert np.all(np.diff(grown) >= 0) and grown[0] > days.spread_k(days.MEASURED, ages)[0] and grown[-1] == 5.0
    assert np.isnan(days.spread_k(days.TYPICAL, ages)).all()
    assert days.spread_k(days.BETWEEN, ages)[0] == 2 * days.spread_k(days.MEASURED, ages)[0]


def test_an_unknown_wind_is_the_widest() -> None:
    known = days.finger_wind_m_s(np.array([3.0]), sheltered=False, indoors=False)
    unknown = days.finger_wind_m_s(np.array([NAN]), sheltered=False, indoors=False)
    lee = days.finger_wind_m_s(np.array([3.0]), sheltered=True, indoors=False)
    indoors = days.finger_wind_m_s(np.array([3.0]), sheltered=True, indoors=True)
    assert unknown[0] < known[0] and unknown[1] > known[1] and lee[1] < known[1] and indoors[1] < 0.5


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [("temp_c", -10.0, 40.0), ("humidity_frac", 0.05, 1.0), ("wind_high_m_s", 1.0, 12.0), ("wind_low_m_s", 0.0, 2.0),
     ("temp_spread_k", 0.0, 6.0), ("dew_spread_k", 0.0, 6.0)],
)  # fmt: skip
def test_nothing_jumps_in_any_input(name: str, low: float, high: float) -> None:
    """Two thousand steps, of the inverse of each time: where sweat keeps up with drying, time itself runs away."""
    n = 2001
    found = read(hourly(n, **{name: np.linspace(low, high, n)}))
    for times in (found.dry.low_s, found.dry.high_s, found.fanned.high_s, found.middling_s):
        rate = np.where(np.isinf(times), 0.0, 1.0 / np.maximum(times, 1e-9))
        assert np.abs(np.diff(rate)).max() <= 0.01 * rate.max(), name
    assert np.abs(np.diff(found.brittle_frac)).max() < 0.01


def test_no_jump_with_dampness_altitude_or_skin() -> None:
    """Fifty steps of dampness, five hundred of altitude; a jump of seconds would show among steps of under one."""
    times = [read(hourly(1), pt, pt).middling_s[0] for pt in np.linspace(0, 10, 51)]
    assert np.all(np.diff(times) >= 0) and np.max(np.diff(times)) < 5.0
    by_height = read(hourly(501, pressure_pa=pressure_pa(np.linspace(0, 5000, 501)))).middling_s
    assert np.all(np.diff(by_height) < 0) and np.max(np.abs(np.diff(by_height))) < 0.5


def setting(n: int = 24, **changes: object) -> w.Setting:
    hour = np.arange(n) % 24
    full = {
        "light": (hour >= 6) & (hour < 20), "sun_frac": np.where((hour >= 9) & (hour < 12), 1.0, 0.0),
        "temp_c": np.full(n, 12.0), "sea": np.full(n, w.NO_COAST), "rain": np.zeros(n, dtype=bool),
    }  # fmt: skip
    return w.Setting(**{**full, **changes})  # type: ignore[arg-type]


def past(good: int, bad: int, temp_c: float = 12.0, dew_c: float = 4.5) -> w.PastAir:
    n = good + bad
    return w.PastAir(np.full(n, temp_c), np.full(n, dew_c), np.arange(n) < good)


NOBODY = past(0, 0)


def test_windows_are_runs_of_hours_alike_and_none_in_dark_or_rain() -> None:
    rain = np.zeros(24, dtype=bool)
    rain[14:16] = True
    found = w.windows(read(hourly()), setting(rain=rain), NOBODY, NOBODY, dry_skin=False)
    spans = sorted((one.first, one.last) for one in found)
    assert spans == [(6, 9), (9, 12), (12, 14), (16, 20)]
    assert [one.sunny for one in sorted(found, key=lambda one: one.first)] == [False, True, False, False]


@pytest.mark.parametrize(("temp_c", "sign"), [(22.0, 1), (14.5, 0), (2.0, -1)])
def test_sun_on_the_face_counts_against_warm_hours_and_for_cold_ones(temp_c: float, sign: int) -> None:
    air = hourly(temp_c=np.full(24, temp_c))
    found = w.wait_s(read(air), setting(temp_c=np.full(24, temp_c)), dry_skin=False)
    assert np.sign(found[10] - found[13]) == sign


def test_cold_wind_never_ranks_best_for_drying_fast() -> None:
    """At -2 C a strong wind dries at once and numbs as fast: the lee of 8 C is better, whatever dries sooner."""
    temp = np.where(np.arange(24) < 12, -2.0, 8.0)
    wind = np.where(np.arange(24) < 12, 8.0, 1.0)
    hours = read(hourly(temp_c=temp, wind_low_m_s=wind, wind_high_m_s=wind))
    found = w.wait_s(hours, setting(temp_c=temp, sun_frac=np.zeros(24)), dry_skin=False)
    assert hours.middling_s[10] < hours.middling_s[14] and found[10] > found[14]
    assert w.chill_frac(np.array([30.0, 60.0, 120.0, 180.0, np.inf])).tolist() == [1.0, 1.0, 0.5, 0.0, 0.0]


def test_brittle_air_counts_for_dry_skin() -> None:
    arid = hourly(humidity_frac=np.full(24, 0.15))
    assert np.all(w.wait_s(read(arid), setting(), True) > w.wait_s(read(arid), setting(), False))


def test_rock_in_doubt_and_wet_rock() -> None:
    """A cold night, then warm damp air: thick rock stays under the dew point, thin rock follows."""
    temp = np.concatenate([np.full(24, 2.0), np.full(24, 14.0)])
    found = w.rock_state(read(hourly(48, temp_c=temp, humidity_frac=np.full(48, 0.75), temp_spread_k=np.full(48, 0.5))))
    assert found[24] in (w.WET_ROCK, w.DOUBTFUL_ROCK) and w.DOUBTFUL_ROCK in found[25:40]
    unknown = w.rock_state(read(hourly(temp_c=np.full(24, NAN))))
    assert np.all(unknown == w.UNKNOWN_ROCK)


def test_own_history_comes_first_from_ten_sessions_on() -> None:
    """Warm hours went well for this athlete, cool ones did not, whatever physics says."""
    temp = np.where(np.arange(24) < 12, 8.0, 24.0)
    air = hourly(temp_c=temp, humidity_frac=np.where(temp < 10, 0.5, 0.6))
    hours, here = read(air), setting(temp_c=temp, sun_frac=np.zeros(24))
    dews = hours.dew_c
    mine = w.PastAir(
        np.r_[np.full(8, 8.0), np.full(8, 24.0)], np.r_[np.full(8, dews[0]), np.full(8, dews[-1])],
        np.r_[np.zeros(8, dtype=bool), np.ones(8, dtype=bool)],
    )  # fmt: skip
    few = w.PastAir(mine.temp_c[7:16], mine.dew_c[7:16], mine.good[7:16])
    physics = w.windows(hours, here, few, NOBODY, dry_skin=False)
    own = w.windows(hours, here, mine, NOBODY, dry_skin=False)
    assert few.good.size == 9 and physics[0].own == (0, 0) and physics[0].first < 12
    assert own[0].first >= 12 and own[0].own == (8, 8) and own[-1].own == (0, 8)


def test_the_squad_comes_third() -> None:
    hours, here = read(hourly()), setting(sun_frac=np.zeros(24))
    alone = w.windows(hours, here, NOBODY, NOBODY, dry_skin=False)
    liked = w.windows(hours, here, NOBODY, past(20, 1), dry_skin=False)
    assert [one.first for one in alone] == [one.first for one in liked] and liked[0].squad == (20, 21)


def test_two_sessions_in_like_air_are_too_few_to_tell() -> None:
    assert w.windows(read(hourly()), setting(), NOBODY, past(2, 0), dry_skin=False)[0].squad == (0, 0)


def test_wind_off_land_and_sea() -> None:
    found = w.sea_wind(np.array([3.0, -3.0, 1.0, NAN, 0.0]), np.array([3.0, 3.0, 3.0, 3.0, 0.0]))
    assert found.tolist() == [w.OFF_SEA, w.OFF_LAND, w.ALONG, w.NO_COAST, w.NO_COAST]
