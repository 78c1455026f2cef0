"""More of an agent never raises mean dampness, and its effect grows with the dose."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as nps

from coaching.science import skin
from coaching.science.agents import effect_course
from coaching.science.inputs import Floats
from coaching.science.quantities import defaults
from coaching.science.versions import CURRENT, get
from tests.courses import DAYS, ORIGIN, calm, told

MODEL, P = get(CURRENT), defaults()
doses = nps.arrays(np.float64, (1, 30, 3), elements=st.floats(0, 0.5))


@given(doses, doses)
@settings(max_examples=40, deadline=None)
def test_effect_grows_with_the_dose(dose: Floats, added: Floats) -> None:
    assert np.all(effect_course(dose + added, 1.0, P) >= effect_course(dose, 1.0, P) - 1e-12)


@given(st.integers(0, 2**32 - 1), st.integers(0, 2), st.floats(0.05, 0.5))
@settings(max_examples=10, deadline=None)
def test_more_dose_ahead_never_raises_dampness(seed: int, ingredient: int, added: float) -> None:
    course = told(np.random.default_rng(seed), 3)
    plan = course.dose_plan.copy()
    plan[:, ORIGIN + 1 : DAYS, ingredient] = np.minimum(plan[:, ORIGIN + 1 : DAYS, ingredient] + added, 1.0)
    more = type(course)(**{**vars(course), "dose_plan": plan})
    before, after = MODEL.filter(course)[0], MODEL.filter(more)[0]
    assert np.all(after.dampness_mean_pt <= before.dampness_mean_pt + 1e-12)


def test_ratings_that_rise_under_an_agent_do_not_turn_its_effect_around() -> None:
    """Without a floor the filter would learn that the agent makes this athlete damper."""
    past = np.arange(DAYS) <= ORIGIN
    rating = np.where(np.arange(DAYS) < 20, 1.0, 10.0) * np.ones((1, DAYS))
    dose = np.zeros((1, DAYS, 3))
    dose[:, 15:, 0] = 1.0
    course = calm(dampness_pt=np.where(past, rating, np.nan), dose_plan=dose)
    more = calm(dampness_pt=course.dampness_pt, dose_plan=np.minimum(dose + 0.5 * ~past[None, :, None], 1.0))
    less = calm(dampness_pt=course.dampness_pt, dose_plan=dose * past[None, :, None])
    ahead = [MODEL.filter(c)[0].dampness_mean_pt[0, ORIGIN:] for c in (less, course, more)]
    assert np.all(ahead[0] >= ahead[1] - 1e-12) and np.all(ahead[1] >= ahead[2] - 1e-12)
    assert np.all(skin.follow(course, P).dampness.belief.mean[2:] >= 0)
