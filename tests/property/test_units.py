"""The unit of load is a name: loads times c with wear divided by c leave every forecast as it was."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coaching.science.load import monotony, skin_load_slu, strain_au
from coaching.science.model import Model
from coaching.science.versions import VERSIONS
from tests.courses import told, unhurt

LOADS = ("load_usual_slu", "load_executed_extra_slu")


@given(st.integers(0, 2**32 - 1), st.sampled_from(sorted(VERSIONS)), st.sampled_from([60.0, 1 / 60, 7.0, 1e3]))
@settings(max_examples=8, deadline=None)
def test_scaling_the_unit_of_load(seed: int, version: str, c: float) -> None:
    p = VERSIONS[version].parameters
    course = told(np.random.default_rng(seed), 4)
    unplanned = np.where(np.arange(course.days) % 3 == 0, np.nan, course.load_plan_slu)
    course = replace(course, load_plan_slu=unplanned)  # the usual day stands in, and must scale too
    scaled = replace(course, load_done_slu=c * course.load_done_slu, load_plan_slu=c * course.load_plan_slu)
    q = p.changed(reserve_wear_pt_per_slu=p["reserve_wear_pt_per_slu"] / c, **{n: c * p[n] for n in LOADS})
    plain, other = (Model("test", own).chance(x, unhurt()) for own, x in ((p, course), (q, scaled)))
    assert np.allclose(plain.p, other.p, atol=1e-9) and np.allclose(
        plain.low, other.low, atol=1e-9
    )  # rounding


@pytest.mark.parametrize("c", [1e-3, 60.0, 1e6])
def test_monotony_has_no_unit(c: float) -> None:
    week = np.array([0.0, 420, 180, 480, 0, 600, 240])
    assert monotony(c * week).value == pytest.approx(monotony(week).value, rel=1e-12)
    assert monotony(week[::-1].copy()).value == pytest.approx(monotony(week).value, rel=1e-12)


@given(st.floats(0, 600), st.integers(0, 10), st.floats(0.5, 2.0))
def test_minutes_are_hours_and_effort_is_in_proportion(minutes: float, rpe: int, surface: float) -> None:
    """An hour at effort 5 on plastic is one; sixty times the minutes in hours is the same load."""
    none, one = np.array([np.nan]), np.ones(1)
    load = skin_load_slu(minutes * one, rpe * one, none, surface * one)[0]
    by_hours = (minutes / 60.0) * skin_load_slu(60.0 * one, rpe * one, none, surface * one)[0]
    assert load == pytest.approx(by_hours, rel=1e-12, abs=1e-12)
    assert load == pytest.approx(minutes / 60.0 * rpe / 5.0 * surface, rel=1e-12, abs=1e-12)
    assert strain_au(minutes * one, rpe * one)[0] == pytest.approx(minutes * rpe, rel=1e-12, abs=1e-12)
