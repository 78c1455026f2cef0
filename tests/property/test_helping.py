"""What would help most: less load never costs, what may not be taken is not offered, ranks follow gains."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coaching.science.helping import CLEAR_GAIN, NO_LOSS, OPTIONS, Help, ranks
from coaching.science.inputs import Course, Floats
from coaching.science.versions import CURRENT, get
from tests.courses import ORIGIN, calm, entered, rows, told, unhurt

MODEL = get(CURRENT)
ATHLETES = 4
ALL = {option: np.ones(ATHLETES, dtype=bool) for option in OPTIONS}
seeds = st.integers(0, 2**32 - 1)
HALF, REST, ON, OFF, SOFTEN, SAND = range(len(OPTIONS))


def course_of(seed: int) -> Course:
    return told(np.random.default_rng(seed), ATHLETES)


def asked(course: Course, may: Any = None) -> Help:
    event = entered(ORIGIN + 9, ORIGIN + 10, athletes=course.athletes)
    return MODEL.helping(course, unhurt(), event, ALL if may is None else may)


def known(values: Floats) -> Floats:
    return values[~np.isnan(values)]


@given(seeds)
@settings(max_examples=10, deadline=None)
def test_less_load_never_costs_readiness(seed: int) -> None:
    said = asked(course_of(seed))
    for option in (HALF, REST):
        assert np.all(known(said.gain[option]) >= -1e-12) and np.all(known(said.low[option]) >= -1e-12)


@given(seeds)
@settings(max_examples=10, deadline=None)
def test_ranks_follow_gains_and_ranges_hold_them(seed: int) -> None:
    said = asked(course_of(seed))
    for column in range(ATHLETES):
        here = said.rank[:, column] > 0
        order = np.argsort(said.rank[here, column])
        gains, safe = said.gain[here, column][order], said.low[here, column][order] >= NO_LOSS
        assert np.all(np.diff(safe.astype(int)) <= 0)  # what may as well cost comes last
        assert all(np.all(np.diff(some) <= 0) for some in (gains[safe], gains[~safe]))
        assert said.clear[column] == bool(np.any(gains[safe] >= CLEAR_GAIN))
    assert np.all((said.low <= said.gain) | np.isnan(said.gain)) and np.all(
        (said.high >= said.gain) | np.isnan(said.gain)
    )


@given(seeds)
@settings(max_examples=5, deadline=None)
def test_an_agent_is_put_on_or_taken_off_never_both(seed: int) -> None:
    said = asked(course_of(seed))
    assert np.all(np.isnan(said.gain[ON]) != np.isnan(said.gain[OFF]))


@given(seeds)
@settings(max_examples=5, deadline=None)
def test_the_others_of_a_batch_change_nothing(seed: int) -> None:
    course = course_of(seed)
    alone = asked(rows(course, np.array([2])), {option: np.ones(1, dtype=bool) for option in OPTIONS})
    assert np.array_equal(alone.gain[:, 0], asked(course).gain[:, 2], equal_nan=True)


def test_taking_the_agent_off_is_the_part_of_the_agent() -> None:
    """For an event of one day the part `agent` of an entry is the same change, computed apart; 1e-12 for the order of
    additions. Nobody's doses of the origin are left unknown, as that part lets go of those too.
    """
    course = course_of(3)
    course = replace(course, dose_done=np.nan_to_num(course.dose_done, nan=0.0))
    event = entered(ORIGIN + 9, ORIGIN + 9, athletes=ATHLETES)
    off = MODEL.helping(course, unhurt(), event, ALL).gain[OFF]
    part = MODEL.entries(course, unhurt(), event).parts["agent"]
    taken = ~np.isnan(off)
    assert taken.any() and np.abs(off[taken]).max() > 1e-4
    np.testing.assert_allclose(off[taken], part[taken], rtol=0, atol=1e-12)


def test_what_may_not_be_taken_is_not_offered() -> None:
    said = asked(course_of(1), {"half-load": ALL["half-load"]})
    assert np.all(said.rank[1:] == 0) and np.isnan(said.gain[1:]).all() and np.isnan(said.low[1:]).all()
    nothing = asked(course_of(1), {})
    assert not nothing.clear.any() and np.all(nothing.rank == 0)


def test_a_small_load_can_be_lessened_too() -> None:
    """Less than one unit a day is a load like any other."""
    assert not np.isnan(asked(calm(ATHLETES)).gain[[HALF, REST]]).any()


def test_an_unknown_option_is_refused() -> None:
    with pytest.raises(ValueError, match="options"):
        asked(course_of(1), {"pray": ALL["half-load"]})


def test_of_two_that_gain_the_same_the_earlier_is_first() -> None:
    gain = np.array([[0.1], [np.nan], [0.1], [0.2]])
    assert ranks(gain, gain > 0)[:, 0].tolist() == [2, 0, 3, 1]
    assert ranks(gain, gain < 0.2)[:, 0].tolist() == [1, 0, 2, 3]
