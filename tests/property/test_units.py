"""The unit of load is a name: loads times c with wear divided by c leave every forecast as it was."""

from dataclasses import replace

import numpy as np
import pytest

from coaching.science.load import monotony
from coaching.science.model import Model
from coaching.science.quantities import defaults
from tests.courses import told, unhurt

P = defaults()
LOADS = ("load_usual_slu", "load_executed_extra_slu")


@pytest.mark.parametrize("c", [60.0, 1 / 60, 7.0])
def test_scaling_the_unit_of_load(c: float) -> None:
    course = told(np.random.default_rng(5), 4)
    unplanned = np.where(np.arange(course.days) % 3 == 0, np.nan, course.load_plan_slu)
    course = replace(course, load_plan_slu=unplanned)  # the usual day stands in, and must scale too
    scaled = replace(course, load_done_slu=c * course.load_done_slu, load_plan_slu=c * course.load_plan_slu)
    q = P.changed(reserve_wear_pt_per_slu=P["reserve_wear_pt_per_slu"] / c, **{n: c * P[n] for n in LOADS})
    plain, other = (Model("test", p).chance(x, unhurt()) for p, x in ((P, course), (q, scaled)))
    assert np.allclose(plain.p, other.p, atol=1e-9) and np.allclose(
        plain.low, other.low, atol=1e-9
    )  # rounding


@pytest.mark.parametrize("c", [1e-3, 60.0, 1e6])
def test_monotony_has_no_unit(c: float) -> None:
    week = np.array([0.0, 420, 180, 480, 0, 600, 240])
    assert monotony(c * week).value == pytest.approx(monotony(week).value, rel=1e-12)
    assert monotony(week[::-1].copy()).value == pytest.approx(monotony(week).value, rel=1e-12)
