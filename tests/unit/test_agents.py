"""What dose a day stands for, and the shape of the effect."""

import numpy as np
import pytest

from coaching.science import agents
from coaching.science.agents import effect_frac, half_effect_time, resolved_dose
from coaching.science.quantities import defaults
from tests.courses import ORIGIN, calm

P = defaults()


def test_effect_runs_from_none_to_full() -> None:
    assert effect_frac(np.array([0.0, 1.0]), 0.4) == pytest.approx([0, 1])
    assert half_effect_time(0.4) == pytest.approx(0.885, abs=0.001)


def test_unlogged_doses() -> None:
    course = calm()
    course.dose_plan[0, :, 0] = 1.0
    course.answered[0, 3] = True
    course.dose_done[0, 4] = 0.0
    dose = resolved_dose(course, course.dose_plan, P)[0, :, 0]
    assert dose[[2, 3, 4, ORIGIN + 5]] == pytest.approx([0.85, 0.5, 0.0, 0.85])


def test_without_plan_the_habit_goes_on_and_fades_into_nothing_unknown() -> None:
    course = calm()
    course.dose_plan[...] = np.nan
    assert np.all(resolved_dose(course, course.dose_plan, P) == 0)
    course.dose_done[0, ORIGIN - 3 : ORIGIN, 1] = 0.5
    dose = resolved_dose(course, course.dose_plan, P)[0, :, 1]
    assert dose[ORIGIN + 5] == pytest.approx(0.5) and dose[0] == 0


def test_habit_of_a_past_day_is_what_was_known_then() -> None:
    """The day before the origin knows nothing of the origin's dose; all days after know as much as the origin."""
    done = np.zeros((1, 6, 3))
    done[0, 3, 0], done[0, 4:] = 1.0, np.nan
    habit = agents.recent_habit(done, 3, P)[0, :, 0]
    assert np.all(habit[:3] == 0.0) and habit[3] > 0.1 and np.all(habit[3:] == habit[3])
