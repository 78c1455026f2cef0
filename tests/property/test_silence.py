"""Silence widens and never improves: a missing day is predicted only, and later days are known no better."""

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from coaching.science import dampness, reserve, skin
from coaching.science.inputs import Course
from coaching.science.quantities import defaults
from coaching.science.reserve import ReserveDrive
from coaching.science.versions import CURRENT, get
from tests.courses import DAYS, ORIGIN, calm, told, unhurt

MODEL, P = get(CURRENT), defaults()
seeds = st.integers(0, 2**32 - 1)
SPREADS = ("reserve_sd_pt", "reserve_known_sd_pt", "dampness_sd_pt", "dampness_known_sd_pt")


def silent_from(course: Course, day: int) -> Course:
    heard = np.arange(course.days) < day
    blank = {
        n: np.where(heard, getattr(course, n), np.nan) for n in ("reserve_pt", "dampness_pt", "hardness_pt")
    }
    return replace(
        course, **blank, answered=course.answered & heard, limited=np.where(heard, course.limited, np.nan)
    )


@given(seeds)
@settings(max_examples=10, deadline=None)
def test_forecast_spread_never_falls_with_the_horizon(seed: int) -> None:
    course = told(np.random.default_rng(seed), 4)
    course = replace(course, load_plan_slu=np.where(np.arange(DAYS) > ORIGIN, 0.0, course.load_plan_slu))
    estimate, _ = MODEL.filter(course)
    for name in SPREADS:
        assert np.all(np.diff(getattr(estimate, name)[:, ORIGIN:], axis=1) >= -1e-12), name


@given(seeds)
@settings(max_examples=8, deadline=None)
def test_a_missing_day_is_predicted_only(seed: int) -> None:
    rng = np.random.default_rng(seed)
    load = ReserveDrive(rng.gamma(1, 1, (1, 1)), rng.random((1, 1)), np.zeros((1, 1)))
    before = reserve.start(1, P)
    moved, _ = reserve.tomorrow(before, load, 0, P, True)
    weight = np.log(np.array(reserve.RENEWAL_WEIGHTS))[:, None]
    missing = np.array([np.nan])
    same, _ = reserve.take_in(moved, weight, missing, np.array([0.5]), P)
    assert np.array_equal(same.cov, moved.cov) and np.array_equal(same.mean, moved.mean)
    belief, log_weight = dampness.start(1, P)
    answer = (missing, np.array([0.5]), np.zeros(1))
    row = dampness.level_row(rng.random((dampness.COMPONENTS, 3, 1)))
    assert np.array_equal(dampness.take_in(belief, log_weight, row, answer, P)[0].cov, belief.cov)


@given(seeds, st.integers(3, 20))
@settings(max_examples=8, deadline=None)
def test_silence_widens(seed: int, days: int) -> None:
    course = told(np.random.default_rng(seed), 12)
    daily = np.where(np.arange(DAYS) <= ORIGIN, 6.0, np.nan) * np.ones((12, 1))
    course = replace(course, reserve_pt=daily)
    heard, silent = MODEL.filter(course)[0], MODEL.filter(silent_from(course, ORIGIN - days + 1))[0]
    assert np.all(silent.reserve_sd_pt[:, ORIGIN:] > heard.reserve_sd_pt[:, ORIGIN:])
    assert np.all(silent.reserve_known_sd_pt[:, ORIGIN:] > heard.reserve_known_sd_pt[:, ORIGIN:])


def test_silence_widens_the_range_of_the_chance() -> None:
    course = told(np.random.default_rng(3), 60)
    heard, silent = MODEL.chance(course, unhurt()), MODEL.chance(silent_from(course, ORIGIN - 13), unhurt())
    width = [np.mean((c.high - c.low)[:, ORIGIN]) for c in (heard, silent)]
    assert width[1] > width[0] + 0.02  # two silent weeks; two in a hundred is what the page can show


def test_an_unknown_load_is_wider_than_a_known_one() -> None:
    past = np.arange(DAYS) <= ORIGIN
    usual = np.where(past, P["load_usual_slu"], np.nan) * np.ones((1, 1))
    unplanned = np.full((1, DAYS), np.nan)
    known, unknown = calm(load_done_slu=usual, load_plan_slu=unplanned), calm(load_plan_slu=unplanned)
    a, b = skin.follow(known, P), skin.follow(unknown, P)
    assert np.all(b.reserve.known_var[1 : ORIGIN + 1] > a.reserve.known_var[1 : ORIGIN + 1])
    assert np.allclose(a.reserve.mean_pt, b.reserve.mean_pt)
