"""Numbers in words: rounded to what their range supports, never certain, and not known where they are not."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.wording import numbers


@pytest.mark.parametrize(
    ("low", "high", "step"), [(0.70, 0.75, 1), (0.60, 0.80, 5), (0.31, 0.62, 5), (0.20, 0.90, 10)]
)
def test_a_wide_range_is_said_in_round_numbers(low: float, high: float, step: int) -> None:
    assert numbers.rounding(low, high) == step


def test_the_chance_is_said_out_of_a_hundred() -> None:
    assert numbers.chance(0.72, 0.70, 0.75) == "skin holds: 72 in 100"
    assert numbers.chance(0.72, 0.50, 0.85) == "skin holds: 70 in 100"
    assert numbers.chance(None, 0.2, 0.9) == "skin holds: not known"


@given(st.floats(0, 1), st.sampled_from([1, 5, 10]))
def test_no_chance_is_said_to_be_nothing_or_certain(p: float, step: int) -> None:
    said = numbers.in_100(p, step)
    assert said not in ("0", "100")
    assert abs(int(said.split()[-1]) - p * 100) <= step


def test_ends_are_said_as_under_and_over() -> None:
    assert numbers.in_100(0.01, 5) == "under 5" and numbers.figure(0.01, 5) == "<5"
    assert numbers.in_100(0.99, 5) == "over 95" and numbers.figure(0.99, 5) == ">95"


def test_silence_is_not_known_and_never_zero() -> None:
    assert numbers.rating(None) == numbers.load(None) == numbers.week_load(None, 0) == "not known"
    assert numbers.week_load(0.0, 7) == "not known"
    assert numbers.week_load(5.2, 2) == "at least 5.2, 2 days not known"
    assert numbers.week_load(5.2, 0) == "5.2"


def test_monotony_without_spread_is_undefined() -> None:
    # Foster 1998 divides the week's mean by its standard deviation: without spread there is no quotient.
    assert numbers.monotony(None).startswith("undefined")
    assert numbers.monotony(1.84) == "1.8"


def test_a_provisional_bar_says_so() -> None:
    assert numbers.bar(0.5, True) == "bar 50, provisional"
    assert numbers.bar(0.6, False) == "bar 60"


def test_a_change_has_its_sign() -> None:
    assert [numbers.change(x) for x in (-0.38, 0.04, 0.001)] == ["−38", "+4", "0"]


def test_good_days_come_with_their_range() -> None:
    assert numbers.good_days((9, 6.2, 4.1, 8.0)) == "about 6 good days of 9 (4 to 8)"
