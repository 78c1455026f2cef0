"""What a squad's past teaches: on a simulated squad whose limits differ from the register's, the fit moves towards
them and forecasts of other athletes of that squad get better; a silent squad teaches nothing.

The truth is that of test_skill_on_simulated_truth.py, which shares no code with the model.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from coaching.science.fitting import LEAST_ANSWERS, SquadFit, fit
from coaching.science.model import Model
from coaching.science.quantities import QUANTITIES
from coaching.science.scoring import brier
from coaching.science.versions import CURRENT, get
from tests.courses import calm, unhurt
from tests.reference.test_skill_on_simulated_truth import ORIGIN, Squad, squad

P = get(CURRENT).parameters


@cache
def shy_of_damp(seed: int, above_pt: int) -> Squad:
    """A squad that skin limits whenever it is damper than that by the athletes' own ratings, whatever the reserve."""
    true = squad(seed)
    damp = true.course.dampness_pt
    asked = ~np.isnan(true.course.limited) & ~np.isnan(damp)
    return replace(true, course=replace(true.course, limited=np.where(asked, (damp > above_pt) * 1.0, np.nan)))


@cache
def learned(seed: int, above_pt: int | None = None) -> SquadFit:
    true = squad(seed) if above_pt is None else shy_of_damp(seed, above_pt)
    return fit(true.course, unhurt(), P)


@pytest.mark.slow
def test_the_limit_moves_to_where_the_squad_has_it() -> None:
    """Three points apart in truth, at least one apart as learned: the register and each athlete's own shift of the
    odds hold back the rest.
    """
    shy, hardy = learned(0, 4), learned(0, 7)
    assert shy.after < shy.before and hardy.after < hardy.before
    assert shy.values["too_damp_pt"] + 1.0 < hardy.values["too_damp_pt"]
    assert shy.values["too_damp_pt"] < P["too_damp_pt"] < hardy.values["too_damp_pt"]


@pytest.mark.slow
def test_what_one_half_of_squads_teaches_serves_the_other() -> None:
    """Chances of athletes never fitted to come nearer to what happened; their error may not grow by a hundredth."""
    gaps, scores = [], []
    for seed in range(3):
        other = squad(seed + 10)
        good = 1.0 - other.limited[:, ORIGIN + 7]
        for p in (P, learned(seed).applied(P)):
            told = Model("tried", p).chance(other.course, unhurt()).p[:, ORIGIN + 7]
            gaps.append(abs(told.mean() - good.mean()))
            scores.append(brier(told, good))
    assert np.mean(gaps[1::2]) < np.mean(gaps[::2])
    assert np.mean(scores[1::2]) < np.mean(scores[::2]) + 0.01


@pytest.mark.slow
def test_what_is_learned_lies_inside_the_register_and_is_the_same_each_time() -> None:
    found = learned(0)
    assert found == fit(squad(0).course, unhurt(), P)
    for name, value in found.values.items():
        assert QUANTITIES[name].low <= value <= QUANTITIES[name].high
    assert all(spread > 0 for spread in found.spreads.values())


@pytest.mark.slow
def test_nothing_right_of_the_origin_is_read() -> None:
    course = squad(0).course
    after = np.arange(course.days) > course.origin
    worst = {"reserve_pt": np.where(after, 0.0, course.reserve_pt), "limited": np.where(after, 1.0, course.limited)}
    changed = replace(course, **worst)
    assert fit(changed, unhurt(), P) == learned(0)


def test_a_silent_squad_stays_with_the_register() -> None:
    found = fit(calm(20, 120, 100), unhurt(), P)
    assert found.provisional and found.answers < LEAST_ANSWERS and found.applied(P).values == P.values


def test_a_young_squad_stays_with_the_register() -> None:
    assert fit(calm(20, 60, 40), unhurt(), P).provisional
