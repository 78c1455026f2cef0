"""The solver finds the best plan: against every set there is, against a second solver, and the same each time."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from coaching.rules.planning_solver import best
from coaching.rules.planning_values import AtMost, Needs
from coaching.rules.planning_worth import keeps, worth
from tests.planning_cast import exhaustive, linear, problem


@pytest.mark.parametrize("seed", range(25))
def test_no_set_of_actions_is_worth_more_than_the_first_plan(seed: int) -> None:
    """Exhaustive search over all 1 024 sets; whole numbers, so equality is exact."""
    asked = problem(seed, actions=10)
    (plan,) = best(asked)
    assert plan.proved and keeps(asked, plan.taken)
    assert plan.worth == worth(asked, plan.taken) == exhaustive(asked)


def test_a_second_solver_agrees_on_two_hundred_problems() -> None:
    """HiGHS through scipy.optimize.milp, from a statement of its own. Worths reach 10^7 and its answers are floats
    within 1e-6 of whole numbers, so a difference of 20 is allowed and no more.
    """
    for seed in range(200):
        asked = problem(1000 + seed, actions=24, limits=12)
        (plan,) = best(asked)
        assert plan.proved
        assert abs(plan.worth - linear(asked)) <= 20, seed


@pytest.mark.parametrize("seed", range(20))
def test_adding_a_limit_never_improves_the_best(seed: int) -> None:
    asked, rng = problem(seed, actions=14), random.Random(seed)
    (before,) = best(asked)
    limit = AtMost(tuple(sorted(rng.sample(range(14), 4))), rng.randint(0, 2))
    (tighter,) = best(replace(asked, at_most=(*asked.at_most, limit)))
    (bound,) = best(replace(asked, needs=(*asked.needs, Needs(rng.randrange(14), ()))))
    assert tighter.worth <= before.worth and bound.worth <= before.worth


def test_the_same_problem_has_the_same_plans() -> None:
    asked = problem(5, actions=24, limits=10)
    assert best(asked, count=20) == best(asked, count=20)


def test_twenty_plans_follow_by_worth_and_differ_by_two_actions() -> None:
    plans = best(problem(6, actions=16), count=20)
    assert len(plans) == 20
    worths = [plan.worth for plan in plans]
    assert worths == sorted(worths, reverse=True)
    sets = [set(plan.taken) for plan in plans]
    assert all(len(a ^ b) >= 2 for n, a in enumerate(sets) for b in sets[:n])


def test_a_plan_out_of_reach_is_none() -> None:
    """Of two actions only one set of each distance is left; then there is no further plan."""
    asked = replace(problem(1, actions=10), actions=10, at_most=(AtMost(tuple(range(10)), 0),), needs=())
    assert [plan.taken for plan in best(asked, count=5)] == [()]
