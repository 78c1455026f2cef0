"""Scores against closed forms and values run through general libraries."""

import numpy as np
import pytest

from coaching.science.scoring import brier, crps_normal, interval_score, log_score, murphy_parts

Y = np.array([1, 0, 1, 1, 0, 0, 1, 0, 1, 0], dtype=np.float64)
P = np.array([0.9, 0.2, 0.8, 0.6, 0.3, 0.1, 0.7, 0.4, 0.5, 0.5])


def test_brier_and_log_score_equal_general_libraries() -> None:
    """scikit-learn brier_score_loss 0.11 and log_loss 0.377830 for the same ten outcomes (six printed
    decimals).
    """
    assert brier(P, Y) == pytest.approx(0.11, abs=1e-12)
    assert log_score(P, Y) == pytest.approx(0.377830, abs=5e-7)


def test_murphy_parts_add_up_to_brier() -> None:
    """Murphy 1973 for the same outcomes: reliability 0.06, resolution 0.20, uncertainty 0.25."""
    assert murphy_parts(P, Y) == pytest.approx((0.06, 0.20, 0.25), abs=1e-12)


CRPS = [
    (0, 1, 0, 0.233694977), (0, 1, 1, 0.602441358), (2, 0.5, 3, 0.726395911),
    (20, 4, 15, 3.147936612), (10, 3, 10, 0.701084932), (5, 2, -1, 4.873149450),
]  # fmt: skip


@pytest.mark.parametrize(("mean", "sd", "value", "expected"), CRPS)
def test_crps_of_a_normal(mean: float, sd: float, value: float, expected: float) -> None:
    """properscoring and scoringrules agree on these to nine decimals (Gneiting & Raftery 2007, eq. 21)."""
    got = crps_normal(*(np.array([float(v)]) for v in (mean, sd, value)))[0]
    assert got == pytest.approx(expected, abs=5e-9)


def test_crps_closed_form_at_the_mean() -> None:
    assert crps_normal(np.zeros(1), np.ones(1), np.zeros(1))[0] == pytest.approx(
        (np.sqrt(2) - 1) / np.sqrt(np.pi)
    )


def test_interval_score_of_a_general_library() -> None:
    """scoringrules interval_score(6; 2, 5; 0.1) = 23.0."""
    assert interval_score(np.array([2.0]), np.array([5.0]), np.array([6.0]), 0.1)[0] == pytest.approx(23.0)


def test_interval_score_by_hand() -> None:
    """Gneiting & Raftery 2007, eq. 43: width 4 and a miss of 0.5 below at 20 % outside: 4 + 2 / 0.2 * 0.5 = 9."""
    assert interval_score(np.array([2.0]), np.array([6.0]), np.array([1.5]), 0.2)[0] == pytest.approx(9.0)


@pytest.mark.parametrize(("p", "y"), [([1.2], [1]), ([np.nan], [1]), ([0.5], [0.5])])
def test_what_is_no_chance_is_refused(p: list[float], y: list[float]) -> None:
    with pytest.raises(ValueError, match="must be"):
        brier(np.array(p), np.array(y, dtype=np.float64))
