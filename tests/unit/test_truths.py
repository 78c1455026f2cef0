"""Simulated squads: the same each time, scored fairly by their own best forecast; and the rival is what it says."""

from __future__ import annotations

import importlib

import numpy as np
import pytest

from tests.truths import rival, splits
from tests.truths.run import TRUTHS
from tests.truths.scores import calibration_gap, skill

AT, AHEAD = 60, 7


@pytest.mark.parametrize("name", sorted(TRUTHS))
def test_a_truth_is_the_same_each_time_and_its_best_forecast_means_what_it_says(name: str) -> None:
    """Mean within three binomial sds of 200 outcomes (.035 each), skill above nil, and below one who knows the day."""
    squad = importlib.import_module(f"tests.truths.{name}").squad
    truth, again = squad(3, athletes=200, days=80), squad(3, athletes=200, days=80)
    assert np.array_equal(truth.reserve, again.reserve) and np.array_equal(truth.limited, again.limited)
    best, by_skin = importlib.import_module(f"tests.truths.{TRUTHS[name]}").best(truth, AT, AHEAD, draws=40)
    good = 1.0 - truth.limited[:, AT + AHEAD]
    assert np.all(best <= by_skin + 1e-12)
    assert best.mean() == pytest.approx(good.mean(), abs=0.105)
    assert 0.1 < skill(best, good) < 0.75
    assert calibration_gap(best, good) < 0.15


def test_splits_are_the_same_each_time_and_their_looks_mostly_right() -> None:
    """One look in twenty-five is misread; 2.5 a hundred is three binomial sds of 700 looks."""
    truth, again = splits.squad(3, athletes=40, days=80), splits.squad(3, athletes=40, days=80)
    assert truth.damage == again.damage and truth.looks == again.looks and truth.looks is not None
    ends = [o for o in truth.looks if truth.damage[o.damage].sound <= o.day]
    assert len(truth.looks) > 700 and np.mean([o.stage == "sound" for o in ends]) > 0.9
    before = [o for o in truth.looks if o.day < truth.damage[o.damage].sound]
    assert np.mean([o.stage == "sound" for o in before]) == pytest.approx(0.02, abs=0.02)
    assert splits.p_sound(truth, 0, 1) <= splits.p_sound(truth, 0, 60)


def test_a_planted_logistic_law_is_found() -> None:
    """4 000 outcomes: the sampling sd of a weight is about .04, four of those."""
    rng = np.random.default_rng(0)
    x = rng.normal(0, 1, (4000, 3))
    good = (rng.random(4000) < 1 / (1 + np.exp(-(0.3 + x @ np.array([1.0, -0.5, 0.0]))))) * 1.0
    found = rival.taught(x, good, np.arange(4000.0))
    assert found.weights == pytest.approx([0.3, 1.0, -0.5, 0.0], abs=0.16)


def test_the_gain_over_oneself_is_nil_and_over_a_worse_one_above() -> None:
    rng = np.random.default_rng(1)
    p, who = rng.random(600), np.repeat(np.arange(200.0), 3)
    good = (rng.random(600) < p) * 1.0
    assert rival.gain(p, p, good, who) == (0.0, 0.0, 0.0)
    mean, low, high = rival.gain(p, np.full(600, 0.5), good, who)
    assert 0 < low < mean < high
