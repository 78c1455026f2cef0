"""Cautions and hard stops hold in every arm of a trial: with the change and without it, on one hand or both, hidden or
not. The stops are restated from the wording of the rulebook's cautions (`planning_cast.stopped`), not from its code.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from django.utils.translation import override

from athletes.records.queries_trials import TrialRow
from coaching.rules import rulebook
from coaching.rules.case import Case
from coaching.rules.planning_values import Action
from coaching.rules.trial_questions import FORMS, HIDEABLE, Ask, outcomes_of, wrong
from coaching.rules.trial_start import PATCH_DAYS, Patch, not_today, stops
from coaching.usecases.trial_board import arm_of
from coaching.wording import trials
from tests import cast
from tests.planning_cast import TODAY, athlete, stopped

BOOK = rulebook.current()
PARTS, ATHLETES = 5, 300
SKIP, READ, PAIRS = 3, 5, 6


def ways(form: str) -> list[Ask]:
    """The form asked about in every way there is."""
    asks = [
        Ask(form, outcome, True, hands, hidden, PAIRS)
        for outcome in outcomes_of(form)
        for hands, hidden in ((False, False), (True, False), (False, True))
    ]
    found = [one for one in asks if not wrong(one)]
    assert any(one.hidden for one in found) == (form in HIDEABLE)
    return found


def case_on(seed: int) -> Case:
    """An invented athlete today."""
    return Case(athlete(seed), cast.numbers(), TODAY, BOOK)


def row_of(ask: Ask, at: int, seed: int) -> TrialRow:
    """A trial whose day `at` is today."""
    first, length = TODAY - timedelta(days=at), SKIP + READ
    starts = tuple(range(0, length * PAIRS * (1 if ask.hands else 2), length))
    return TrialRow(
        1, 1, BOOK.forms[ask.form].verb, ask.form, None, ask.outcome, True, ask.hands, ask.hidden, PAIRS, SKIP, READ,
        first, first + timedelta(days=starts[-1] + length - 1), starts, seed, 1.0, None,
    )  # fmt: skip


@pytest.mark.parametrize("part", range(PARTS))
def test_what_is_stopped_begins_in_no_way_and_is_left_out_in_every_arm(part: int) -> None:
    met = 0
    for seed in range(part, ATHLETES, PARTS):
        case = case_on(seed)
        for form in FORMS:
            rule = BOOK.forms[form]
            planted = Action(TODAY, "care", rule.verb, form, rule.parts[-1], None)
            if not list(stopped(case.facts, [planted])):
                continue
            met += 1
            clear = tuple(Patch(form, TODAY - timedelta(days=n), False) for n in (PATCH_DAYS, 0))
            for ask in ways(form):
                assert stops(case, ask, TODAY, clear, running=False), (seed, ask)
                assert not_today(case, ask, begun=True), (seed, ask)
    assert met > 50


@pytest.mark.parametrize("form", FORMS)
def test_the_arm_is_no_part_of_what_is_stopped(form: str) -> None:
    """Over every day of a trial, drawn anew for each athlete: the day with the change and the day without, the bottle
    that holds it and the one that does not, say the same stop in the same words.
    """
    rule, said = BOOK.forms[form], 0
    for seed in range(40):
        case = case_on(seed)
        for ask in ways(form):
            expected = not_today(case, ask, begun=True)
            for at in range(0, (SKIP + READ) * PAIRS, SKIP + READ):
                row = row_of(ask, at, seed)
                arm = arm_of(row, case, TODAY, {})
                assert arm is not None and arm.not_today == expected, (seed, ask, at)
                with override("en"):
                    words = trials.arm(row, arm)
                assert words.startswith("Not today: ") == bool(expected)
                said += bool(expected)
    assert said and rule.caution


def test_the_days_compared_are_of_both_arms() -> None:
    """Else the test above could not fail: a stop asked of one arm alone would be missing on the other's days."""
    ask = ways("aluminium salt")[0]
    case = case_on(3)
    case = replace(case, facts=replace(case.facts, sensitivities=frozenset({"aluminium"})))
    arms = [arm_of(row_of(ask, at, 5), case, TODAY, {}) for at in range(0, 96, 8)]
    uses = {arm.use for arm in arms if arm}
    assert uses == {(True, True), (False, False)} and all(arm and "allergy" in arm.not_today for arm in arms)
