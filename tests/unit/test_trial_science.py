"""Parts of an athlete's own trial: draws, days, doses, power, and what may be said."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from coaching.rules.trial_verdict import NOT, OPEN, WORKS, WORSE, verdict
from coaching.science import versions
from coaching.science.trial_doses import block_means, contrasts, in_force, steady, times
from coaching.science.trial_exact import exact, order_gap
from coaching.science.trial_orders import MOST_PAIRS, differences, draw, subsets
from coaching.science.trial_plan import Blocks, due, expected_contrast, read_days, told
from coaching.science.trial_power import Exposure, detectable, pair_sd, power
from coaching.science.trial_reading import Dosing, filled, read_trial
from coaching.science.trial_shrink import Prior, chance_beyond, pooled_se, shrink

P = versions.get("2026.5").parameters
BLOCKS = Blocks(tuple(range(0, 12 * 8, 8)), 3, 5, False)
HANDS = Blocks(tuple(range(0, 6 * 8, 8)), 3, 5, True)
SALT = Dosing("aluminium", 0.375, 1, 3.0)
PRIOR = Prior(-1.0, 1.5, 1.1)


def test_every_order_is_drawn_about_as_often() -> None:
    """64 orders of six pairs, 64 each on average; 5 sds of a count are 40."""
    counts = np.bincount([int(draw(6, seed) @ 2 ** np.arange(6)) for seed in range(4096)], minlength=64)
    assert counts.size == 64 and counts.min() > 24 and counts.max() < 104


def test_a_seed_gives_one_order_and_sets_of_pairs_are_all_there() -> None:
    assert draw(6, 7).tolist() == draw(6, 7).tolist()
    assert len({tuple(row) for row in subsets(5).tolist()}) == 32 and not subsets(5)[0].any()
    for pairs in (0, MOST_PAIRS + 1):
        with pytest.raises(ValueError, match="pairs"):
            draw(pairs, 1)


def test_a_difference_is_change_less_usual_whichever_came_first() -> None:
    values = np.array([[5.0, 3.0], [3.0, 5.0], [np.nan, 4.0]])
    assert differences(values, np.array([True, False, True])).tolist()[:2] == [2.0, 2.0]
    assert np.isnan(differences(values, np.array([True, False, True]))[2])


def test_the_change_is_due_in_its_blocks_alone_and_read_after_its_onset() -> None:
    order = np.array([True, False, True, True, False, False])
    days, read = due(BLOCKS, order, 1), read_days(BLOCKS)
    assert days[0, :8].all() and not days[0, 8:16].any() and not days[0, 16:24].any() and days[0, 24:32].all()
    assert (days[0] == days[1]).all() and days.sum() == 2 * 48
    assert np.nonzero(read[0, 0])[0].tolist() == [4, 5, 6, 7, 8] and np.nonzero(read[0, 1])[0].tolist()[0] == 12
    assert due(BLOCKS, order, 3)[0, :8].tolist() == [True, False, False, True, False, False, True, False]


def test_on_hands_the_change_is_on_one_hand_at_a_time() -> None:
    order = np.array([True, False] * 3)
    days = due(HANDS, order, 1)
    assert days[0, :8].all() and not days[1, :8].any() and days[1, 8:16].all() and not days[0, 8:16].any()
    assert HANDS.days < BLOCKS.days / 2 + 2  # which halves the time


def test_a_missed_use_and_what_lingers_lower_the_contrast() -> None:
    whole, missed = (expected_contrast(BLOCKS, SALT, P, share).mean[1] for share in (1.0, 0.6))
    longer = Blocks(tuple(range(0, 12 * 14, 14)), 9, 5, False)
    assert 0.3 < missed < 0.8 * whole < 0.8 * expected_contrast(longer, SALT, P, 1.0).mean[1] <= 0.8
    slow = Dosing("methenamine", 0.375, 1, 9.0)
    assert expected_contrast(BLOCKS, slow, P, 1.0).mean[1] < 0.5


def test_the_share_in_force_rises_while_used_and_falls_after() -> None:
    dose = np.array([[0.5] * 20 + [0.0] * 20])
    for name in ("methenamine", "aluminium", ""):
        force = in_force(dose, name, times(name, (0, 2), P)[1], P)[0]
        assert force[0] == 0 and (np.diff(force[:20]) >= 0).all() and (np.diff(force[21:]) <= 0).all()
        full = steady(0.5, 1, name, times(name, (0, 2), P)[1], P)
        assert 0.9 * full < force[20] <= full + 1e-9
    assert in_force(dose, "methenamine", 9.0, P)[0, 30] > in_force(dose, "aluminium", 3.0, P)[0, 30]


def test_contrast_and_rest_by_hand() -> None:
    share = np.array([[0.4, 0.4, 0.1, 0.1], [0.4, 0.4, 0.1, 0.1]])
    read = np.zeros((1, 2, 4), dtype=bool)
    read[0, 0, :2], read[0, 1, 2:] = True, True
    gap, rest = contrasts(share, read, np.array([True]), 0.5)
    assert (gap[0], rest[0]) == (pytest.approx(0.6), pytest.approx(0.2))
    gap, rest = contrasts(share, read, np.array([False]), 0.5)
    assert (gap[0], rest[0]) == (pytest.approx(-0.6), pytest.approx(0.8))


def test_a_block_with_too_few_answers_is_not_known() -> None:
    read = read_days(BLOCKS)
    daily = np.full(BLOCKS.days, np.nan)
    daily[[4, 5, 12]] = [6.0, 5.0, 3.0]
    means = block_means(daily, read)
    assert means[0, 0] == 5.5 and np.isnan(means[0, 1]) and np.isnan(means[1:]).all()


def test_power_of_six_pairs_is_the_normal_integral_to_the_sixth() -> None:
    """All six differences on one side; 1500 draws scatter by 1.3 points, four of them are 5."""
    for effect in (0.5, 1.0, 1.8, 2.5):
        assert power(effect, 6, 1.0) == pytest.approx(norm.cdf(effect) ** 6, abs=0.05)
    assert power(9.0, 5, 1.0) == 0.0 and detectable(5, 1.0) == float("inf")
    assert power(2.0, 6, 1.0) == power(-2.0, 6, 1.0)


def test_what_can_be_shown_shrinks_with_pairs_and_grows_with_scatter_and_misses() -> None:
    assert detectable(6, 1.0) == pytest.approx(1.79, abs=0.1)  # where the integral to the sixth is 0.8
    assert detectable(8, 1.0) < detectable(7, 1.0) < detectable(6, 1.0)
    assert detectable(6, 2.0) == pytest.approx(2 * detectable(6, 1.0), rel=1e-6)
    half = Exposure(mean=(0.5,))
    assert detectable(6, 1.0, half) == pytest.approx(2 * detectable(6, 1.0), rel=1e-6)
    assert detectable(6, 1.0, Exposure(sd=(0.2,))) > detectable(6, 1.0)


def test_the_scatter_of_a_pair_goes_from_the_prior_to_the_athletes_own() -> None:
    rng = np.random.default_rng(5)
    calm, wild = rng.normal(5, 0.05, 200), rng.normal(5, 5.0, 200)
    assert pair_sd(np.full(200, np.nan), 5, 8, 1.1) == 1.1 == pytest.approx(pair_sd(np.zeros(5), 5, 8, 1.1))
    assert pair_sd(calm, 5, 8, 1.1) < 0.7 < 1.1 < pair_sd(wild, 5, 8, 1.1)


def trial(effect: float, order: np.ndarray, taken: float = 1.0, blocks: Blocks = BLOCKS, read: int = 6) -> tuple:
    rng = np.random.default_rng(11)
    frame = due(blocks, order, 1)
    used = np.where(frame & (rng.random(blocks.days) < taken), 1.0, 0.0)
    force = in_force(used * SALT.amount, "aluminium", 3.0, P) / steady(0.375, 1, "aluminium", 3.0, P)
    daily = 6.0 + effect * force + rng.normal(0, 0.05, (2, blocks.days))
    return told(blocks, order, 1, daily, used), daily


ORDER = np.array([True, False, False, True, True, False])


@pytest.mark.parametrize("taken", [1.0, 0.7])
@pytest.mark.parametrize("blocks", [BLOCKS, HANDS])
def test_the_effect_at_full_use_is_found_though_uses_were_missed(taken: float, blocks: Blocks) -> None:
    """Hardly any scatter: 2 points come back to a tenth, although what was seen is less."""
    found = read_trial(trial(-2.0, ORDER, taken, blocks)[0], SALT, 1.0, PRIOR, P)
    assert found.found is not None and found.found.effect == pytest.approx(-2.0, abs=0.1)
    assert found.found.assigned > -1.9 and found.found.low <= -2.0 + 0.1 and found.found.high >= -2.0 - 0.1
    assert found.taken_frac == pytest.approx(taken, abs=0.15) and found.told_frac == 1.0
    assert verdict(found, "dampness", True, 1.0).code == WORKS
    assert verdict(found, "dampness", False, 1.0).code == WORSE


def test_what_is_not_told_counts_as_the_rest() -> None:
    one, _ = trial(-2.0, ORDER, 0.7)
    hidden = one.taken.copy()
    hidden[:, ::3] = np.nan
    rate = float(one.taken[:, :][one.due & np.isfinite(hidden)].mean())
    doses = filled(replace(one, taken=hidden))
    assert doses[0, 0] == pytest.approx(rate) and doses[0][~one.due[0]].sum() == 0


def test_too_few_pairs_no_contrast_and_no_effect_are_told_apart() -> None:
    few = Blocks(tuple(range(0, 10 * 8, 8)), 3, 5, False)
    five = read_trial(trial(-4.0, ORDER[:5], 1.0, few)[0], SALT, 1.0, PRIOR, P)
    assert (verdict(five, "dampness", True, 1.0).code, verdict(five, "dampness", True, 1.0).more_pairs) == (OPEN, 1)
    unused, _ = trial(-2.0, ORDER, 0.1)
    said = verdict(read_trial(unused, SALT, 1.0, PRIOR, P), "dampness", True, 1.0)
    assert (said.code, said.cause) == (OPEN, "doses")
    nothing = read_trial(trial(0.0, ORDER)[0], SALT, 1.0, PRIOR, P)
    assert verdict(nothing, "dampness", True, 1.0).code in (NOT, WORKS, WORSE)  # within a tenth of a point either way
    silent = replace(trial(-2.0, ORDER)[0], daily=np.full((2, BLOCKS.days), np.nan))
    assert verdict(read_trial(silent, SALT, 1.0, PRIOR, P), "dampness", True, 1.0).cause == "pairs"


def test_scatter_leaves_it_open_and_says_how_many_pairs_would_tell() -> None:
    one, daily = trial(-1.0, ORDER)
    rough = replace(one, daily=daily + np.random.default_rng(2).normal(0, 2.0, BLOCKS.days))
    said = verdict(read_trial(rough, SALT, 0.8, PRIOR, P), "dampness", True, 0.8)
    assert (said.code, said.cause) == (OPEN, "scatter") and said.more_pairs in range(1, 7)
    assert verdict(read_trial(rough, SALT, 8.0, PRIOR, P), "dampness", True, 8.0).more_pairs is None


def test_the_posterior_lies_between_the_trial_and_the_squad() -> None:
    one, _ = trial(-2.0, ORDER)
    alone = read_trial(one, SALT, 1.0, PRIOR, P)
    squad = (np.array([0.0, 0.1, -0.1]), np.array([0.2, 0.2, 0.2]))
    among = read_trial(one, SALT, 1.0, PRIOR, P, squad)
    assert -2.05 < alone.mean < among.mean < 0.0 and alone.sd < PRIOR.mean_sd


def test_a_gap_by_order_is_found_where_the_change_lingers() -> None:
    gap = np.array([1.0, 1.1, 0.9, 3.0, 3.1, 2.9])
    found = order_gap(gap, np.array([True, True, True, False, False, False]))
    assert (found.gap, found.p_two) == (pytest.approx(-2.0), pytest.approx(0.1))  # 2 of 20 choices
    assert order_gap(gap, np.ones(6, dtype=bool)).p_two == 1.0


def test_errors_of_few_pairs_lean_on_what_was_expected() -> None:
    alike = np.full(6, 2.0)
    assert pooled_se(alike, 1.0, 1.0) == pytest.approx(np.sqrt(4 / 9 / 6))
    assert pooled_se(alike, 0.5, 1.0) == pytest.approx(2 * pooled_se(alike, 1.0, 1.0))
    assert chance_beyond(0.0, 1.0, 1.0) == pytest.approx(norm.cdf(1.0))


def test_nobody_elses_and_no_own_knowledge_leave_the_prior() -> None:
    found = shrink(np.array([5.0]), np.array([1e6]), PRIOR)
    assert found.mean[0] == pytest.approx(PRIOR.mean, abs=1e-3)


def test_a_zero_exposure_gives_no_interval_that_is_too_narrow() -> None:
    found = exact(np.array([1.0, 2.0, 1.5, 1.2, 0.8, 1.1]), np.array([1.0, 1.0, 1.0, 1.0, 1.0, 0.0]))
    assert found.high == float("inf") and found.low <= 1.1
