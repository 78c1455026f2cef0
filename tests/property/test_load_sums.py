"""Foster's monotony, the ratio of weeks, and means over observed days keep the laws of their own algebra."""

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as nps

from coaching.science.inputs import Floats
from coaching.science.load import MONOTONY_REASONS, monotony, observed_mean, seven_day_sum
from coaching.science.load_compared import load_times_monotony, uncoupled_ratio

weeks = nps.arrays(np.float64, 7, elements=st.integers(0, 1200).map(float))
maybe = st.one_of(st.just(np.nan), st.integers(0, 1200).map(float))
halves = st.floats(0.5, 60.0)


def uneven(week: Floats) -> bool:
    return bool(week.max() > week.min())


@given(weeks, st.sampled_from([1e-200, 1 / 60, 0.25, 60.0, 1e6]), st.permutations(range(7)))
@settings(max_examples=100, deadline=None)
def test_monotony_has_neither_unit_nor_order_and_strain_has_the_unit(week: Floats, c: float, order: list[int]) -> None:
    assume(uneven(week))
    value, strain = monotony(week).value, load_times_monotony(week)
    for other in (c * week, week[order]):
        assert np.isclose(monotony(other).value, value, rtol=1e-9)
    assert np.isclose(load_times_monotony(c * week), c * strain, rtol=1e-9)


@given(weeks)
@settings(max_examples=100, deadline=None)
def test_one_day_of_load_is_the_least_monotony(week: Floats) -> None:
    """Of loads that are not negative, sample SD: at least 1 / sqrt(7), and that only with a single day of load."""
    assume(uneven(week))
    value, single = float(monotony(week).value), int((week > 0).sum()) == 1
    assert value >= 1 / np.sqrt(7) - 1e-12
    assert np.isclose(value, 1 / np.sqrt(7), rtol=1e-12) == single


@given(st.integers(0, 1200).map(float))
def test_an_even_week_has_no_monotony_and_says_why(load: float) -> None:
    told = monotony(np.full(7, load))
    assert np.isnan(told.value) and np.isnan(load_times_monotony(np.full(7, load)))
    assert MONOTONY_REASONS[int(told.reason)] == ("all-zero" if load == 0 else "all-equal")


@given(nps.arrays(np.float64, (1, 40), elements=st.integers(0, 1200).map(float)))
@settings(max_examples=60, deadline=None)
def test_ratio_by_hand_and_its_coupled_form_never_over_four(load: Floats) -> None:
    told = uncoupled_ratio(load)[0]
    assert np.all(np.isnan(told[:27]))
    for day in range(27, 40):
        week, before = load[0, day - 6 : day + 1].mean(), load[0, day - 27 : day - 6].mean()
        assert np.isnan(told[day]) if before == 0 else np.isclose(told[day], week / before, rtol=1e-12)
        if before > 0:
            coupled = week / load[0, day - 27 : day + 1].mean()
            assert np.isclose(coupled * (told[day] + 3.0), 4.0 * told[day], rtol=1e-12) and coupled <= 4.0


@given(nps.arrays(np.float64, (1, 30), elements=maybe), halves, st.integers(0, 29))
@settings(max_examples=100, deadline=None)
def test_a_mean_lies_between_what_was_known_and_an_unknown_day_moves_nothing(
    load: Floats, half_life_d: float, day: int
) -> None:
    mean = observed_mean(load, half_life_d)[0]
    seen = np.cumsum(~np.isnan(load[0])) > 0
    assert np.array_equal(np.isnan(mean), ~seen)
    for k in np.flatnonzero(seen):
        past = load[0, : k + 1]
        assert np.nanmin(past) - 1e-9 <= mean[k] <= np.nanmax(past) + 1e-9
    gone = np.flatnonzero(np.isnan(load[0]) & seen)
    assert np.allclose(mean[gone], mean[gone - 1], rtol=1e-12)
    ages = day - np.arange(day + 1)
    weight = np.where(np.isnan(load[0, : day + 1]), 0.0, 0.5 ** (ages / half_life_d))
    if weight.sum() > 1e-30:
        assert np.isclose(mean[day], np.nansum(weight * load[0, : day + 1]) / weight.sum(), rtol=1e-9)


@given(nps.arrays(np.float64, (1, 20), elements=maybe))
@settings(max_examples=100, deadline=None)
def test_seven_days_by_hand(load: Floats) -> None:
    told = seven_day_sum(load)
    for day in range(20):
        week = np.concatenate([np.full(6, np.nan), load[0]])[day : day + 7]
        assert told.unknown_days[0, day] == np.isnan(week).sum()
        if told.unknown_days[0, day] == 7:
            assert np.isnan(told.sum_slu[0, day])
        else:
            assert np.isclose(told.sum_slu[0, day], np.nansum(week), rtol=1e-12)
