"""Mean and ranges of a day's chance over the points, against NumPy's own quantiles."""

from __future__ import annotations

import numpy as np
import pytest

from coaching.science.healing_times import PACES
from coaching.science.model import daily_chance
from coaching.science.nodes import NODES
from coaching.science.panel import Panel
from coaching.science.quantities import defaults
from coaching.science.readiness import at_nodes

P = defaults()
ROWS, DAYS = 5, 4


def panel(seed: int = 0) -> Panel:
    """States from hopeless to safe, so that the chance is skew to either side somewhere."""
    rng = np.random.default_rng(seed)
    levels = np.linspace(0.5, 9.5, ROWS)[:, None] + rng.normal(0, 0.3, (ROWS, DAYS))
    ones = np.ones((ROWS, DAYS))
    return Panel(levels, 1.5 * ones, 0.2 * ones, 4.0 * ones, ones, 0.2 * ones, 4.0 * ones, 0.5 * ones,
                 shift_logit=np.zeros((60, ROWS)))  # fmt: skip


@pytest.mark.parametrize("left", [1.0, 0.4])
def test_mean_and_ranges_of_every_day_are_those_of_the_points(left: float) -> None:
    """Hazen's positions, as NumPy has them; an end of the range never lies beyond the chance told."""
    damage = np.full((PACES, ROWS, DAYS), left)
    damage[: PACES // 2] = 1.0
    got = daily_chance(panel(), damage, P)
    points = at_nodes(panel(), None, P) * damage[NODES.pace_fifth]
    told = {level: np.quantile(points, level, axis=0, method="hazen") for level in (0.1, 0.25, 0.75, 0.9)}
    assert got.p == pytest.approx(points.mean(axis=0), rel=1e-12)
    assert got.p_skin == pytest.approx(at_nodes(panel(), None, P).mean(axis=0), rel=1e-12)
    assert got.low == pytest.approx(np.minimum(told[0.1], got.p), rel=1e-12)
    assert got.high == pytest.approx(np.maximum(told[0.9], got.p), rel=1e-12)
    assert got.q25 == pytest.approx(told[0.25], rel=1e-12) and got.q75 == pytest.approx(told[0.75], rel=1e-12)


def test_a_chance_that_only_a_few_points_have_lies_in_its_own_range() -> None:
    """Nine points of ten at nought: the mean lies over the 90 % point, and the range is drawn up to it."""
    damage = np.zeros((PACES, ROWS, DAYS))
    got = daily_chance(panel(), damage, P)
    assert np.all(got.high == 0.0) and np.all(got.p == 0.0)
    shift = np.where(np.arange(60) < 3, 9.0, -9.0)[:, None] * np.ones((1, ROWS))
    skew = Panel(**{**vars(panel()), "shift_logit": shift})
    few = daily_chance(skew, np.ones((PACES, ROWS, DAYS)), P)
    many = daily_chance(Panel(**{**vars(skew), "shift_logit": -skew.shift_logit}), np.ones((PACES, ROWS, DAYS)), P)
    assert np.all(few.low <= few.p) and np.all(few.p <= few.high) and few.high[-1] == pytest.approx(few.p[-1])
    assert np.all(many.low <= many.p) and np.all(many.p <= many.high) and many.low[-1] == pytest.approx(many.p[-1])


def test_days_before_the_first_are_not_known() -> None:
    got = daily_chance(panel(), np.ones((PACES, ROWS, DAYS)), P, first=2)
    whole = daily_chance(panel(), np.ones((PACES, ROWS, DAYS)), P)
    for name, values in vars(got).items():
        assert np.all(np.isnan(values[:, :2])) and np.array_equal(values[:, 2:], getattr(whole, name)[:, 2:]), name
