"""More planned load never raises the mean reserve, nor the chance, compared under the spread of the plan at
hand.
"""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as nps

from coaching.science.inputs import Floats
from coaching.science.versions import CURRENT, get
from tests.courses import DAYS, ORIGIN, entered, told, unhurt

MODEL = get(CURRENT)
extra = nps.arrays(np.float64, (3, DAYS), elements=st.floats(0, 6))
seeds = st.integers(0, 2**32 - 1)


def heavier(plan: Floats, added: Floats) -> Floats:
    return np.where(np.arange(DAYS) > ORIGIN, plan + added, plan)


@given(seeds, extra)
@settings(max_examples=15, deadline=None)
def test_more_load_never_raises_mean_reserve(seed: int, added: Floats) -> None:
    course = told(np.random.default_rng(seed), 3)
    more = told(np.random.default_rng(seed), 3)
    more = type(more)(**{**vars(more), "load_plan_slu": heavier(course.load_plan_slu, added)})
    before, after = MODEL.filter(course)[0], MODEL.filter(more)[0]
    assert np.all(after.reserve_mean_pt <= before.reserve_mean_pt + 1e-12)


@given(seeds, extra)
@settings(max_examples=15, deadline=None)
def test_more_load_never_raises_the_chance(seed: int, added: Floats) -> None:
    course = told(np.random.default_rng(seed), 3)
    _, state = MODEL.filter(course)
    base = MODEL.chance(course, unhurt(), state=state, load_plan_slu=course.load_plan_slu)
    more = MODEL.chance(course, unhurt(), state=state, load_plan_slu=heavier(course.load_plan_slu, added))
    for name in ("p", "low", "high", "p_skin"):
        assert np.all(getattr(more, name) <= getattr(base, name) + 1e-12), name


@given(seeds)
@settings(max_examples=6, deadline=None)
def test_rest_never_costs_readiness(seed: int) -> None:
    course = told(np.random.default_rng(seed), 3)
    entry = MODEL.entries(course, unhurt(), entered(50, 52, athletes=3))
    assert np.all(entry.p_rest >= entry.p - 1e-12)


@given(seeds)
@settings(max_examples=6, deadline=None)
def test_the_plan_itself_compared_is_the_plan(seed: int) -> None:
    course = told(np.random.default_rng(seed), 3)
    plain, same = (
        MODEL.chance(course, unhurt()),
        MODEL.chance(course, unhurt(), load_plan_slu=course.load_plan_slu),
    )
    assert np.allclose(plain.p, same.p, atol=1e-9)  # the same recursion, its terms added in another order
