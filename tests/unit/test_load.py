"""Units of load, sums over known days, and the reasons why a monotony is not a number."""

import numpy as np
import pytest

from coaching.science.load import (
    MONOTONY_REASONS,
    SURFACE_FACTORS,
    SevenDays,
    Since,
    monotony,
    own_percentile,
    resolved_load_slu,
    seven_day_sum,
    skin_load_slu,
    strain_au,
    usual_load_slu,
    weighted_history,
)
from coaching.science.quantities import defaults
from tests.courses import ORIGIN, calm

P, NAN = defaults(), np.nan


def slu(minutes: float, rpe: float, tries: float, surface: str) -> float:
    return float(skin_load_slu(*(np.array([v]) for v in (minutes, rpe, tries, SURFACE_FACTORS[surface])))[0])


def test_one_unit_is_an_hour_at_effort_five_on_plastic() -> None:
    assert slu(60, 5, NAN, "plastic") == 1 and slu(90, 8, NAN, "sharp rock") == pytest.approx(1.5 * 1.6 * 1.9)


def test_tries_stand_before_minutes() -> None:
    assert slu(60, 5, 6, "plastic") == 0.5 and slu(NAN, NAN, 12, "wood") == 0.6


def test_neither_known_is_not_known() -> None:
    assert np.isnan(slu(60, NAN, NAN, "plastic")) and np.isnan(slu(NAN, 5, NAN, "plastic"))


@pytest.mark.parametrize(("minutes", "rpe", "tries"), [(-1, 5, 0), (60, 11, 0), (60, -1, 0), (60, 5, -2)])
def test_impossible_sessions_are_refused(minutes: float, rpe: float, tries: float) -> None:
    with pytest.raises(ValueError, match="out of range"):
        slu(minutes, rpe, tries, "plastic")


def test_order_of_surfaces() -> None:
    order = ["wood", "plastic", "fine rock", "fresh plastic", "ordinary rock", "sharp rock"]
    assert sorted(SURFACE_FACTORS, key=lambda name: SURFACE_FACTORS[name]) == order


def test_body_load_is_minutes_times_effort() -> None:
    assert strain_au(np.array([90.0]), np.array([7.0]))[0] == 630


@pytest.mark.parametrize(("minutes", "effort"), [(-1.0, 5.0), (60.0, -1.0)])
def test_impossible_body_loads_are_refused(minutes: float, effort: float) -> None:
    with pytest.raises(ValueError, match="negative"):
        strain_au(np.array([minutes]), np.array([effort]))


def test_an_unknown_day_is_counted_not_zeroed() -> None:
    week = seven_day_sum(np.array([[1.0, NAN, 2, 0, NAN, 1, 1]]))
    assert week.sum_slu[0, -1] == 5 and week.unknown_days[0, -1] == 2
    assert week.unknown_days[0, 0] == 6


def test_a_week_of_which_nothing_is_known_has_no_sum() -> None:
    week = seven_day_sum(np.full((1, 7), NAN))
    assert np.isnan(week.sum_slu[0, -1]) and week.unknown_days[0, -1] == 7


UNDEFINED = [([0.0] * 7, "all-zero"), ([0.1] * 7, "all-equal"), ([1.0] * 6 + [NAN], "days-unknown")]


@pytest.mark.parametrize(("week", "reason"), UNDEFINED)
def test_monotony_says_why_it_is_undefined(week: list[float], reason: str) -> None:
    got = monotony(np.array(week))
    assert np.isnan(got.value) and MONOTONY_REASONS[int(got.reason)] == reason


def test_monotony_wants_seven_days() -> None:
    with pytest.raises(ValueError, match="seven"):
        monotony(np.zeros(6))


def test_percentile_against_the_own_past() -> None:
    sums = np.arange(60, dtype=np.float64)[None]
    known = np.zeros((1, 60), dtype=np.int64)
    assert own_percentile(SevenDays(sums, known))[0] == 100
    assert own_percentile(SevenDays(sums[:, ::-1], known))[0] == 0
    assert own_percentile(SevenDays(np.ones((1, 60)), known))[0] == 50
    assert np.isnan(own_percentile(SevenDays(sums[:, :20], known[:, :20]))[0])


def test_unlogged_days_follow_the_plan_or_the_usual_day() -> None:
    course = calm(load_plan_slu=np.array([[1.0, NAN] + [0.0] * 58]))
    load, var = resolved_load_slu(course, course.load_plan_slu, P)
    assert load[0, 0] == pytest.approx(0.93) and var[0, 0] == pytest.approx(0.42**2)
    assert load[0, 1] == P["load_usual_slu"] and var[0, 1] == pytest.approx(P["load_usual_slu"] ** 2)


def test_usual_load_is_drawn_to_the_squad_where_little_is_known() -> None:
    done = np.full((2, 60), NAN)
    done[1, : ORIGIN + 1] = 2.0
    usual = usual_load_slu(calm(2, load_done_slu=done), P)
    assert usual[0, ORIGIN] == pytest.approx(P["load_usual_slu"]) and 1.7 < usual[1, ORIGIN] < 2
    assert np.all(usual[:, ORIGIN:] == usual[:, ORIGIN : ORIGIN + 1])


def test_usual_load_of_a_past_day_is_what_was_known_then() -> None:
    """By hand: known days weighted by their age, and so many days of the squad's load beside them."""
    done = np.array([[2.0, NAN, 0.0, 3.0, *[NAN] * 56]])
    usual = usual_load_slu(calm(load_done_slu=done, origin=3), P)[0]
    keep, prior_d = 0.5 ** (1 / P["load_usual_half_life_d"]), P["load_usual_known_d"]
    for day, ages in ((2, {2: 2.0, 0: 0.0}), (3, {3: 2.0, 1: 0.0, 0: 3.0})):
        total = prior_d * P["load_usual_slu"] + sum(load * keep**age for age, load in ages.items())
        assert usual[day] == pytest.approx(total / (prior_d + sum(keep**age for age in ages)), rel=1e-12)
    assert np.all(usual[3:] == usual[3])


def test_a_history_goes_on_from_what_its_past_left() -> None:
    load = np.array([[1.0, NAN, 2.0, 0.5, NAN, 3.0], [NAN, 4.0, NAN, 0.0, 1.0, NAN]])
    whole = weighted_history(load, 5.0)
    rest = weighted_history(load, 5.0, Since(3, whole[0][:, 2], whole[1][:, 2]))
    for every, later in zip(whole, rest, strict=True):
        assert np.array_equal(every[:, 3:], later[:, 3:]) and np.all(later[:, :3] == 0)
