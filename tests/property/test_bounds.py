"""Whatever is answered, every number stays finite and inside its range."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as nps

from coaching.science import dampness, reserve, skin
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
        assert np.allclose(np.exp(log_weight).sum(axis=0), 1, rtol=0, atol=1e-12)


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


@given(courses(), st.sampled_from([0.0, 10.0]), st.integers(3, 150))
@settings(max_examples=10, deadline=None)
def test_a_run_of_ends_of_the_scale_stays_finite_and_goes_to_that_end(course: Course, end: float, days: int) -> None:
    """Whatever was said before, then one end day after day."""
    whole = calm(2, 25 + days, 24 + days)
    names = ("reserve_pt", "dampness_pt", "hardness_pt")
    run = np.full((2, days), end)
    said = {name: np.concatenate([getattr(course, name), run], axis=1) for name in names}
    state = skin.follow(replace(whole, **said), P)
    for track in (state.reserve, state.dampness):
        assert inside(track.mean_pt, 0, 10)
        assert np.all(np.diagonal(track.belief.cov).reshape(-1) >= 0)
        nearer = abs(track.mean_pt[-1] - end) <= abs(track.mean_pt[25] - end) + 0.5  # a day's own noise and load
        assert np.all(nearer)
    assert inside(state.hardness.mean_pt, 0, 10)


def test_prior_weights_are_kept_without_answers() -> None:
    """Of renewal times, and of onset and wash-out with the share that does not respond, whatever agent is planned."""
    dose = np.full((3, 60, 3), 0.5)
    state = skin.follow(calm(3, dose_plan=dose), P)
    of_reserve = np.array(reserve.RENEWAL_WEIGHTS)[:, None]
    assert np.allclose(np.exp(state.reserve.log_weight), of_reserve, rtol=0, atol=1e-12)
    of_dampness = np.exp(dampness.start(3, P)[1])
    assert np.allclose(np.exp(state.dampness.log_weight), of_dampness, rtol=0, atol=1e-12)
    assert of_dampness[:, 0].sum() == pytest.approx(1.0, abs=1e-12)
