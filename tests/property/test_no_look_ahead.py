"""Nothing observed right of the origin reaches a forecast; a late answer counts as if it had come in time."""

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from coaching.science.inputs import Course
from coaching.science.versions import CURRENT, get
from tests.courses import ORIGIN, entered, told, unhurt

MODEL = get(CURRENT)
OBSERVED = ("reserve_pt", "dampness_pt", "hardness_pt", "limited", "load_done_slu", "strain_done_au",
            "dose_done", "filed_done", "moist_done", "answered")  # fmt: skip


def with_later_facts(course: Course, rng: np.random.Generator) -> Course:
    changed = {}
    for name in OBSERVED:
        values = getattr(course, name).copy()
        later = values[:, ORIGIN + 1 :]
        later[...] = rng.integers(0, 2, later.shape)
        changed[name] = values
    return replace(course, **changed)


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=8, deadline=None)
def test_later_facts_change_nothing(seed: int) -> None:
    rng = np.random.default_rng(seed)
    course = told(rng, 3)
    other = with_later_facts(course, rng)
    targets = entered(50, 52, athletes=3)
    for run in (lambda c: MODEL.filter(c)[0], lambda c: MODEL.chance(c, unhurt())):
        seen, changed = vars(run(course)), vars(run(other))
        for name, values in seen.items():
            assert np.array_equal(values, changed[name]), name
    a, b = MODEL.entries(course, unhurt(), targets), MODEL.entries(other, unhurt(), targets)
    assert np.array_equal(a.p, b.p) and all(np.array_equal(a.parts[k], b.parts[k]) for k in a.parts)


@given(st.integers(0, 2**32 - 1), st.integers(1, 20))
@settings(max_examples=5, deadline=None)
def test_an_earlier_origin_sees_the_same_past(seed: int, back: int) -> None:
    """The state on a day does not depend on how much later the assessment is made."""
    course = told(np.random.default_rng(seed), 3)
    later, earlier = MODEL.filter(course)[0], MODEL.filter(replace(course, origin=ORIGIN - back))[0]
    upto = slice(0, ORIGIN - back + 1)
    assert np.allclose(later.reserve_mean_pt[:, upto], earlier.reserve_mean_pt[:, upto], atol=1e-12)
    assert np.allclose(later.dampness_sd_pt[:, upto], earlier.dampness_sd_pt[:, upto], atol=1e-12)
