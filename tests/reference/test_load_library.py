"""Loads of three months, a fifth of the days not known, against a general library (pandas, recorded by make.py)."""

import json
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from coaching.science.load import monotony, observed_mean, own_percentile, seven_day_sum
from coaching.science.load_compared import load_times_monotony, uncoupled_ratio

MADE = json.loads((Path(__file__).parents[2] / "fixtures/reference/loads.json").read_text())
ROUNDING = 1e-9  # a running sum of 90 doubles


def numbers(name: str) -> np.ndarray:
    return np.array(MADE[name], dtype=np.float64)  # None becomes NaN


TOLD, WHOLE = numbers("load")[None, :], numbers("whole")[None, :]


def test_the_reference_names_its_library_and_has_gaps() -> None:
    assert MADE["library"].startswith("pandas ")
    assert 10 < np.isnan(TOLD).sum() < 30 and not np.isnan(WHOLE).any()


@pytest.mark.parametrize("half_life_d", MADE["observed_mean"])
def test_mean_over_observed_days(half_life_d: str) -> None:
    """ewm(halflife, adjust=True, ignore_na=False): a day not known moves no weight but its own."""
    expected = np.array(MADE["observed_mean"][half_life_d], dtype=np.float64)
    np.testing.assert_allclose(observed_mean(TOLD, float(half_life_d))[0], expected, rtol=ROUNDING)


def test_sum_of_seven_days_and_how_many_are_not_known() -> None:
    week = seven_day_sum(TOLD)
    np.testing.assert_allclose(week.sum_slu[0], numbers("sum_of_seven"), rtol=0, atol=ROUNDING)
    assert week.unknown_days[0, 6:].tolist() == MADE["unknown_of_seven"]


def test_monotony_of_every_week() -> None:
    """mean over std(ddof=1), and that times the sum, for each of the weeks that end on day 7 to 90."""
    weeks = np.lib.stride_tricks.sliding_window_view(WHOLE[0], 7)
    np.testing.assert_allclose(monotony(weeks).value, numbers("monotony")[6:], rtol=ROUNDING)
    np.testing.assert_allclose(load_times_monotony(weeks), numbers("load_times_monotony")[6:], rtol=ROUNDING)


def test_ratio_without_the_week_in_what_it_is_compared_with() -> None:
    np.testing.assert_allclose(uncoupled_ratio(WHOLE)[0], numbers("uncoupled"), rtol=ROUNDING)


def test_coupled_and_uncoupled_ratio_say_the_same() -> None:
    """Algebra: coupled = 4 / (1 + 3 / uncoupled), with the coupled one as pandas rolls it."""
    ours = uncoupled_ratio(WHOLE)[0, 27:]
    np.testing.assert_allclose(4.0 / (1.0 + 3.0 / ours), numbers("coupled")[27:], rtol=ROUNDING)


def test_percentile_among_the_own_past() -> None:
    """scipy.stats.percentileofscore(kind="mean"), ties counted half."""
    even = np.round(WHOLE[:, :60])  # whole numbers, so that sums do tie
    sums = np.lib.stride_tricks.sliding_window_view(even[0], 7).sum(axis=-1)
    for last in (45, 52, 59):
        told = own_percentile(seven_day_sum(even[:, : last + 1]))[0]
        past = sums[: last - 6]
        assert told == pytest.approx(stats.percentileofscore(past, sums[last - 6], kind="mean"), abs=1e-9)
