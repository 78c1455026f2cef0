"""Invented athletes with a past, a planned fortnight and an event, for tests of whole plans."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from coaching.rules import rulebook
from coaching.rules.case import Case
from coaching.rules.facts import AthleteFacts, CareFact, CheckInFact, SessionFact
from coaching.science import versions
from coaching.usecases import figuring
from coaching.usecases.planned import Planned
from coaching.usecases.planning import plan
from coaching.usecases.planning_question import Question, questions
from tests import cast

TODAY = date(2027, 3, 11)
MODEL = versions.get(versions.CURRENT)
CLIMBS = (1, 3, 5, 6)
"""Days of the week with a session, Monday 0."""


def worn(seed: int = 1, event_days: int = 10, **changes: Any) -> AthleteFacts:
    """Somebody whose planned sessions wear more than grows back by the event."""
    rng = random.Random(seed)
    past = [TODAY - timedelta(days=n) for n in range(40, 0, -1)]
    ahead = [TODAY + timedelta(days=n) for n in range(1, event_days)]
    reserve, damp = rng.choice((4, 5, 6)), rng.choice((3, 5, 7))
    ups = (-1, 0, 0, 1)
    checkins = tuple(CheckInFact(d, reserve=reserve + rng.choice(ups), dampness=damp, hardness=4) for d in past)
    done = [SessionFact(d, False, 90, 7, "plastic") for d in past if d.weekday() in CLIMBS]
    planned = [SessionFact(d, True, 120, 8, "fresh plastic") for d in ahead if d.weekday() in CLIMBS]
    first = TODAY + timedelta(days=event_days)
    facts = cast.athlete(TODAY, checkins=checkins, sessions=(*done, *planned), entries=(cast.entry(first, priority=1),))
    return replace(facts, **changes)


def damp_with_spray(**changes: Any) -> AthleteFacts:
    """Damp skin that has borne a spray lately, with three weeks to the event."""
    facts = worn(event_days=21, skin_kind="damp")
    days = [TODAY - timedelta(days=n) for n in (24, 22, 20, 18, 16, 14, 12)]
    dried = [day + timedelta(days=n) for day in days for n in range(3, 10)]
    checkins = tuple(replace(one, reserve=8, dampness=4 if one.day in dried else 8) for one in facts.checkins)
    sessions = tuple(replace(one, minutes=45, rpe=5) for one in facts.sessions)
    care = tuple(CareFact(d, "done", "dry", "methenamine spray", strength="strong", part="night", uses=2) for d in days)
    return replace(facts, checkins=checkins, sessions=sessions, care=care, **changes)


def damp_with_two_alike(**changes: Any) -> AthleteFacts:
    """Damp skin that has borne a spray and a liquid of one agent, the same evenings each: the model finds them alike.

    A plan of cream is known, so that no agent is expected that nobody planned.
    """
    facts = damp_with_spray()
    fell = {25: 9, 21: 7, 9: 5, 6: 6, 0: 8}  # days ago, from which on backwards: dampness

    def damp(day: date) -> int:
        return next(value for least, value in fell.items() if (TODAY - day).days >= least)

    checkins = tuple(replace(one, reserve=9, dampness=damp(one.day)) for one in facts.checkins)
    forms = ("methenamine spray", "methenamine liquid")
    days = [TODAY - timedelta(days=n) for n in range(29, 10, -1)]
    care = [CareFact(day, "done", "dry", form, "strong", "night", 1) for day in days for form in forms]
    creams = [TODAY + timedelta(days=n) for n in (-30, 1, 20)]
    care += [CareFact(day, "planned", "soften", "humectant cream", part="night") for day in creams]
    return replace(facts, checkins=checkins, care=tuple(care), **changes)


def case(facts: AthleteFacts) -> Case:
    ((numbers, _),) = figuring.figures([facts], TODAY, MODEL, (180, 42))
    return Case(facts, numbers, TODAY, rulebook.current())


def asked(facts: AthleteFacts, fixed: frozenset[date] = frozenset()) -> Question:
    (found,) = questions([case(facts)], MODEL, {facts.athlete_id: fixed})
    assert found is not None
    return found


def planned(facts: AthleteFacts, fixed: frozenset[date] = frozenset(), count: int = 20) -> Planned:
    return plan(asked(facts, fixed), case(facts), count)
