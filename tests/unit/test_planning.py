"""Whole plans from facts: better than the fixed list, within what is fixed, away or near, and what small cases miss."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import combinations

import numpy as np
import pytest

from coaching.rules.facts import AwayFact, CareFact
from coaching.rules.planning_check import refused
from coaching.rules.planning_practice import shares
from coaching.rules.planning_values import Choices
from coaching.rules.planning_worth import keeps
from coaching.usecases import planning, planning_question
from tests import cast
from tests.planned_cast import CLIMBS, MODEL, TODAY, asked, case, damp_with_spray, planned, worn


@pytest.mark.parametrize("seed", range(6))
def test_a_plan_beats_the_fixed_list_and_doing_nothing_by_the_whole_model(seed: int) -> None:
    """Somebody worn by what is planned has much to win; the list of last days looks at nobody."""
    found = planned(worn(seed))
    (entry,) = found.entries
    assert found.proved and not found.dropped
    assert entry.p > entry.p_before and entry.p > entry.p_fixed_list
    assert entry.gain_low <= entry.gain <= entry.gain_high


def test_the_same_facts_have_the_same_plan() -> None:
    assert planned(worn(2)) == planned(worn(2))


def test_a_squad_is_planned_as_each_alone() -> None:
    facts = [replace(worn(seed), athlete_id=f"a{seed}") for seed in range(3)]
    cases = [case(one) for one in facts]
    together = [planning.plan(q, c) for q, c in zip(planning_question.questions(cases, MODEL), cases, strict=True)]
    assert together == [planned(one) for one in facts]


def test_a_fixed_session_stands() -> None:
    facts = worn(1)
    days = frozenset(one.day for one in facts.sessions if one.planned)
    cut = {one.day for one in planned(facts).actions if one.kind in ("rest", "half")}
    assert cut & days
    assert not {one.day for one in planned(facts, fixed=days).actions if one.kind in ("rest", "half")} & days


def test_away_days_take_no_file_no_agent_and_no_cut() -> None:
    """Travel from the second day on; cream may still go on."""
    first = TODAY + timedelta(days=2)
    facts = damp_with_spray(away=(AwayFact(first, first + timedelta(days=9), "travel"),))
    inside = [one for one in asked(facts).choices.actions if first <= one.day <= first + timedelta(days=9)]
    assert inside and {one.verb for one in inside if one.kind == "care"} == {"soften"}


def test_days_of_events_are_climbed_and_two_events_share_the_days_before() -> None:
    first, second = TODAY + timedelta(days=8), TODAY + timedelta(days=12)
    entries = (cast.entry(first, priority=1), cast.entry(second, event_id="e2", priority=3))
    found = asked(worn(1, event_days=12, entries=entries))
    days = {one.day for one in found.choices.actions}
    assert first not in days and any(first < day < second for day in days)
    goals = planning.problem(found).goals
    assert {goal.event_id: goal.weight for goal in goals} == {"e1": 360, "e2": 90}


def test_the_first_priority_is_served_before_the_third() -> None:
    """The same two events with their priorities exchanged: each is better off as the first."""
    first, second = TODAY + timedelta(days=6), TODAY + timedelta(days=8)

    def chances(one: int, other: int) -> dict[str, float]:
        entries = (cast.entry(first, priority=one), cast.entry(second, event_id="e2", priority=other))
        return {entry.event_id: entry.p for entry in planned(worn(3, event_days=8, entries=entries)).entries}

    early, late = chances(1, 3), chances(3, 1)
    assert early["e1"] >= late["e1"] - 1e-9 and late["e2"] >= early["e2"] - 1e-9


def test_an_agent_in_use_goes_on_to_its_last_day_and_brings_cream_and_filing() -> None:
    """Methenamine: the last use three days before, judgement of the rulebook; its skin is filed and creamed."""
    found = asked(damp_with_spray()).choices
    agents = [i for i, one in enumerate(found.actions) if one.form == "methenamine spray"]
    last = TODAY + timedelta(days=21 - 3)
    assert agents and max(found.actions[i].day for i in agents) == last
    for i in agents:
        brings = [{found.actions[j].verb for j in one.one_of} for one in found.needs if one.action == i]
        assert {"soften"} in brings and {"even"} in brings


def test_a_course_that_begins_too_late_is_not_offered() -> None:
    """Damp skin, never an agent, ten days: neither 14 days for methenamine nor 10 to watch aluminium are left."""
    facts = worn(1, event_days=9, skin_kind="damp")
    offered = asked(facts).choices
    barred = {one.action: one.one_of for one in offered.needs}
    agents = [i for i, one in enumerate(offered.actions) if one.verb == "dry"]
    assert all(i in barred for i in agents)
    assert not [one for one in planned(facts).actions if one.verb == "dry"]


def test_every_step_has_its_rule_its_caution_and_its_rank() -> None:
    found = planned(damp_with_spray())
    assert [step.rank for step in found.steps] == list(range(1, len(found.steps) + 1))
    assert all(step.rule and step.caution and step.source for step in found.steps)
    assert all(step.low <= step.gain <= step.high for step in found.steps)
    assert [step.gain for step in found.steps] == sorted((step.gain for step in found.steps), reverse=True)


def test_what_is_skipped_in_practice_counts_for_less() -> None:
    """Twelve evenings skipped, none done, beside four that count as usual: 4 x 0.85 of 16."""
    days = [TODAY - timedelta(days=n) for n in range(1, 13)]
    rows = tuple(CareFact(day, "skipped", "soften", "humectant cream") for day in days)
    found = shares(worn(1, care=rows), TODAY, 0.85)
    assert found["soften"] == pytest.approx(4 * 0.85 / 16) and found["even"] == pytest.approx(0.85)


def test_a_plan_in_the_athletes_care_is_refused_nothing() -> None:
    for facts in (worn(1), damp_with_spray()):
        found = asked(facts)
        assert not refused(found.case, planned(facts).actions)


def test_small_cases_are_searched_whole_by_the_whole_model() -> None:
    """All sets of ten actions of a five-day case: how much chance the planner leaves (regret). Judgement: 2 in 100."""
    facts = worn(4, event_days=5)
    found = asked(facts)
    few = min(10, len(found.choices.actions))
    small = Choices(found.choices.actions[-few:])
    found = replace(found, choices=small)
    asked_problem = planning.problem(found)
    sets = [s for n in range(few + 1) for s in combinations(range(few), n) if keeps(asked_problem, s)]
    told = planning.rescored(found, sets, [0] * len(sets))
    scores = planning.scores(found, sets, told.p)
    plans = [one.taken for one in planning.planning_solver.best(asked_problem, 20)]
    chosen = max(plans, key=lambda taken: scores[sets.index(taken)])
    kept = planning.polished(found, asked_problem, chosen)
    assert float(scores.max() - scores[sets.index(kept)]) <= 0.02


def test_of_plans_that_hold_alike_the_one_that_asks_less_is_taken() -> None:
    found = asked(worn(4, event_days=5))
    alike = np.full(2 * len(found.made.event_ids), 0.8)
    nothing, one = planning.scores(found, [(), (0,)], alike)
    assert one < nothing


def test_days_of_the_cast_hold_sessions() -> None:
    assert {one.day.weekday() for one in worn().sessions} <= set(CLIMBS)


def test_a_plan_that_changes_nothing_is_not_asked_for() -> None:
    """Of every plan that is made the chance of some event rises by half a point at the least; else there is none."""
    for seed in range(4):
        fresh = replace(worn(seed), sessions=())
        found = planned(fresh)
        assert bool(found.steps) == (max(one.gain for one in found.entries) >= planning.CLEAR_GAIN)
        assert (found.why_none == "nothing-better") == (not found.steps)
