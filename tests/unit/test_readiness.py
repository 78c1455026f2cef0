"""Chance of a day: enough reserve, suitable dampness, not glassy, nothing unsound."""

import numpy as np
import pytest
from scipy import integrate, stats

from coaching.science.panel import Panel
from coaching.science.quantities import defaults
from coaching.science.readiness import at_nodes, expected_chance, shifted, soft_enough, suitable_dampness
from coaching.science.versions import CURRENT, get
from tests.courses import DAYS, ORIGIN, calm, damage, unhurt

P, MODEL = defaults(), get(CURRENT)


def panel(reserve: float = 6.0, dampness: float = 4.0, hardness: float = 4.0, known: float = 1.0) -> Panel:
    def one(value: float) -> np.ndarray:
        return np.full((1, 1), value)

    means = [one(reserve), one(known), one(0.3), one(dampness), one(known), one(0.3), one(hardness), one(0.5)]
    return Panel(*means, shift_logit=np.zeros((60, 1)))


def test_dampness_has_two_sides() -> None:
    chance = [float(suitable_dampness(panel(dampness=d), 0.0, P)[0, 0]) for d in (0.0, 4.0, 9.0)]
    assert chance[1] > 0.95 and max(chance[0], chance[2]) < 0.2


def test_glassy_skin_slips() -> None:
    assert soft_enough(panel(hardness=10.0), P)[0, 0] < 0.1 < 0.95 < soft_enough(panel(hardness=3.0), P)[0, 0]


@pytest.mark.parametrize("reserve", [2.0, 3.6, 5.0, 7.0])
def test_mean_over_the_points_equals_the_integral(reserve: float) -> None:
    """General quadrature over the unknown reserve, dampness set to suit and hardness soft."""
    got = at_nodes(panel(reserve=reserve, hardness=0.0), None, P).mean()
    noise = np.hypot(np.sqrt(0.3), P["session_reserve_sd_pt"])

    def enough(z: float) -> float:
        level = reserve + z * np.hypot(1.0, P.spread("enough_reserve_pt"))
        return float(stats.norm.pdf(z) * stats.norm.cdf((level - P["enough_reserve_pt"]) / noise))

    suits = at_nodes(panel(reserve=30.0, hardness=0.0), None, P).mean()
    assert got == pytest.approx(integrate.quad(enough, -8, 8)[0] * suits, abs=0.01)  # sixty points


@pytest.mark.parametrize("dampness", [1.0, 4.0, 6.0, 8.0])
def test_closed_form_before_any_shift_equals_the_mean_over_the_points(dampness: float) -> None:
    one = panel(dampness=dampness)
    # Sixty points, and the two sides of dampness taken apart: two in a hundred.
    assert at_nodes(one, None, P).mean() == pytest.approx(float(expected_chance(one, P)[0, 0]), abs=0.02)


def test_a_shift_of_the_odds() -> None:
    assert shifted(np.array([0.5]), np.log(3.0))[0] == pytest.approx(0.75)
    assert shifted(np.array([0.0, 1.0]), np.array([2.0])) == pytest.approx([0, 1])


def test_damage_stands_from_the_origin_on_and_past_days_keep_theirs() -> None:
    course = calm()
    hurt, whole = MODEL.chance(course, damage(deep=1.0)), MODEL.chance(course, unhurt())
    assert np.array_equal(hurt.p[:, :ORIGIN], whole.p[:, :ORIGIN])
    # On the day itself only what was recorded as far worse than it is can be climbed on (judgement).
    assert 0 < hurt.p[0, ORIGIN] < P["healing_misread_share"] * whole.p[0, ORIGIN]
    assert np.array_equal(hurt.p_skin, whole.p)


def test_a_damage_factor_may_be_given() -> None:
    factor = np.full((1, DAYS), 0.5)
    whole, half = MODEL.chance(calm(), unhurt()), MODEL.chance(calm(), unhurt(), damage_factor=factor)
    assert np.allclose(half.p, 0.5 * whole.p)


def test_more_of_everything_good_is_more() -> None:
    chance = [at_nodes(panel(reserve=r), None, P).mean() for r in (1.0, 3.0, 5.0, 7.0, 9.0)]
    assert chance == sorted(chance) and chance[0] < 0.1 and chance[-1] > 0.9
