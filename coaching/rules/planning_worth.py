"""What a set of actions is worth, and whether it keeps to the limits: the definition that every solver must meet."""

from __future__ import annotations

from collections.abc import Collection

from coaching.rules.planning_values import Bounds, EventDay, Goal, Problem


def worth(problem: Problem, taken: Collection[int]) -> int:
    """Margins of the events by their weight, less what the actions cost."""
    goals = sum(goal.weight * _of_goal(goal, taken, problem.bounds) for goal in problem.goals)
    return goals - sum(problem.costs[i] for i in taken)


def keeps(problem: Problem, taken: Collection[int]) -> bool:
    """Whether no limit between actions is broken."""
    chosen = set(taken)
    few = all(len(chosen.intersection(limit.which)) <= limit.most for limit in problem.at_most)
    return few and all(one.action not in chosen or chosen.intersection(one.one_of) for one in problem.needs)


def margin(day: EventDay, taken: Collection[int], bounds: Bounds) -> int:
    """Reserve above the limit up to plenty, less what dampness lies outside its band and hardness above its own."""
    reserve = day.reserve + sum(day.adds_reserve[i] for i in taken)
    dampness = day.dampness + sum(day.adds_dampness[i] for i in taken)
    hardness = day.hardness + sum(day.adds_hardness[i] for i in taken)
    outside = max(dampness - bounds.damp_above, bounds.dry_below - dampness, 0)
    return min(reserve, bounds.plenty) - outside - max(hardness - bounds.glassy_above, 0)


def _of_goal(goal: Goal, taken: Collection[int], bounds: Bounds) -> int:
    margins = [margin(day, taken, bounds) for day in goal.days]
    return sum(margins) if goal.trip else min(margins)
