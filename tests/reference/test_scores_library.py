"""Scores against a general library (scoringrules, recorded by make.py) and closed forms."""

import json
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from coaching.science.scoring import brier, crps_normal, interval_score
from coaching.science.scoring_ranges import crps_quantiles, transform, transform_shares

MADE = json.loads((Path(__file__).parents[2] / "fixtures/reference/scores.json").read_text())
LEVELS = (np.arange(400) + 0.5) / 400


def one(value: float) -> np.ndarray:
    return np.array([value])


def test_the_reference_names_its_library() -> None:
    assert MADE["library"].startswith("scoringrules ")


@pytest.mark.parametrize("row", MADE["normal"])
def test_normal(row: dict) -> None:
    told = crps_normal(one(row["mean"]), one(row["sd"]), one(row["value"]))[0]
    assert told == pytest.approx(row["crps"], rel=1e-12)  # the same closed form


@pytest.mark.parametrize("row", MADE["of_members"])
def test_members_that_weigh_alike(row: dict) -> None:
    """The quantile form (Laio & Tamea 2007) of an ensemble: its n members stand at the levels (k - 1/2) / n."""
    members = np.array(MADE["members"])
    levels = (np.arange(members.size) + 0.5) / members.size
    assert crps_quantiles(members[:, None], levels, one(row["value"]))[0] == pytest.approx(row["crps"], rel=1e-12)


@pytest.mark.parametrize("row", MADE["ranges"])
def test_ranges(row: dict) -> None:
    told = interval_score(one(row["low"]), one(row["high"]), one(row["value"]), row["outside"])[0]
    assert told == pytest.approx(row["score"], rel=1e-12)


def test_chances() -> None:
    for row in MADE["chances"]:
        assert brier(one(row["p"]), one(float(row["happened"]))) == pytest.approx(row["brier"], abs=1e-15)
    p, y = (np.array([float(row[name]) for row in MADE["chances"]]) for name in ("p", "happened"))
    assert brier(p, y) == pytest.approx(np.mean([row["brier"] for row in MADE["chances"]]), abs=1e-15)


def told_at(times: float) -> np.ndarray:
    """Transforms of values that follow the standard normal exactly, forecast with a spread of 1 / times."""
    value = stats.norm.ppf(LEVELS)
    quantiles = np.repeat(stats.norm.ppf(LEVELS)[:, None] / times, value.size, axis=1)
    return transform(quantiles, LEVELS, value)


def test_transforms_of_right_forecasts_are_flat() -> None:
    """Uniform: mean 1/2, variance 1/12; four hundred even steps are off by their square."""
    at = told_at(1.0)
    assert at.mean() == pytest.approx(0.5, abs=1e-12) and at.var() == pytest.approx(1 / 12, abs=1e-5)


@pytest.mark.parametrize("times", [0.5, 2.0])
def test_transforms_of_a_wrong_spread_have_the_variance_of_the_closed_form(times: float) -> None:
    """With Z normal, Phi(k Z) has the variance asin(k^2 / (1 + k^2)) / (2 pi): .1476 for half the spread (U-shaped),
    .0321 for twice (humped); the steps and the flat ends beyond the outermost quantiles leave less than .001.
    """
    expected = np.arcsin(times**2 / (1 + times**2)) / (2 * np.pi)
    assert told_at(times).var() == pytest.approx(expected, abs=1e-3)


def test_histogram_of_transforms_is_that_of_the_closed_form() -> None:
    """The share under u is Phi(Phi^-1(u) / k); forecasts too narrow by half fill both outer fourths with .368 each."""
    at = told_at(2.0)
    steps = transform_shares(at, at)
    outer = stats.norm.cdf(stats.norm.ppf(0.25) / 2)
    assert steps == pytest.approx([outer, 0.5 - outer, 0.5 - outer, outer], abs=5e-3)  # two of 400 values
