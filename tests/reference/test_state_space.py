"""The Kalman steps of the filters against the Nile, the worked example of state-space textbooks."""

import json
from pathlib import Path

import numpy as np
import pytest

from coaching.science.filtering import Belief, advance, condition, exact_reading, predicted

NILE = json.loads((Path(__file__).parents[2] / "fixtures/reference/nile.json").read_text())
FLOW = np.array(NILE["flow"], dtype=np.float64)
MADE = json.loads((Path(__file__).parents[2] / "fixtures/reference/level.json").read_text())
REPORT_VAR, LEVEL_VAR = NILE["published"]["report_var"], NILE["published"]["level_var"]
LEVEL = {0: 1.0}
DIFFUSE_VAR = 1e11


def follow(flow: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, float]:
    """Predicted variance, filtered level and variance of each year, and the log likelihood from the second
    year.
    """
    belief = Belief(np.zeros((1, 1)), np.full((1, 1, 1), DIFFUSE_VAR))
    before, level, var, likelihood = [], [], [], []
    for value in flow:
        mean, spread = predicted(belief, LEVEL)
        reading = exact_reading(mean, spread, np.array([value]), REPORT_VAR)
        belief = condition(belief, LEVEL, reading, ~np.isnan(np.array([value])))
        before.append(spread[0])
        level.append(belief.mean[0, 0])
        var.append(belief.cov[0, 0, 0])
        likelihood.append(reading.log_likelihood[0])
        belief = advance(belief, (LEVEL,), {}, {0: np.array([LEVEL_VAR])})
    return np.array(before), np.array(level), np.array(var), float(sum(likelihood[1:]))


def test_data_are_whole() -> None:
    assert FLOW.size == 100 and FLOW.sum() == NILE["check"]["sum"]


@pytest.mark.parametrize("year", ["1", "2", "3", "4", "5", "100"])
def test_filtered_level(year: str) -> None:
    _, level, _, _ = follow(FLOW)
    expected = NILE["filtered"]["level"][year]
    assert level[int(year) - 1] == pytest.approx(expected, rel=NILE["filtered"]["tolerance"])


def test_filtered_variance_and_forecast_variance() -> None:
    _, _, var, _ = follow(FLOW)
    assert var[-1] == pytest.approx(NILE["filtered"]["var"]["100"], rel=1e-7)  # printed to ten digits
    for step in (1, 10):
        ahead = var[-1] + step * LEVEL_VAR + REPORT_VAR
        assert ahead == pytest.approx(NILE["forecast"][str(step)], rel=1e-7)


def test_steady_state() -> None:
    before, _, _, _ = follow(FLOW)
    assert before[-1] == pytest.approx(NILE["steady"]["predicted_var"], rel=1e-7)
    assert before[-1] / (before[-1] + REPORT_VAR) == pytest.approx(NILE["steady"]["gain"], abs=5e-7)
    q = LEVEL_VAR / REPORT_VAR
    assert before[-1] == pytest.approx(REPORT_VAR * (q + np.sqrt(q * q + 4 * q)) / 2, rel=1e-9)


def test_log_likelihood_from_the_second_year() -> None:
    """Exact diffuse start: -633.4645636 at the optimum counts half a log 2 pi for the first year; the rest is
    ours.
    """
    _, _, _, likelihood = follow(FLOW)
    assert likelihood == pytest.approx(
        -633.4645636 + 0.5 * np.log(2 * np.pi), abs=2e-4
    )  # variances are rounded


def test_missing_years_are_skipped() -> None:
    """Durbin & Koopman 2012, 2.7: through a gap the level stands still and its variance grows by a year's
    each year.
    """
    flow = FLOW.copy()
    for first, last in NILE["missing"]["years"]:
        flow[first - 1 : last] = np.nan
    before, level, var, likelihood = follow(flow)
    assert np.all(level[20:40] == level[19]) and np.all(level[60:80] == level[59])
    assert np.allclose(var[20:40], var[19] + LEVEL_VAR * np.arange(1, 21), rtol=1e-12)
    # A general statistics library (statsmodels, exact diffuse start) gives -381.506001 for the gapped series.
    assert likelihood == pytest.approx(-381.506001 + 0.5 * np.log(2 * np.pi), abs=2e-4)  # as above


@pytest.mark.parametrize("name", ["whole", "gapped"])
def test_every_year_is_that_of_a_general_library(name: str) -> None:
    """statsmodels, exact diffuse start, recorded by make.py; the wide start in its place is worth one in a million."""
    flow = FLOW.copy()
    if name == "gapped":
        for first, last in NILE["missing"]["years"]:
            flow[first - 1 : last] = np.nan
    _, level, var, likelihood = follow(flow)
    np.testing.assert_allclose(level, MADE[name]["level"], rtol=1e-6)
    np.testing.assert_allclose(var, MADE[name]["var"], rtol=1e-6)
    assert likelihood == pytest.approx(MADE[name]["log_likelihood"] + 0.5 * np.log(2 * np.pi), abs=1e-6)
