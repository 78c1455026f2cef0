"""Scores keep the laws that make them scores: parts add up, the truth is the best forecast, ranges are fair."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as nps

from coaching.science.inputs import Floats
from coaching.science.scoring import brier, crps_normal, interval_score, log_score, murphy_parts
from coaching.science.scoring_chances import area_under_curve, calibration_error
from coaching.science.scoring_ranges import crps_quantiles, transform

CHANCES = np.array([0.1, 0.3, 0.5, 0.7, 0.9])
cases = st.lists(st.tuples(st.sampled_from(CHANCES.tolist()), st.booleans()), min_size=1, max_size=60)
shares = st.floats(0.05, 0.95)


def columns(rows: list[tuple[float, bool]]) -> tuple[Floats, Floats]:
    return np.array([p for p, _ in rows]), np.array([float(y) for _, y in rows])


@given(cases)
@settings(max_examples=150, deadline=None)
def test_brier_is_reliability_less_resolution_plus_uncertainty(rows: list[tuple[float, bool]]) -> None:
    """Murphy 1973, for whatever chances are told in groups."""
    p, y = columns(rows)
    reliability, resolution, uncertainty = murphy_parts(p, y)
    assert np.isclose(brier(p, y), reliability - resolution + uncertainty, atol=1e-12)
    assert min(reliability, resolution) >= 0 and 0 <= resolution <= uncertainty + 1e-12 <= 0.25 + 2e-12


@given(cases)
@settings(max_examples=100, deadline=None)
def test_shares_told_as_chances_are_reliable_to_the_last(rows: list[tuple[float, bool]]) -> None:
    """Each chance replaced by the share that came true under it: nothing left to improve but resolution."""
    p, y = columns(rows)
    told = np.array([y[p == one].mean() for one in p])
    assert murphy_parts(told, y)[0] < 1e-12 and brier(told, y) <= brier(p, y) + 1e-12
    assert calibration_error(told, y) < 1e-9


@given(shares, shares)
@settings(max_examples=100, deadline=None)
def test_nothing_beats_the_true_chance(true: float, said: float) -> None:
    """Proper scores (Gneiting & Raftery 2007): the expected score is least at the truth."""
    yes, no = np.ones(1), np.zeros(1)
    for score in (brier, log_score):
        expected = [true * score(np.array([p]), yes) + (1 - true) * score(np.array([p]), no) for p in (true, said)]
        assert expected[0] <= expected[1] + 1e-12


@given(st.floats(-5, 5), st.floats(0.2, 4), st.floats(-8, 8), st.floats(-3, 3), st.floats(0.1, 10))
@settings(max_examples=100, deadline=None)
def test_crps_has_the_unit_of_the_value_and_nears_the_plain_error(
    mean: float, sd: float, value: float, shift: float, times: float
) -> None:
    m, s, v = np.array([mean]), np.array([sd]), np.array([value])
    told = crps_normal(m, s, v)[0]
    assert 0 <= told <= abs(value - mean) + sd
    assert np.isclose(crps_normal(times * m + shift, times * s, times * v + shift)[0], times * told, rtol=1e-6)
    assert np.isclose(crps_normal(m, np.array([1e-9]), v)[0], abs(value - mean), atol=1e-8)
    one = crps_quantiles(m[None], np.array([0.5]), v)[0]
    assert np.isclose(one, abs(value - mean), atol=1e-12)  # a single median is scored by its plain error


@given(st.floats(-5, 5), st.floats(0, 4), st.floats(0.05, 0.5), st.floats(-8, 8))
@settings(max_examples=100, deadline=None)
def test_a_range_costs_its_width_and_a_miss_more(low: float, width: float, outside: float, value: float) -> None:
    told = interval_score(*(np.array([x]) for x in (low, low + width, value)), outside)[0]
    miss = max(low - value, value - low - width, 0.0)
    assert np.isclose(told, width + 2 * miss / outside, atol=1e-9)


@given(nps.arrays(np.float64, (9, 1), elements=st.floats(-5, 5)), st.floats(-6, 6), st.floats(0, 3))
@settings(max_examples=100, deadline=None)
def test_transform_is_a_chance_and_grows_with_the_value(points: Floats, value: float, more: float) -> None:
    quantiles, levels = np.sort(points, axis=0), np.arange(1, 10) / 10
    low, high = (transform(quantiles, levels, np.array([x]))[0] for x in (value, value + more))
    assert 0 < low <= high < 1


@given(st.lists(st.tuples(st.integers(0, 5), st.booleans()), min_size=2, max_size=40))
@settings(max_examples=100, deadline=None)
def test_area_counts_pairs(rows: list[tuple[int, bool]]) -> None:
    """Hanley & McNeil 1982: of all pairs of one positive and one other, those in order and half of the ties."""
    score, positive = np.array([float(s) for s, _ in rows]), np.array([p for _, p in rows])
    mine, others = score[positive], score[~positive]
    told = area_under_curve(score, positive)
    if mine.size == 0 or others.size == 0:
        assert np.isnan(told)
        return
    apart = mine[:, None] - others[None, :]
    assert np.isclose(told, ((apart > 0) + 0.5 * (apart == 0)).mean(), atol=1e-12)
    assert np.isclose(area_under_curve(score, ~positive), 1 - told, atol=1e-12)
