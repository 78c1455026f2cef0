"""Every plan is asked of the rulebook once more, by the same refusals that judge what people plan."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from coaching.rules import refusals
from coaching.rules.case import Case
from coaching.rules.conclusions import Refusal
from coaching.rules.facts import CareFact
from coaching.rules.planning_choices import REST
from coaching.rules.planning_values import Action


def rows(actions: Iterable[Action]) -> tuple[CareFact, ...]:
    """Planned care of a plan; a shorter session is no care."""
    return tuple(
        CareFact(one.day, "planned", one.verb, one.form, one.strength, one.part)
        for one in actions
        if one.kind == "care" or one.form == REST
    )


def refused(case: Case, actions: Sequence[Action]) -> tuple[Refusal, ...]:
    """What the rulebook refuses of the athlete's planned care once the plan stands in it; empty for a sound plan.

    `case` is lawful: what was refused before the plan is no longer in it.
    """
    care = (*case.facts.care, *rows(actions))
    planned = replace(case, facts=replace(case.facts, care=care))
    return refusals.refused(planned, refusals.verdicts(planned))
