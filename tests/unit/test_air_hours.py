"""Hours of a place: what moves the air, the wind and the fingers of both ends, each put together by hand."""

import numpy as np
import pytest

from coaching.science.air.air_quantities import chosen
from coaching.science.air.between_tries import between_tries, sweat_of
from coaching.science.air.convection import finger_convection_w_m2_k
from coaching.science.air.day import (
    BETWEEN,
    FORECAST,
    MEASURED,
    NOTHING,
    TYPICAL,
    Fingers,
    HourlyAir,
    finger_wind_m_s,
    read_hours,
    spread_k,
)
from coaching.science.air.drying import cooling_s, film_evaporation_g_m2_h
from coaching.science.air.face import Faces, sun_on_face, sun_share_by_hour
from coaching.science.air.moist_air import Air, air_of
from coaching.science.air.psychrometrics import dew_point_c, saturation_over_water_pa, vapour_pressure_pa

FINGERS = Fingers(3.0, 5.0)


def hour(temp_c: float, rh_pct: float, temp_k: float, dew_k: float, low_m_s: float, high_m_s: float) -> HourlyAir:
    return HourlyAir(*(np.array([v]) for v in (temp_c, rh_pct / 100, temp_k, dew_k, low_m_s, high_m_s)), 95_000.0)


def dried_s(air: Air, skin_c: float, factor: float, sweat_g_m2_h: float, minutes: float, then_g_m2_h: float) -> float:
    """Sweat of a try as a film, 1 g/m2 a micrometre, gone at what evaporates less what still comes."""
    h = factor * float(finger_convection_w_m2_k(air.temp_c, skin_c, air.wind_m_s, air.pressure_pa))
    left = float(film_evaporation_g_m2_h(air, skin_c, h)) - then_g_m2_h
    return 3600.0 * sweat_g_m2_h * minutes / 60.0 / left if left > 0 else np.inf


@pytest.mark.parametrize("dampness_pt", [0.0, 4.0, 10.0, 12.0])
def test_pauses_between_tries_by_hand(dampness_pt: float) -> None:
    """The short end: warm skin, quick air, a short try at rest. The long end: cool skin, slow air, a long hard one."""
    low, high = chosen("sweat_dry_g_m2_h"), chosen("sweat_damp_g_m2_h")
    rest = low * (high / low) ** (min(dampness_pt, 10.0) / 10.0)
    effort, spread = chosen("sweat_effort_factor") * rest, chosen("correlation_spread_frac")
    plain = air_of(16.0, 0.5, 0.4)
    found = between_tries(plain, dampness_pt)
    fans = (plain.blown(chosen("fan_fast_m_s")), plain.blown(chosen("fan_slow_m_s")))
    for pause, (best, worst) in ((found.plain, (plain, plain)), (found.fanned, fans)):
        short = dried_s(best, chosen("skin_warm_c"), 1 + spread, rest, chosen("try_short_min"), rest)
        long = dried_s(worst, chosen("skin_cool_c"), 1 - spread, effort, chosen("try_long_min"), effort)
        assert (float(pause.dry.low_s), float(pause.dry.high_s)) == pytest.approx((short, long), rel=1e-9)
        ends = (chosen("skin_hot_c"), chosen("skin_sweats_above_c"))
        cool = [cooling_s(best, *ends, wet=True, convection_factor=1 + spread),
                cooling_s(worst, *ends, wet=False, convection_factor=1 - spread)]  # fmt: skip
        assert [float(pause.cool.low_s), float(pause.cool.high_s)] == pytest.approx([float(c) for c in cool], rel=1e-9)


def test_ends_of_an_hour_are_the_drier_and_windier_air_and_the_damper_and_stiller() -> None:
    air = hour(14.0, 55.0, 1.5, 2.0, 0.3, 1.8)
    found = read_hours(air, FINGERS)
    dew = float(dew_point_c(vapour_pressure_pa(14.0, 0.55)))

    def pause(temp_c: float, dew_c: float, wind_m_s: float, dampness_pt: float):  # noqa: ANN202
        there = Air(*(np.array(v) for v in (temp_c, saturation_over_water_pa(dew_c), wind_m_s, 95_000.0)))
        return between_tries(there, dampness_pt)

    quick = [pause(14.0 + k, dew - 2.0, 1.8, 3.0) for k in (-1.5, 1.5)]
    slow = [pause(14.0 + k, min(dew + 2.0, 14.0 + k), 0.3, 5.0) for k in (-1.5, 1.5)]
    for name in ("plain", "fanned"):
        told = found.dry if name == "plain" else found.fanned
        assert float(told.low_s[0]) == pytest.approx(min(float(getattr(q, name).dry.low_s) for q in quick), rel=1e-9)
        assert float(told.high_s[0]) == pytest.approx(max(float(getattr(s, name).dry.high_s) for s in slow), rel=1e-9)
    assert float(found.cool.low_s[0]) == pytest.approx(min(float(q.plain.cool.low_s) for q in quick), rel=1e-9)
    assert float(found.cool.high_s[0]) == pytest.approx(max(float(s.plain.cool.high_s) for s in slow), rel=1e-9)
    assert found.dew_c[0] == pytest.approx(dew)


def test_the_middling_try_by_hand() -> None:
    """Geometric middles of both sweats and both lengths, arithmetic middles of skin, wind and fingers."""
    found = read_hours(hour(12.0, 45.0, 1.0, 1.0, 0.4, 1.2), FINGERS)
    sweat, skin = sweat_of(4.0), 0.5 * (chosen("skin_warm_c") + chosen("skin_cool_c"))
    minutes = np.sqrt(chosen("try_short_min") * chosen("try_long_min"))
    film = np.sqrt(float(sweat.rest_g_m2_h) * float(sweat.effort_g_m2_h))
    vapour = vapour_pressure_pa(12.0, 0.45)
    there = Air(*(np.array(v) for v in (12.0, vapour, 0.8, 95_000.0)))
    expected = dried_s(there, skin, 1.0, film, minutes, float(sweat.rest_g_m2_h))
    assert found.dry.low_s[0] < expected < found.dry.high_s[0]
    assert found.middling_s[0] == pytest.approx(expected, rel=1e-6)  # its dew point was found by a search


def test_wind_at_a_finger_by_shelter() -> None:
    """Judgement: half to all of it in the open, a fifth to six tenths in a lee; not known widens."""
    wind = np.array([5.0, np.nan])
    usual = chosen("wind_unknown_m_s")
    for sheltered, low, high in ((True, [1.0, 0.0], [3.0, 0.6 * usual]), (False, [2.5, 0.0], [5.0, usual])):
        got = finger_wind_m_s(wind, sheltered, indoors=False)
        assert got[0] == pytest.approx(low) and got[1] == pytest.approx(high)
    indoors = finger_wind_m_s(wind, sheltered=False, indoors=True)
    assert indoors[0].tolist() == [0.0, 0.0] and indoors[1].tolist() == [chosen("indoor_draught_m_s")] * 2


def test_spread_by_where_the_air_comes_from() -> None:
    age = np.array([-1.0, 0.0, 0.5, 3.0, 400.0])
    base, growth = chosen("forecast_spread_k"), chosen("forecast_growth_k_per_day")
    expected = [min(base + growth * max(a, 0.0), chosen("forecast_spread_most_k")) for a in age]
    assert spread_k(FORECAST, age) == pytest.approx(expected)
    assert spread_k(MEASURED, age) == pytest.approx([chosen("reading_spread_k")] * 5)
    assert spread_k(BETWEEN, age) == pytest.approx([2 * chosen("reading_spread_k")] * 5)
    assert np.isnan(spread_k(TYPICAL, age)).all() and np.isnan(spread_k(NOTHING, age)).all()


def test_fingers_the_wrong_way_round_are_refused() -> None:
    with pytest.raises(ValueError, match="above"):
        read_hours(hour(12.0, 45.0, 1.0, 1.0, 0.4, 1.2), Fingers(5.0, 4.9))


def test_share_of_sun_is_counted_at_the_middles_of_even_parts_of_each_hour() -> None:
    """A face towards the morning, an hour in which its sun ends among them; six looks where nobody says how many."""
    face = Faces(*(np.array([v]) for v in (47.0, 11.0, 90.0, 90.0)), np.zeros((1, 1)))
    starts = 1_750_464_000.0 + 3600.0 * np.arange(24)  # 21 June 2025, 00:00 UTC
    for samples in (6, 1, 4):
        said = sun_share_by_hour(starts, face, samples) if samples != 6 else sun_share_by_hour(starts, face)
        looks = [[bool(sun_on_face(np.array([t + 3600.0 * (k + 0.5) / samples]), face)[0, 0]) for k in range(samples)]
                 for t in starts]  # fmt: skip
        assert said[0] == pytest.approx(np.mean(looks, axis=1), abs=1e-12)
        assert samples == 1 or any(0 < share < 1 for share in said[0])
