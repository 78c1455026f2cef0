"""The seconds by which hours are ranked, each part as it is said, and the borders of wet rock."""

from __future__ import annotations

import numpy as np
import pytest

from coaching.science.air import windows as w
from coaching.science.air.condensation import Margin
from tests.unit.test_air_day import hourly, read, setting

ONE = np.ones(24)


def added(temp_c: float, sun: float = 0.0, clumsy_s: float = np.inf, dry_skin: bool = False, **hours: object) -> float:
    """What is put on top of the pause itself, s."""
    plain = {"middling_s": 20.0 * ONE, "clumsy_s": clumsy_s * ONE, "rock": Margin(5.0 * ONE, 9.0 * ONE)}
    found = read(hourly())._replace(**{**plain, **hours})  # type: ignore[arg-type]
    return float(w.wait_s(found, setting(temp_c=temp_c * ONE, sun_frac=sun * ONE), dry_skin)[12]) - 20.0


@pytest.mark.parametrize(
    ("temp_c", "sun", "expected"), [(14.0, 1.0, 0.0), (15.0, 1.0, 0.0), (17.5, 1.0, 60.0), (20.0, 1.0, 120.0),
                                    (30.0, 1.0, 120.0), (20.0, 0.5, 60.0), (20.0, 0.0, 0.0), (20.0, np.nan, 0.0)],
)  # fmt: skip
def test_two_minutes_against_sun_in_warm_air(temp_c: float, sun: float, expected: float) -> None:
    assert added(temp_c, sun) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("temp_c", "clumsy_s", "sun", "expected"),
    [(0.0, 30.0, 0.0, 240.0), (0.0, 30.0, 1.0, 120.0), (0.0, 30.0, 0.5, 180.0), (10.0, 120.0, 0.0, 120.0),
     (12.5, 60.0, 0.0, 120.0), (15.0, 60.0, 0.0, 0.0), (0.0, 180.0, 0.0, 0.0), (0.0, np.inf, 0.0, 0.0)],
)  # fmt: skip
def test_four_minutes_against_cold_of_which_sun_takes_half(
    temp_c: float, clumsy_s: float, sun: float, expected: float
) -> None:
    assert added(temp_c, sun, clumsy_s) == pytest.approx(expected)


def test_two_minutes_against_doubtful_rock_and_five_against_brittle_air_for_dry_skin() -> None:
    assert added(12.0, rock=Margin(-0.1 * ONE, 0.1 * ONE)) == pytest.approx(120.0)
    assert added(12.0, dry_skin=True, brittle_frac=0.5 * ONE) == pytest.approx(150.0)
    assert added(12.0, brittle_frac=0.5 * ONE) == 0.0


def test_nothing_ranks_over_a_quarter_of_an_hour() -> None:
    assert added(30.0, 1.0, middling_s=np.inf * ONE) == 880.0 and added(30.0, 1.0, middling_s=850.0 * ONE) == 880.0


@pytest.mark.parametrize(
    ("low", "high", "state"),
    [(0.1, 0.2, w.DRY_ROCK), (-0.1, 0.1, w.DOUBTFUL_ROCK), (-0.2, -0.1, w.WET_ROCK), (np.nan, 1.0, w.UNKNOWN_ROCK)],
)
def test_rock_is_wet_under_nought_at_both_ends(low: float, high: float, state: int) -> None:
    found = w.rock_state(read(hourly())._replace(rock=Margin(low * ONE, high * ONE)))
    assert set(found.tolist()) == {state}


def test_a_lower_bound_of_cold_counts_in_cold_air_only() -> None:
    """By the bound alone a bare finger turns clumsy in minutes at 16 C in a storm; with blood in it it does not."""

    def moved(temp_c: float) -> float:
        hours, here = read(hourly(temp_c=np.full(24, temp_c), wind_high_m_s=np.full(24, 12.0))), np.full(24, temp_c)
        calm = hours._replace(clumsy_s=np.full(24, np.inf))
        dark = setting(temp_c=here, sun_frac=np.zeros(24))
        return float((w.wait_s(hours, dark, False) - w.wait_s(calm, dark, False))[12])

    assert read(hourly(temp_c=np.full(24, 16.0), wind_high_m_s=np.full(24, 12.0))).clumsy_s[12] < 180
    assert moved(16.0) == moved(w.MILD_C) == 0 < moved(13.0) < moved(w.COLD_C)


def ranked(first: int, rank_s: float, squad: tuple[int, int] = (0, 0)) -> w.Window:
    return w.Window(first, first + 2, False, w.NO_COAST, w.DRY_ROCK, rank_s, (0, 0), squad)


def test_ten_seconds_are_one_step_of_the_order_and_within_a_step_the_squad_and_then_the_hour_decide() -> None:
    """Judgement: what is told in steps of ten seconds is not told apart more finely."""
    assert w._order(ranked(9, 104.9)) < w._order(ranked(6, 105.1))
    assert w._order(ranked(6, 104.9)) < w._order(ranked(9, 95.1))
    assert w._order(ranked(9, 104.9, squad=(9, 10))) < w._order(ranked(6, 95.1, squad=(1, 10)))
    assert w._order(ranked(6, 95.1, squad=(9, 10))) < w._order(ranked(9, 95.1, squad=(9, 10)))
