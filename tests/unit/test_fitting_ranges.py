"""Widths of a squad's ranges: the interval score as printed, and planted widths found again, narrower as well."""

from __future__ import annotations

import numpy as np
import pytest

from coaching.science.fitting_ranges import BELIEVED, Rated, interval_score, ranges_that_score
from coaching.science.own_ranges import OwnRanges
from coaching.science.panel import Panel
from coaching.science.quantities import QUANTITIES
from coaching.science.versions import get

P = get("2026.6").parameters
HORIZONS = (7, 14)
NAMES = ("reserve_range_7d", "reserve_range_14d", "dampness_range_7d", "dampness_range_14d")


@pytest.mark.parametrize(("low", "high", "value", "score"), [(2.0, 5.0, 3.0, 3.0), (2.0, 5.0, 2.0, 3.0),
                                                             (2.0, 5.0, 1.5, 8.0), (2.0, 5.0, 7.0, 23.0)])  # fmt: skip
def test_score_of_a_range(low: float, high: float, value: float, score: float) -> None:
    """Gneiting & Raftery 2007, eq. 43, at 80 %: width, and two over .2 times what lies outside; by hand."""
    assert interval_score(np.array([low]), np.array([high]), np.array([value]))[0] == pytest.approx(score)


def test_the_score_is_least_at_the_true_range() -> None:
    """Proper: the ends of a normal law's middle 80 % (1.2816 sds) cost least; 200 000 draws."""
    drawn = np.random.default_rng(0).normal(size=200_000)
    cost = {end: interval_score(np.full(drawn.shape, -end), np.full(drawn.shape, end), drawn).mean()
            for end in (1.0, 1.15, 1.2816, 1.45, 1.6)}  # fmt: skip
    assert min(cost, key=cost.__getitem__) == 1.2816


def rated(factors: tuple[float, float, float, float], athletes: int = 4000, seed: int = 1) -> Rated:
    """Ratings drawn with so many times the variance told: reserve at both horizons, then dampness."""
    rng, shape = np.random.default_rng(seed), (athletes, 2)
    means = rng.uniform(4.0, 6.0, (2, *shape))
    one = np.ones(shape)
    panel = Panel(means[0], 0.3 * one, 0.4 * one, means[1], 0.3 * one, 0.4 * one, 4.0 * one, one,
                  shift_logit=np.zeros((60, athletes)))  # fmt: skip
    var = [0.7 + P[f"{scale}_report_sd_pt"] ** 2 for scale in ("reserve", "dampness")]
    said = [mean + np.sqrt(v * np.array(of)) * rng.normal(size=shape)
            for mean, v, of in zip(means, var, (factors[:2], factors[2:]), strict=True)]  # fmt: skip
    ratings = [np.where(rng.random(shape) < 0.8, np.clip(np.round(s), 0, 10), np.nan) for s in said]
    return Rated(panel, OwnRanges(one, one), ratings[0], ratings[1])


@pytest.mark.parametrize("factors", [(0.6, 0.6, 1.0, 1.0), (1.0, 0.7, 1.5, 1.2)])
def test_planted_widths_are_found(factors: tuple[float, float, float, float]) -> None:
    """Some 3200 ratings: the sampling sd of a variance is 2.5 %, steps are 4 %, the version holds back by a sixth of
    the logarithm, and the ends of Student's t lie a little nearer than the normal's: 12 %.
    """
    found = ranges_that_score([rated(factors)], HORIZONS, P)
    drawn_to = [n**0.84 * P[name] ** 0.16 for n, name in zip(factors, NAMES, strict=True)]
    assert [found[name] for name in NAMES] == pytest.approx(drawn_to, rel=0.12)


def test_few_ratings_move_little_and_none_nothing() -> None:
    few = ranges_that_score([rated((0.5, 0.5, 0.5, 0.5), athletes=BELIEVED // 20)], HORIZONS, P)
    assert all(0.9 * P[name] < few[name] < 1.1 * P[name] for name in NAMES)
    none = ranges_that_score([], HORIZONS, P)
    assert none == {name: pytest.approx(P[name]) for name in NAMES}


def test_what_is_found_lies_inside_the_register() -> None:
    found = ranges_that_score([rated((9.0, 9.0, 0.01, 0.01), athletes=3000)], HORIZONS, P)
    for name in NAMES:
        assert QUANTITIES[name].low <= found[name] <= QUANTITIES[name].high
