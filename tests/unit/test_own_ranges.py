"""How wide an athlete's ranges of ratings are: learned from their own scatter, and from the squad's by horizon."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from coaching.science import skin
from coaching.science.footing import RECENT_DAYS
from coaching.science.inputs import Course, Floats
from coaching.science.own_ranges import FARTHEST_SD, LEAST, LEAST_VAR, asks, own_ranges, scatter
from coaching.science.reported import LEVELS
from coaching.science.versions import get
from tests.courses import calm

MODEL = get("2026.6")
P = MODEL.parameters
DAYS, ORIGIN, ATHLETES = 120, 100, 40
PAST = np.arange(DAYS) <= ORIGIN


def course(scatter_pt: Floats, seed: int = 3) -> Course:
    """Athletes whose skin stays as it is and whose ratings scatter by as much as said, (N,)."""
    rng = np.random.default_rng(seed)
    n = scatter_pt.shape[0]
    told = 6.0 + scatter_pt[:, None] * rng.normal(size=(n, DAYS))
    answered = (rng.random((n, DAYS)) < 0.7) & PAST
    rating = np.where(answered, np.clip(np.round(told), 0, 10), np.nan)
    return calm(n, DAYS, ORIGIN, reserve_pt=rating, dampness_pt=rating - 1.0, load_plan_slu=np.full((n, DAYS), 0.4))


def by_hand(rating: Floats, mean: Floats, known: Floats, scale: str) -> float:
    """One athlete's mean square of scaled residuals over the last weeks, with a prior worth some answers."""
    total = count = 0.0
    for day in range(ORIGIN - RECENT_DAYS + 1, ORIGIN + 1):
        if not np.isnan(rating[day]):
            left = max(P[f"{scale}_report_sd_pt"] ** 2 - known[day] + 1 / 12, LEAST_VAR)
            total += min((rating[day] - mean[day]) ** 2 / left, FARTHEST_SD**2)
            count += 1
    worth = P["rating_own_known_n"]
    return max((worth + total / P[f"{scale}_scatter_usual"]) / (worth + count), LEAST)


def test_scatter_is_that_of_the_last_weeks_written_out() -> None:
    some = course(np.array([0.6, 1.2, 2.5]))
    panel = skin.follow(some, P).panel(P)
    for scale in ("reserve", "dampness"):
        rating, mean, known = (getattr(one, f"{scale}_{name}") for one, name in
                               ((some, "pt"), (panel, "pt"), (panel, "known_var")))  # fmt: skip
        got = scatter(ORIGIN, rating, mean, known, (scale, P))
        expected = [by_hand(rating[n], mean[n], known[n], scale) for n in range(3)]
        assert got == pytest.approx(expected, rel=1e-12) and got[0] < got[1] < got[2]


def test_neither_older_nor_later_ratings_count_and_one_slip_counts_as_four_sds() -> None:
    some = course(np.full(4, 0.8))
    panel = skin.follow(some, P).panel(P)

    def told(rating: Floats) -> Floats:
        return scatter(ORIGIN, rating, panel.reserve_pt, panel.reserve_known_var, ("reserve", P))

    days = np.arange(DAYS)
    other = (days <= ORIGIN - RECENT_DAYS) | (days > ORIGIN)
    assert np.array_equal(told(np.where(other, 0.0, some.reserve_pt)), told(some.reserve_pt))
    edge = np.where(days == ORIGIN - RECENT_DAYS + 1, 0.0, some.reserve_pt)
    assert np.all(told(edge) != told(some.reserve_pt))
    mean = panel.reserve_pt.copy()
    far = [scatter(ORIGIN, np.where(days == ORIGIN, 10.0, some.reserve_pt), np.where(days == ORIGIN, m, mean),
                   panel.reserve_known_var, ("reserve", P)) for m in (4.0, 1.0)]  # fmt: skip
    assert np.array_equal(far[0], far[1])


def test_silence_is_as_the_squad_and_the_same_number_again_and_again_makes_nobody_surer() -> None:
    silent = calm(2, DAYS, ORIGIN)
    panel = skin.follow(silent, P).panel(P)
    assert np.all(scatter(ORIGIN, silent.reserve_pt, panel.reserve_pt, panel.reserve_known_var, ("reserve", P)) == 1.0)
    steady = np.where(PAST, 6.0, np.nan) * np.ones((1, 1))
    same = calm(1, DAYS, ORIGIN, reserve_pt=steady)
    held = skin.follow(same, P).panel(P)
    assert scatter(ORIGIN, steady, held.reserve_pt, held.reserve_known_var, ("reserve", P))[0] == 1.0
    varied = steady + np.where(np.arange(DAYS) % 4 == 0, 1.0, 0.0)  # three of four alike are not the same
    held = skin.follow(calm(1, DAYS, ORIGIN, reserve_pt=varied), P).panel(P)
    assert scatter(ORIGIN, varied, held.reserve_pt, held.reserve_known_var, ("reserve", P))[0] < 1.0


@pytest.mark.parametrize("scatter_pt", [0.4, 0.9, 1.8])
def test_four_of_five_ratings_of_a_steady_skin_hold_whatever_the_scatter(scatter_pt: float) -> None:
    """Ratings two weeks on, drawn anew: 40 athletes x 20 days, .70-.93. Whole numbers fall in or out together, and
    what is not known of days ahead stays in; without the athlete's own scatter the ends are .62 and 1.
    """
    some = course(np.full(ATHLETES, scatter_pt))
    told = MODEL.reported(some).reserve_pt
    rng = np.random.default_rng(9)
    later = np.clip(np.round(6.0 + scatter_pt * rng.normal(size=(ATHLETES, DAYS))), 0, 10)
    low, high = told[LEVELS.index(0.1)], told[LEVELS.index(0.9)]
    held = ((later >= low) & (later <= high))[:, ORIGIN + 1 :].mean()
    plain = get("2026.5").reported(some).reserve_pt
    before = ((later >= plain[1]) & (later <= plain[5]))[:, ORIGIN + 1 :].mean()
    assert abs(held - 0.8) <= abs(before - 0.8) + 0.02 and 0.66 < held < 0.99


def test_factors_of_the_horizon_grow_evenly_and_never_let_a_range_narrow_with_the_days() -> None:
    some = course(np.full(3, 0.9))
    panel = skin.follow(some, P).panel(P)
    plain = own_ranges(some, panel, P.changed(reserve_range_7d=1.0, reserve_range_14d=1.0))
    wider = own_ranges(some, panel, P.changed(reserve_range_7d=1.4, reserve_range_14d=1.8))
    ratio = wider.reserve / plain.reserve
    assert ratio[:, : ORIGIN + 1] == pytest.approx(np.ones((3, ORIGIN + 1)))
    assert ratio[:, ORIGIN + 7] == pytest.approx(np.full(3, 1.4)) and ratio[:, ORIGIN + 14 :] == pytest.approx(1.8)
    narrow = own_ranges(some, panel, P.changed(reserve_range_7d=0.4, reserve_range_14d=0.4))
    var = panel.reserve_known_var + panel.reserve_noise_var + P["reserve_report_sd_pt"] ** 2
    assert np.all(np.diff((narrow.reserve * var)[:, ORIGIN:], axis=1) >= -1e-12)
    assert np.array_equal(plain.columns(np.array([3, 5])).dampness, plain.dampness[:, [3, 5]])


def test_chances_are_those_of_the_version_before_and_older_versions_do_not_ask() -> None:
    some = replace(course(np.full(3, 2.0)), limited=np.where(PAST, 0.0, np.nan) * np.ones((3, 1)))
    from tests.courses import unhurt

    old = get("2026.5")
    assert asks(P) and not asks(old.parameters)
    assert np.array_equal(MODEL.chance(some, unhurt()).p, old.chance(some, unhurt()).p)
    assert not np.array_equal(MODEL.reported(some).reserve_pt, old.reported(some).reserve_pt)
