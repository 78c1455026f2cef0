"""What looks teach of a squad's healing: planted times, spreads and openings are found, as far as looks can tell.

Times are drawn by NumPy, log-normal in two stages, and looked at every other day; nothing of the model draws them.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from coaching.science.fitting_healing import LEAST_FINISHED, healing_fit
from coaching.science.fitting_healing_ranges import ranges_that_hold
from coaching.science.healing_times import CLASS_OF, CLASSES, TIMES, class_factors
from coaching.science.inputs import KINDS, PLACES, Episodes, Finished
from coaching.science.quantities import QUANTITIES
from coaching.science.versions import CURRENT, get
from tests.courses import damage, unhurt

P = get(CURRENT).parameters
ORIGIN, ATHLETES = 120, 60
IDLE = np.zeros(ATHLETES)


@cache
def healed(factor: float, spread: float = 1.0, opened: int = 0) -> Episodes:
    """Three deep splits of a pad of each of 60 athletes, all finished, `factor` times as long as the trade has them."""
    rng = np.random.default_rng(5)
    n = 3 * ATHLETES
    row = TIMES[KINDS.index("split"), PLACES.index("pad"), 1]
    begun = rng.integers(0, 40, n)
    shut = factor * row[0] * np.exp(spread * row[1] * rng.normal(size=n))
    sound = shut + factor * row[2] * np.exp(spread * row[3] * rng.normal(size=n))
    by = [begun + 2 * np.ceil(days / 2).astype(np.int64) for days in (shut, sound)]
    zero = np.zeros(n, dtype=np.int64)
    over = Finished(
        athlete=np.arange(n) % ATHLETES, kind=zero + KINDS.index("split"), place=zero + PLACES.index("pad"),
        deep=np.ones(n), noticed=begun, begun=begun, shut_after=by[0] - 2, shut_by=by[0], sound_after=by[1] - 2,
        sound_by=by[1], balm_share=np.full(n, np.nan), reopened=zero + (np.arange(n) < opened), closed_d=zero + 5,
    )  # fmt: skip
    return replace(unhurt(), finished=over)


@cache
def fitted(factor: float, spread: float = 1.0) -> dict[str, float]:
    return healing_fit(healed(factor, spread), ORIGIN, IDLE, P)


def some(episodes: Episodes, count: int) -> Episodes:
    over = Finished(**{name: values[:count] for name, values in vars(episodes.finished).items()})
    return replace(episodes, finished=over)


@pytest.mark.parametrize("factor", [0.6, 1.4])
def test_planted_times_are_found(factor: float) -> None:
    """180 totals of log sd .4: their mean logarithm has a sampling sd of .03, and the register holds back."""
    learned = P.changed(**fitted(factor))
    told = learned["healing_time_factor"] * learned["healing_factor_split_deep_pad"]
    assert np.log(told / factor) == pytest.approx(0.0, abs=0.12)


def test_planted_spreads_are_told_apart() -> None:
    """Half and one and a half times the trade's; paces differ by .2 as well, so what is learned lies nearer by."""
    narrow, wide = (fitted(1.0, spread)["healing_spread_factor"] for spread in (0.5, 1.5))
    assert narrow < 0.8 < 1.1 < wide


def test_ranges_move_to_what_was_seen_and_no_further_than_they_may() -> None:
    got = ranges_that_hold(healed(1.4), ORIGIN, IDLE, P)
    assert 1.05 < got["healing_time_factor"] < 1.3
    assert ranges_that_hold(healed(1.0), 20, IDLE, P) == {}  # nothing has settled yet


def test_openings_are_counted_over_the_load_that_closed_damage_bore() -> None:
    """6 openings in 25 x 5 days of one unit: .048 a unit, drawn by two openings to the version's."""
    often, never = (
        healing_fit(some(healed(1.0, opened=n), 25), ORIGIN, IDLE + 1.0, P)["healing_reopens_per_slu"] for n in (6, 0)
    )
    assert often == pytest.approx(8 / (125 + 2 / P["healing_reopens_per_slu"]), abs=1e-6)
    assert never == pytest.approx(2 / (125 + 2 / P["healing_reopens_per_slu"]), abs=1e-6)


def test_too_little_or_an_older_version_teaches_nothing() -> None:
    assert healing_fit(some(healed(1.0), LEAST_FINISHED - 1), ORIGIN, IDLE, P) == {}
    assert healing_fit(healed(1.0), ORIGIN, IDLE, get("2026.3").parameters) == {}


def test_what_is_learned_stays_inside_the_register_and_forgotten_damage_tells_nothing() -> None:
    found = fitted(0.6)
    assert all(QUANTITIES[name].low <= value <= QUANTITIES[name].high for name, value in found.items())
    few = some(healed(0.6), 25)
    forgotten = damage("split", "pad", deep=1.0, noticed=30, looked=40, stage="open")
    told = [healing_fit(one, ORIGIN, IDLE, P) for one in (few, replace(forgotten, finished=few.finished))]
    assert told[0] == told[1]


def test_classes_tell_kinds_apart_and_leave_pink_alone() -> None:
    assert {CLASSES[k] for k in CLASS_OF[KINDS.index("split"), PLACES.index("crease")]} == {
        "split_shallow_crease", "split_deep_crease",
    }  # fmt: skip
    longer = P.changed(healing_factor_flapper=2.0, healing_time_factor=1.5)
    assert class_factors(damage("flapper", "pad"), longer)[:, 0] == pytest.approx([3.0, 3.0])
    assert class_factors(damage("pink", "pad"), longer)[:, 0] == pytest.approx([1.0, 1.0])
