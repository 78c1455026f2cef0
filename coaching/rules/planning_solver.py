"""The best plans of a problem by CP-SAT: one worker, a fixed seed and a limit in its own steps, so that the same
problem has the same plans on any machine.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from coaching.rules.planning_values import EventDay, Goal, Plan, Problem
from coaching.rules.planning_worth import worth

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

SEED = 7
LIMIT = 2.0
"""Deterministic seconds for one plan: far more than a proof takes on problems of this size."""
LINEARIZATION = 2
APART = 2
"""Plans that follow differ from each before them in so many actions at least, else they tell the coach nothing."""


def best(problem: Problem, count: int = 1, apart: int = APART) -> tuple[Plan, ...]:
    """Up to `count` plans, the best first; each differs from all before it in `apart` actions. Empty: none keeps."""
    model = _model(problem)
    found: list[Plan] = []
    hint: tuple[int, ...] = ()
    while len(found) < count:
        plan = _solved(problem, model, hint)
        if plan is None:
            break
        found.append(plan)
        hint = plan.taken
        _forbid(model, plan, apart)
    return tuple(found)


@dataclass(frozen=True)
class _Model:
    built: Any  # cp_model.CpModel; not all of its methods are typed
    x: Sequence[cp_model.IntVar]


def _model(problem: Problem) -> _Model:
    from ortools.sat.python import cp_model  # late: it brings much with it, and pages that plan nothing need none

    built = cp_model.CpModel()
    x = [built.new_bool_var(f"x{i}") for i in range(problem.actions)]
    for limit in problem.at_most:
        chosen = [x[i] for i in limit.which]
        if limit.most == 1:
            built.add_at_most_one(chosen)
        else:
            built.add(sum(chosen) <= limit.most)
    for one in problem.needs:
        built.add_bool_or([x[one.action].negated(), *(x[i] for i in one.one_of)])
    terms = [goal.weight * term for goal in problem.goals for term in _terms(built, x, problem, goal)]
    built.maximize(sum(terms) - sum(cost * x[i] for i, cost in enumerate(problem.costs)))
    return _Model(built, x)


def _terms(built: Any, x: Sequence[Any], problem: Problem, goal: Goal) -> list[Any]:
    """Margins that count: of each day of a trip, of the worst day of a competition."""
    margins = [_margin(built, x, problem, day) for day in goal.days]
    if goal.trip or len(margins) == 1:
        return margins
    reach = max(_reach(day) for day in goal.days)
    worst = built.new_int_var(-reach, reach, "worst")
    for one in margins:
        built.add(worst <= one)
    return [worst]


def _margin(built: Any, x: Sequence[Any], problem: Problem, day: EventDay) -> Any:
    reach, bounds = _reach(day) + 10 * max(1, abs(_furthest(problem))), problem.bounds
    reserve = built.new_int_var(-reach, bounds.plenty, "reserve")
    built.add(reserve <= day.reserve + _sum(x, day.adds_reserve))
    outside = built.new_int_var(0, reach, "outside")
    damp = day.dampness + _sum(x, day.adds_dampness)
    built.add(outside >= damp - bounds.damp_above)
    built.add(outside >= bounds.dry_below - damp)
    glassy = built.new_int_var(0, reach, "glassy")
    built.add(glassy >= day.hardness + _sum(x, day.adds_hardness) - bounds.glassy_above)
    return reserve - outside - glassy


def _furthest(problem: Problem) -> int:
    """The furthest bound from nil."""
    bounds = problem.bounds
    return max(abs(v) for v in (bounds.plenty, bounds.dry_below, bounds.damp_above, bounds.glassy_above))


def _sum(x: Sequence[Any], adds: Sequence[int]) -> Any:
    return sum(add * x[i] for i, add in enumerate(adds) if add)


def _reach(day: EventDay) -> int:
    """Further than any margin of the day can lie from nil."""
    values = (day.reserve, day.dampness, day.hardness, *day.adds_reserve, *day.adds_dampness, *day.adds_hardness)
    return 20_000 + 3 * sum(abs(v) for v in values)


def _solved(problem: Problem, model: _Model, hint: Sequence[int]) -> Plan | None:
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = SEED
    solver.parameters.linearization_level = LINEARIZATION
    solver.parameters.max_deterministic_time = LIMIT
    model.built.clear_hints()
    for i, var in enumerate(model.x):
        model.built.add_hint(var, i in hint)
    status = solver.solve(model.built)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    taken = tuple(i for i, var in enumerate(model.x) if solver.boolean_value(var))
    return Plan(taken, worth(problem, taken), proved=status == cp_model.OPTIMAL)


def _forbid(model: _Model, plan: Plan, apart: int) -> None:
    """Shut out the plan and all that differ from it in fewer than `apart` actions."""
    taken = set(plan.taken)
    differs = [var.negated() if i in taken else var for i, var in enumerate(model.x)]
    if apart == 1 or len(differs) < apart:
        model.built.add_bool_or(differs)
    else:
        model.built.add(sum(differs) >= apart)
