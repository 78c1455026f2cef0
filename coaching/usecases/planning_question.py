"""What a plan is asked of: the case of one athlete with what the model computes once for all of its plans."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

import numpy as np

from athletes.records.histories_arrays import Arrays, arrays
from coaching.rules.case import Case
from coaching.rules.facts import AthleteFacts, EntryFact
from coaching.rules.planning_choices import Wishes, choices, lawful, next_entries
from coaching.rules.planning_practice import shares
from coaching.rules.planning_values import Action, Choices
from coaching.rules.trial_standing import OwnWord, own_words
from coaching.rules.trial_verdict import WORKS
from coaching.science.footing import Footing
from coaching.science.inputs import Floats
from coaching.science.model import Model
from coaching.science.skin import State
from coaching.usecases import window

WEIGHTS: Mapping[int | None, int] = {1: 360, 2: 180, 3: 90, None: 180}
"""Weight of an event by its priority; the days of a trip share it. Judgement: each priority counts twice the next."""
CARE_COST_PT: Mapping[str, float] = {"dry": 0.05, "soften": 0.02, "even": 0.05}
SHOWN_SHARE = 0.8
"""An evening of what worked in a trial of the athlete's own is asked for more readily: of two that the model finds
alike that one is taken, and no chance is changed by it (judgement; no registered model reads it).
"""
CUT_COST_PT_PER_SLU = 0.15
"""What an evening of care, or load left out, must bring in margin to be worth asking for (judgement)."""
LEAST_LOAD_SLU = 0.05
HALF = 0.5
NOTHING_FIXED: Mapping[str, frozenset[date]] = {}


@dataclass(frozen=True)
class Question:
    """One athlete's case with everything that is computed once for all of its plans."""

    case: Case  # lawful
    made: Arrays
    state: State
    model: Model
    share: Mapping[str, float]
    choices: Choices
    entries: tuple[EntryFact, ...]

    @property
    def days(self) -> int:
        return self.made.course.days

    def column(self, day: date) -> int:
        return day.toordinal() - self.made.course.first_ordinal

    @cached_property
    def load_slu(self) -> Floats:
        """Load expected on each day, (T,)."""
        return self.state.reserve_drive.load_slu[:, 0]

    @cached_property
    def costs_pt(self) -> tuple[float, ...]:
        return tuple(self._cost_pt(one) for one in self.choices.actions)

    @cached_property
    def own_words(self) -> Mapping[str, OwnWord]:
        """What trials of the athlete's own say, by form."""
        return own_words(self.case.facts.tried)

    def _cost_pt(self, one: Action) -> float:
        if one.kind == "care":
            word = self.own_words.get(one.form)
            return CARE_COST_PT[one.verb] * (SHOWN_SHARE if word and word.code == WORKS else 1.0)
        cut = 1.0 if one.kind == "rest" else HALF
        return CUT_COST_PT_PER_SLU * cut * float(self.load_slu[self.column(one.day)])

    def unhurt(self, rows: int) -> Floats:
        """No damage matters: margins are of the skin alone."""
        return np.zeros((rows, self.made.episodes.athlete.shape[0]))

    def weight(self, entry: EntryFact) -> int:
        return WEIGHTS[entry.priority]


def questions(
    cases: Sequence[Case], model: Model, fixed: Mapping[str, frozenset[date]] = NOTHING_FIXED
) -> list[Question | None]:
    """The question of each case, all of one day; None where no event lies near enough ahead.

    The past of all is filtered at once and each goes on from this morning by itself. `fixed` are, by athlete, days
    whose sessions stand as they are.
    """
    near = [_near(one) for one in cases]
    there = [one for one in near if one is not None]
    footings = iter(_footings([one.facts for one in there], there[0].as_of, model)) if there else iter(())
    return [
        None if one is None else _question(one, next(footings), model, fixed.get(one.facts.athlete_id, frozenset()))
        for one in near
    ]


def _near(case: Case) -> Case | None:
    """The lawful case with the events that are planned for."""
    found = lawful(case)
    entries = next_entries(found)
    return replace(found, facts=replace(found.facts, entries=entries)) if entries else None


def _footings(facts: Sequence[AthleteFacts], as_of: date, model: Model) -> list[Footing]:
    """What the filters hold of each athlete this morning."""
    made = arrays(facts, as_of, past_days=window.past_days(as_of), ahead_days=1)
    at = made.course.origin
    _, state = model.filter(made.course, keep=at)
    found = model.footing(made.course, made.episodes, state, at)
    return [found.rows([row]) for row in range(len(facts))]


def _question(near: Case, footing: Footing, model: Model, fixed: frozenset[date]) -> Question:
    facts, as_of = near.facts, near.as_of
    last = max(one.last_day for one in facts.entries)
    made = arrays([facts], as_of, past_days=window.past_days(as_of), ahead_days=(last - as_of).days)
    _, state = model.filter(made.course, footing=footing)
    load, first = state.reserve_drive.load_slu[:, 0], made.course.first_ordinal
    ahead = [int(c) for c in np.flatnonzero(load > LEAST_LOAD_SLU) if c > made.course.origin]
    planned = frozenset(s.day for s in facts.sessions if s.planned and (s.minutes or 0) > 0)
    wishes = Wishes(frozenset(date.fromordinal(first + c) for c in ahead), planned, fixed)
    share = shares(facts, as_of, model.parameters["dose_executed_share"])
    return Question(near, made, state, model, share, choices(near, wishes), facts.entries)
