"""Limits of one's own: points, one answer against brute force, and what many answers find out."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from coaching.science import limits
from coaching.science.inputs import Floats
from coaching.science.limits import AXES, PAIRS, POINTS, WEIGHTS, Conditions
from coaching.science.quantities import defaults
from coaching.science.versions import get

P = get("2026.3").parameters


def day(reserve_pt: Floats, damp_pt: Floats) -> Conditions:
    n = reserve_pt.shape
    return Conditions(reserve_pt, np.full(n, 1.5), damp_pt, np.full(n, 1.5), np.full(n, 0.05), np.full(n, 0.97))


def matrix(belief: Floats) -> Floats:
    cov = np.zeros((3, 3))
    for value, (i, j) in zip(belief[3:, 0], PAIRS, strict=True):
        cov[i, j] = cov[j, i] = value
    return cov


def test_only_versions_with_a_spread_of_limits_learn_them() -> None:
    assert limits.learns(P) and not limits.learns(defaults()) and not limits.learns(get("2026.2").parameters)


def test_points_have_the_moments_of_the_standard_normal() -> None:
    """Three points an axis are exact up to the fifth power (Abramowitz & Stegun 1964, 25.4.46)."""
    assert WEIGHTS.sum() == pytest.approx(1.0, abs=1e-12)
    for power, moment in ((1, 0.0), (2, 1.0), (3, 0.0), (4, 3.0)):
        assert WEIGHTS @ POINTS**power == pytest.approx(np.full(3, moment), abs=1e-12)


def test_points_follow_the_belief() -> None:
    """Against the Cholesky factor of numpy."""
    belief = np.array([[0.3], [-0.2], [0.1], [1.2], [-0.4], [1.0], [0.2], [0.1], [0.5]])
    at = limits.at_points(belief, POINTS)[:, :, 0]
    assert at == pytest.approx(belief[:3] + np.linalg.cholesky(matrix(belief)) @ POINTS.T, abs=1e-12)


@pytest.mark.parametrize("answer", [0.0, 1.0])
def test_one_answer_against_brute_force(answer: float) -> None:
    """Bayes' rule on a fine grid; three points an axis keep within a twentieth of the prior sd."""
    where = day(np.array([0.5]), np.array([1.0]))
    found = limits.told(np.array([answer]), where, limits.prior(1, P), P)
    axes = [P[name] + P.spread(name) * np.linspace(-5, 5, 61) for name in AXES]
    a, b, c = np.meshgrid(*axes, indexing="ij")
    plain = stats.norm.cdf((0.5 + a) / 1.5) * np.maximum(stats.norm.cdf((1.0 + b) / 1.5) - 0.05, 0) * 0.97
    slip = P["answer_slip_frac"]
    fine = slip + (1 - 2 * slip) * plain * np.exp(c) / (1 - plain + plain * np.exp(c))
    weight = np.where(answer > 0.5, 1 - fine, fine)
    for grid, name in zip((a, b, c), AXES, strict=True):
        weight = weight * stats.norm.pdf(grid, P[name], P.spread(name))
    weight = weight / weight.sum()
    mean = np.array([(weight * grid).sum() for grid in (a, b, c)])
    spreads = np.array([P.spread(name) for name in AXES])
    assert np.abs(found[:3, 0] - mean) == pytest.approx(np.zeros(3), abs=0.05 * spreads.min())
    cov = np.array([(weight * (grid - m) ** 2).sum() for grid, m in zip((a, b, c), mean, strict=True)])
    assert np.diag(matrix(found)) == pytest.approx(cov, rel=0.05)


def test_an_answer_says_of_a_damp_day_most_of_the_damp_limit() -> None:
    """And leaves the two limits related: if it was not the one, it was the other."""
    worn = limits.told(np.ones(1), day(np.full(1, -1.0), np.full(1, 4.0)), limits.prior(1, P), P)
    damp = limits.told(np.ones(1), day(np.full(1, 4.0), np.full(1, -1.0)), limits.prior(1, P), P)
    assert worn[0, 0] < damp[0, 0] < 0 and damp[1, 0] < worn[1, 0] < 0
    both = limits.told(np.ones(1), day(np.zeros(1), np.zeros(1)), limits.prior(1, P), P)
    assert matrix(both)[1, 0] < 0


def test_planted_limits_are_found() -> None:
    """80 answers of 200 athletes; the prior mean would correlate with nothing."""
    rng = np.random.default_rng(4)
    true = rng.normal(0, 1.1, (2, 200))
    belief = limits.prior(200, P)
    for _ in range(80):
        where = day(rng.normal(1.5, 2.0, 200), rng.normal(1.5, 2.0, 200))
        fine = stats.norm.cdf((where.reserve_pt + true[0]) / 1.5) * stats.norm.cdf((where.damp_pt + true[1]) / 1.5)
        belief = limits.told((rng.random(200) > fine) * 1.0, where, belief, P)
    for axis in range(2):
        assert np.corrcoef(belief[axis], true[axis])[0, 1] > 0.7
        assert np.mean(belief[3 + PAIRS.index((axis, axis))]) < 0.4 * 1.1**2


def test_thousands_of_answers_stay_finite() -> None:
    belief, where = limits.prior(1, P), day(np.full(1, 9.0), np.full(1, 9.0))
    for _ in range(3000):
        belief = limits.told(np.ones(1), where, belief, P)
    assert np.isfinite(belief).all() and np.all(np.diag(matrix(belief)) >= 0)
    assert np.isfinite(limits.at_points(belief, POINTS)).all()
