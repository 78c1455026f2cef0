"""Load arithmetic against published values and worked weeks."""

import numpy as np
import pytest

from coaching.science.load import monotony, observed_mean, seven_day_sum

# Worked weeks: mean and sample SD run through two general libraries (NumPy, pandas); four decimals.
WEEKS = [
    ([0, 420, 180, 480, 0, 600, 240], 1920, 1.1693),
    ([270, 280, 270, 280, 270, 280, 270], 1920, 51.3142),
    ([0, 720, 240, 0, 525, 135, 1080], 2700, 0.9473),
    ([600, 0, 0, 0, 0, 0, 0], 600, 0.3780),
]


@pytest.mark.parametrize(("week", "total", "expected"), WEEKS)
def test_worked_weeks(week: list[float], total: float, expected: float) -> None:
    loads = np.array([week], dtype=np.float64)
    assert seven_day_sum(loads).sum_slu[0, -1] == total
    assert monotony(loads).value[0] == pytest.approx(expected, abs=5.1e-5)  # printed to four decimals


def test_published_monotony_from_mean_and_sd() -> None:
    """BMJ Mil Health 2022;168:314-319, Table 1: mean 790, SD 897, monotony 0.88; a week with those two
    moments.
    """
    shape = np.array([-1.0, 1.0, -1.0, 1.0, 0.0, 0.0, 0.0])
    week = 790 + 897 * shape / shape.std(ddof=1)
    assert round(float(monotony(week).value), 2) == 0.88


@pytest.mark.parametrize("load", [1.0, 600.0, 1e-6, 1e9])
def test_one_training_day_in_seven_is_the_least(load: float) -> None:
    """Algebra of Foster 1998 with the sample SD: 1 / sqrt(7) whatever the load."""
    week = np.zeros(7)
    week[3] = load
    assert monotony(week).value == pytest.approx(1 / np.sqrt(7), rel=1e-12)  # rounding of doubles


def test_sample_and_population_sd_differ_as_they_should() -> None:
    """Algebra: for seven days the sample monotony is sqrt(6/7) = 0.925820 of the population one."""
    week = np.array([0.0, 420, 180, 480, 0, 600, 240])
    population = week.mean() / week.std(ddof=0)
    assert monotony(week).value / population == pytest.approx(0.925820, abs=5e-7)  # printed to six decimals


def test_normalised_mean_equals_general_library() -> None:
    """pandas ewm(span=7, adjust=True): 28 days at 300, then 7 at 600, gives 559.9658509 on day 35."""
    loads = np.array([[300.0] * 28 + [600.0] * 7])
    half_life_d = np.log(0.5) / np.log(1 - 2 / (7 + 1))
    assert observed_mean(loads, half_life_d)[0, -1] == pytest.approx(559.9658509, abs=1e-6)  # seven decimals


@pytest.mark.parametrize(("span", "expected"), [(7, 559.954834), (28, 418.079509)])
def test_normalised_mean_meets_the_recursion_once_the_past_is_long(span: int, expected: float) -> None:
    """Williams et al. 2017: lambda = 2 / (N + 1); a long even past makes the recursion and ours one."""
    loads = np.array([[300.0] * 600 + [600.0] * 7])
    half_life_d = np.log(0.5) / np.log(1 - 2 / (span + 1))
    assert observed_mean(loads, half_life_d)[0, -1] == pytest.approx(
        expected, abs=1e-6
    )  # six printed decimals


@pytest.mark.parametrize(("span", "half_life_d"), [(7, 2.409), (28, 9.700)])
def test_named_half_life(span: int, half_life_d: float) -> None:
    """Algebra of Williams et al. 2017: half-lives 2.409 and 9.700 days for 7 and 28."""
    loads = np.array([[0.0] * 3000 + [1.0] * 400])
    mean = observed_mean(loads, half_life_d)[0]
    keep = (mean[3001] - mean[3000]) / mean[3000]  # each day of a step adds this share of the day before
    assert keep == pytest.approx(1 - 2 / (span + 1), abs=2e-4)  # the half-lives are printed to three decimals


def test_first_odd_day_does_not_linger_as_in_the_seeded_recursion() -> None:
    """The seeded 28-day recursion still stands at 401.6655 on day 28 after one day of 1000; the normalised
    does not.
    """
    loads = np.array([[1000.0] + [300.0] * 27])
    half_life_d = np.log(0.5) / np.log(1 - 2 / 29)
    normalised = observed_mean(loads, half_life_d)[0, -1]
    weights = (1 - 2 / 29) ** np.arange(27, -1, -1)
    assert normalised == pytest.approx((weights * loads[0]).sum() / weights.sum(), rel=1e-12)
    assert normalised < 320 < 401.6655
