"""The rivals: a regression against SciPy's general minimiser, and means of what is known."""

import numpy as np
import pytest
from scipy.optimize import minimize

from coaching.science.rivals import last_known, logistic, trailing_mean, tuned

RNG = np.random.default_rng(3)
X = RNG.normal(size=(300, 3))
Y = (RNG.random(300) < 1 / (1 + np.exp(-(0.4 + X @ np.array([1.0, -0.5, 0.0]))))) * 1.0


def minimised(z: np.ndarray, ridge: float) -> np.ndarray:
    """scipy.optimize.minimize (BFGS) on the penalised likelihood of a design with its constant first."""

    def loss(w: np.ndarray) -> float:
        odds = z @ w
        return float(np.sum(np.logaddexp(0, odds) - Y * odds) + 0.5 * ridge * np.sum(w[1:] ** 2) + 5e-7 * w[0] ** 2)

    return np.asarray(minimize(loss, np.zeros(z.shape[1]), method="BFGS").x)


@pytest.mark.parametrize("ridge", [0.3, 3.0, 300.0])
def test_the_weights_are_those_of_a_general_minimiser(ridge: float) -> None:
    """The minimiser stops within 1e-4 of the minimum."""
    z = np.column_stack([np.ones(300), (X - X.mean(axis=0)) / X.std(axis=0)])
    assert logistic(X, Y, ridge).weight == pytest.approx(minimised(z, ridge), abs=1e-4)


def test_columns_are_centred_and_scaled_by_what_is_known_of_them() -> None:
    """numpy.nanmean and nanstd; a hole then stands at the mean, and a column without spread weighs nothing."""
    holed = np.where(RNG.random(X.shape) < 0.3, np.nan, 2.0 * X + 5.0)
    holed[:, 2] = 4.0
    fitted = logistic(holed, Y, 1.0)
    assert fitted.centre == pytest.approx(np.nanmean(holed, axis=0)) and fitted.centre[2] == 4.0
    assert fitted.scale == pytest.approx([*np.nanstd(holed[:, :2], axis=0), 1.0])
    z = np.nan_to_num((holed - fitted.centre) / fitted.scale, nan=0.0)
    assert fitted.weight == pytest.approx(minimised(np.column_stack([np.ones(300), z]), 1.0), abs=1e-4)


def test_what_is_not_known_is_as_the_mean() -> None:
    fitted = logistic(X, Y, 1.0)
    assert fitted.chance(np.full((1, 3), np.nan)) == pytest.approx(fitted.chance(fitted.centre[None, :]))


def test_a_squad_of_one_mind_stays_finite() -> None:
    p = tuned(X[:40], np.ones(40)).chance(X[:5])
    assert np.all(np.isfinite(p)) and np.all(p > 0.9)


def test_a_column_without_a_bearing_is_shrunk_more_by_a_heavier_ridge() -> None:
    light, heavy = (np.abs(logistic(X, Y, ridge).weight[1:]).sum() for ridge in (0.3, 300.0))
    assert heavy < light


def test_nothing_to_learn_from_is_refused() -> None:
    with pytest.raises(ValueError, match="nothing"):
        tuned(np.zeros((0, 2)), np.zeros(0))


def test_means_and_last_values_of_what_is_known() -> None:
    values = np.array([[np.nan, 2.0, np.nan, 4.0, np.nan, np.nan, np.nan]])
    assert trailing_mean(values, 3)[0] == pytest.approx([np.nan, 2, 2, 3, 4, 4, np.nan], nan_ok=True)
    assert last_known(values)[0] == pytest.approx([np.nan, 2, 2, 4, 4, 4, 4], nan_ok=True)
    assert last_known(np.array([[5.0, np.nan, 1.0]]))[0].tolist() == [5.0, 5.0, 1.0]


@pytest.mark.parametrize("seed", range(8))
def test_the_ridge_is_the_one_that_tells_the_latest_days_best(seed: int) -> None:
    """Each ridge fitted on the first three quarters and scored on the last one, by hand; columns of any bearing."""
    from coaching.science.rivals import RIDGES
    from coaching.science.scoring import log_score

    early, late = slice(None, 225), slice(225, None)
    rng = np.random.default_rng(seed)
    x = rng.normal(size=(300, 3))
    y = (rng.random(300) < 1 / (1 + np.exp(1.5 - 0.15 * seed * x[:, 0]))) * 1.0
    losses = [log_score(logistic(x[early], y[early], ridge).chance(x[late]), y[late]) for ridge in RIDGES]
    best = RIDGES[int(np.argmin(losses))]
    assert len({round(loss, 6) for loss in losses}) == len(RIDGES)
    assert tuned(x, y).weight == pytest.approx(logistic(x, y, best).weight)


def test_a_single_row_takes_the_heaviest_ridge() -> None:
    from coaching.science.rivals import RIDGES

    assert tuned(X[:1], Y[:1]).weight == pytest.approx(logistic(X[:1], Y[:1], max(RIDGES)).weight)
