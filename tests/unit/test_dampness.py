"""Air, cream and agents move dampness the way their rows say."""

import numpy as np
import pytest

from coaching.science import dampness
from coaching.science.quantities import defaults
from tests.courses import DAYS, ORIGIN, calm

P = defaults()


def test_warm_damp_air_adds_and_unknown_air_adds_nothing() -> None:
    temp, rh = np.full((1, DAYS), np.nan), np.full((1, DAYS), np.nan)
    temp[0, 1], rh[0, 1] = 30.0, 80.0
    assert dampness.air_shift_pt(calm(temp_c=temp, rh_pct=rh), P)[0, :2] == pytest.approx([0.0, 1.2 + 0.9])


def test_cream_shows_next_morning_only() -> None:
    moist = np.zeros((1, DAYS))
    moist[0, 4] = 1.0
    shift = dampness.drive(calm(moist_done=moist), np.zeros((1, DAYS, 3)), P).shift_pt[:, 0]
    assert shift[5] == P["dampness_moist_pt"] and shift.sum() == shift[5]


def test_a_course_of_agent_dries_and_ratings_show_who_does_not_respond() -> None:
    dose = np.zeros((2, DAYS, 3))
    dose[:, 10:, 0] = 0.5
    rating = np.full((2, DAYS), 6.0)
    rating[0, 20 : ORIGIN + 1] = 3.0
    course = calm(2, dampness_pt=np.where(np.arange(DAYS) <= ORIGIN, rating, np.nan))
    track = dampness.follow(course, dampness.drive(course, dose, P), P)
    without = track.no_response_frac()
    assert without[0] < P["agent_no_response_frac"] < 0.5 < without[1]
    assert track.mean_pt[-1, 0] < track.mean_pt[-1, 1] - 1


def test_the_filter_ends_where_the_forward_run_begins() -> None:
    course = calm(dampness_pt=np.where(np.arange(DAYS) <= ORIGIN, 7.0, np.nan) * np.ones((1, 1)))
    drive = dampness.drive(course, np.zeros((1, DAYS, 3)), P)
    track = dampness.follow(course, drive, P)
    assert np.allclose(dampness.forward_means(track, drive, ORIGIN, P), track.mean_pt, atol=1e-9)


def test_no_rating_lifts_an_effect_over_its_range() -> None:
    """Bone dry under a full effect would ask for more than eight points."""
    belief, log_weight = dampness.start(1, P)
    belief.mean[2:] = 8.0
    row = dampness.level_row(np.ones((dampness.COMPONENTS, 3, 1)))
    answer = (np.zeros(1), np.full(1, 0.5), np.full(1, 18.0))
    after = dampness.take_in(belief, log_weight, row, answer, P)[0]
    assert np.all(after.mean[2:] <= 8.0) and np.any(after.mean[2:] == 8.0)
