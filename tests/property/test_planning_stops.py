"""No plan breaks a hard stop or meets a refusal, whoever the athlete is; planted violations are caught.

TENPADS_PLANS sets the number of athletes: 500 unless said, 10000 on demand.
"""

from __future__ import annotations

import os
from dataclasses import replace
from datetime import timedelta

import pytest

from coaching.rules.planning_check import refused, rows
from coaching.rules.planning_solver import best
from coaching.rules.planning_values import Action
from coaching.rules.planning_worth import keeps
from tests.planning_cast import AGENTS, TODAY, athlete, case_of, choices_of, problem_of, stopped

ATHLETES = int(os.environ.get("TENPADS_PLANS", "500"))
PARTS = 10


@pytest.mark.parametrize("part", range(PARTS))
def test_no_plan_breaks_a_hard_stop(part: int) -> None:
    planned = 0
    for seed in range(part, ATHLETES, PARTS):
        case = case_of(seed)
        found = choices_of(case)
        if not found.actions:
            continue
        asked = problem_of(found, seed)
        for plan in best(asked, count=2):
            actions = [found.actions[i] for i in plan.taken]
            assert keeps(asked, plan.taken), seed
            assert not refused(case, actions), (seed, actions, refused(case, actions))
            assert not list(stopped(case.facts, actions)), (seed, actions)
            planned += bool(actions)
    assert planned > ATHLETES // PARTS // 2


def test_medical_stops_leave_nothing_to_plan() -> None:
    flagged = [case_of(seed) for seed in range(300) if any(one.red_flags for one in athlete(seed).checkins)]
    assert flagged
    assert not any(choices_of(case).actions for case in flagged if case.medical_stop)


@pytest.mark.parametrize(
    "change",
    [
        {"sensitivities": frozenset({"formaldehyde", "aluminium"})},
        {"age_years": 11},
        {"age_years": 15, "signoffs": ()},
        {"contraindications": frozenset({"pregnancy", "other"}), "signoffs": ()},
    ],
    ids=["allergy", "under 12", "no sign-off", "medical"],
)
def test_a_planted_agent_is_caught_by_the_rulebook_and_by_the_restated_stops(change: dict[str, object]) -> None:
    """Each planted agent is forbidden to each of these athletes, and both judges say so."""
    base = case_of(3)
    facts = replace(base.facts, care=(), episodes=(), age_years=24, checkins=base.facts.checkins[:0], skin_kind="damp")
    case = replace(base, facts=replace(facts, **change))
    day = TODAY + timedelta(days=1)
    planted = [Action(day, "care", "dry", form, "night") for form in ("methenamine spray", "aluminium salt")]
    for one in planted:
        assert any(found.hard for found in refused(case, [one])), one
    assert list(stopped(case.facts, planted[:1]))


def test_a_planted_second_agent_and_a_planted_late_first_use_are_caught() -> None:
    base = case_of(3)
    first = TODAY + timedelta(days=4)
    entries = tuple(replace(one, first_day=first, last_day=first) for one in base.facts.entries[:1])
    facts = replace(base.facts, care=(), episodes=(), age_years=24, contraindications=frozenset(), entries=entries)
    case = replace(base, facts=replace(facts, sensitivities=frozenset(), skin_kind="damp"))
    day = TODAY + timedelta(days=1)
    planted = [Action(day, "care", "dry", form, "night") for form in ("methenamine spray", "aluminium salt")]
    classes = {found.class_ for found in refused(case, planted)}
    assert {"timing", "clash"} <= classes


def test_every_agent_that_may_stand_is_an_agent_of_the_restated_stops() -> None:
    """The restated stops know all agents of the rulebook, or they would let one through unseen."""
    book = case_of(0).book
    assert {name for name in book.forms if book.is_agent(name)} == set(AGENTS)


def test_rows_of_a_plan_are_planned_care() -> None:
    one = Action(TODAY, "half", "rest", "shorter session", "day")
    assert rows([one]) == ()
