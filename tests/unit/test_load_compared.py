"""A week against its own evenness and against the weeks before it: invariants and identities, no tables."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as nps

from coaching.science.inputs import Floats
from coaching.science.load_compared import load_times_monotony, uncoupled_ratio

weeks = nps.arrays(np.float64, (7,), elements=st.integers(0, 900).map(float))
months = nps.arrays(np.float64, (1, 28), elements=st.integers(1, 900).map(float))


@given(weeks, st.floats(0.01, 100))
def test_twice_the_load_is_twice_the_product_and_order_does_not_matter(week: Floats, factor: float) -> None:
    """Foster 1998: monotony has no unit, so the product has that of the load; days may change places."""
    said = load_times_monotony(week)
    np.testing.assert_allclose(load_times_monotony(factor * week), factor * said, rtol=1e-6)
    np.testing.assert_allclose(load_times_monotony(week[::-1]), said, rtol=1e-9)


def test_one_session_a_week_is_its_load_over_the_root_of_seven() -> None:
    """Mean x / 7 over sample sd x / sqrt(7), times x: closed form of the definition."""
    np.testing.assert_allclose(load_times_monotony(np.array([0, 0, 600.0, 0, 0, 0, 0])), 600 / np.sqrt(7), rtol=1e-12)


def test_an_unknown_day_leaves_no_product() -> None:
    assert np.isnan(load_times_monotony(np.array([1, 2, 3, np.nan, 4, 5, 6.0])))


@given(months, st.sampled_from([0.001, 1.0]))
def test_the_coupled_ratio_follows_from_the_uncoupled_one(whole: Floats, unit: float) -> None:
    """Week over all four weeks is 4 u / (u + 3): algebra of the two definitions, 1e-9 for rounding."""
    load = unit * whole
    u = uncoupled_ratio(load)[0, -1]
    np.testing.assert_allclose(load[0, -7:].mean() / load[0].mean(), 4 * u / (u + 3), rtol=1e-9)


def test_a_steady_load_is_one_from_the_28th_known_day() -> None:
    said = uncoupled_ratio(np.full((1, 30), 4.0))[0]
    assert np.isnan(said[:27]).all() and said[27:].tolist() == [1.0] * 3


@pytest.mark.parametrize("day", [0, 10, 27])
def test_one_unknown_day_in_28_leaves_no_ratio(day: int) -> None:
    load = np.full((1, 28), 4.0)
    load[0, day] = np.nan
    assert np.isnan(uncoupled_ratio(load)[0, -1])


def test_weeks_without_load_are_nothing_to_compare_with() -> None:
    assert np.isnan(uncoupled_ratio(np.array([[0.0] * 21 + [5.0] * 7]))[0, -1])
