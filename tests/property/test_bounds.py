"""Whatever is answered, every number stays finite and inside its range."""

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as nps

from coaching.science import reserve, skin
from coaching.science.inputs import Course
from coaching.science.quantities import QUANTITIES, defaults
from coaching.science.versions import CURRENT, get
from tests.courses import calm, damage, entered

P, MODEL = defaults(), get(CURRENT)
SHAPE = (2, 25)


def maybe(values: st.SearchStrategy[float]) -> st.SearchStrategy[np.ndarray]:
    return nps.arrays(np.float64, SHAPE, elements=st.one_of(st.just(np.nan), values))


ratings = maybe(st.integers(0, 10).map(float))
loads = maybe(st.floats(0, 12))


@st.composite
def courses(draw: st.DrawFn) -> Course:
    course = calm(*SHAPE, origin=draw(st.integers(0, 24)))
    dose = np.zeros((*SHAPE, 3))
    dose[..., draw(st.integers(0, 2))] = draw(st.floats(0, 1))
    return replace(
        course, reserve_pt=draw(ratings), dampness_pt=draw(ratings), hardness_pt=draw(ratings),
        load_done_slu=draw(loads), load_plan_slu=draw(loads), dose_plan=dose, dose_done=dose * np.nan,
        limited=draw(maybe(st.sampled_from([0.0, 1.0]))), temp_c=draw(maybe(st.floats(-20, 45))),
        rh_pct=draw(maybe(st.floats(0, 100))), filed_done=draw(maybe(st.sampled_from([0.0, 1.0]))),
        half_step_pt=np.full(SHAPE, draw(st.sampled_from([0.5, 1.0]))),
    )  # fmt: skip


def inside(values: np.ndarray, low: float, high: float) -> bool:
    return bool(np.all(np.isfinite(values)) and np.all(values >= low) and np.all(values <= high))


@given(courses())
@settings(max_examples=20, deadline=None)
def test_states_stay_in_range(course: Course) -> None:
    state = skin.follow(course, P)
    wear = QUANTITIES["reserve_wear_pt_per_slu"].default
    assert inside(state.reserve.belief.mean[2], 0.1 * wear, 4 * wear)
    assert inside(state.dampness.belief.mean[2:], 0, 8)
    assert inside(state.reserve.belief.mean[:2], 0, 10) and inside(state.hardness.mean_pt, 0, 10)
    for log_weight in (state.reserve.log_weight, state.dampness.log_weight):
        assert np.allclose(np.exp(log_weight).sum(axis=0), 1, atol=1e-12)


@given(courses())
@settings(max_examples=20, deadline=None)
def test_estimates_stay_in_range(course: Course) -> None:
    estimate, _ = MODEL.filter(course)
    for name, values in vars(estimate).items():
        if name.endswith("mean_pt"):
            assert inside(values, 0, 10), name
        if name.endswith("sd_pt"):
            assert inside(values, 1e-6, 5), name
    assert inside(estimate.agent_effect_frac, 0, 1) and inside(estimate.no_response_frac, 0, 1)


@given(courses(), st.sampled_from([0.0, 1.0, np.nan]))
@settings(max_examples=12, deadline=None)
def test_chances_are_chances(course: Course, deep: float) -> None:
    episodes = damage(deep=deep, noticed=course.origin - 2, looked=course.origin)
    chance = MODEL.chance(course, episodes)
    assert all(inside(values, 0, 1) for values in vars(chance).values())
    assert (
        np.all(chance.low <= chance.p)
        and np.all(chance.p <= chance.high)
        and np.all(chance.p <= chance.p_skin)
    )
    targets = entered(24, 24, athletes=2, weight=np.array([[1.0], [0.0]]))
    entry = MODEL.entries(course, episodes, targets)
    assert all(
        inside(v, 0, 1)
        for v in (entry.p, entry.low, entry.high, entry.p_usual, entry.p_rest, entry.p_protected)
    )
    assert all(inside(v, -1, 1) for v in entry.parts.values())


def test_a_run_of_ends_of_the_scale_stays_finite() -> None:
    for end in (0.0, 10.0):
        course = calm(days=200, origin=199)
        course = replace(
            course, **{n: np.full((1, 200), end) for n in ("reserve_pt", "dampness_pt", "hardness_pt")}
        )
        state = skin.follow(course, P)
        assert inside(state.reserve.mean_pt, 0, 10) and inside(state.dampness.mean_pt, 0, 10)
        assert np.all(np.diagonal(state.reserve.belief.cov[..., 0, 0]) > 0)


def test_prior_weights_are_kept_without_answers() -> None:
    state = skin.follow(calm(3), P)
    assert np.allclose(
        np.exp(state.reserve.log_weight), np.array(reserve.RENEWAL_WEIGHTS)[:, None], atol=1e-12
    )
