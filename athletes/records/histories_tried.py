"""Athletes' own trials that are over -> facts, and what they say of agents -> arrays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

import numpy as np
from django.db.models import F, QuerySet

from athletes.records.histories_care import INGREDIENT_OF_FORM
from athletes.records.histories_grid import Grid
from athletes.records.models import Athlete
from coaching.rules.facts import AthleteFacts, TriedFact
from coaching.science.inputs import INGREDIENTS, TriedAgents

EVIDENCE = "hands-1"
"""The rule by which a result counts as an answer to the filters; one kept under another rule counts for nothing. This
one: the difference of the two hands, rated each by itself, is told nowhere else. The mornings and uses of blocks are
read day by day like any others, so a result of blocks would count twice.
"""


def with_trials(athletes: QuerySet[Athlete]) -> QuerySet[Athlete]:
    """Profiles beside their trials, a row for each trial: one statement for both."""
    return athletes.annotate(
        tried_form=F("trials__form"), tried_outcome=F("trials__outcome"), tried_day=F("trials__end__local_date"),
        tried_verdict=F("trials__end__verdict"), tried_says=F("trials__end__result__evidence"),
    )  # fmt: skip


def tried(rows: Sequence[Any], as_of: date) -> Mapping[int, tuple[TriedFact, ...]]:
    """Trials that were over on that evening, by athlete, oldest first."""
    found: dict[int, list[TriedFact]] = {}
    for row in rows:
        if row.tried_day is not None and row.tried_day <= as_of:
            found.setdefault(row.id, []).append(_fact(row))
    return {key: tuple(sorted(facts, key=lambda one: (one.day, repr(one)))) for key, facts in found.items()}


def _fact(row: Any) -> TriedFact:
    said = row.tried_says or {}
    counts = said.get("rule") == EVIDENCE
    effect, sd = (said["effect_pt"], said["sd_pt"]) if counts else (None, None)
    return TriedFact(row.tried_day, row.tried_form, row.tried_outcome, row.tried_verdict, effect, sd)


def tried_agents(facts: Sequence[AthleteFacts], grid: Grid) -> TriedAgents:
    """What trials say of agents by the end of the origin; what was read before the first column stands in it."""
    found = [
        (row, max(grid.column(one.day), 0), INGREDIENTS.index(INGREDIENT_OF_FORM[one.form]), one.effect_pt, one.sd_pt)
        for row, athlete in enumerate(facts)
        for one in athlete.tried
        if one.effect_pt is not None and one.sd_pt and grid.column(one.day) <= grid.origin
    ]
    whole = [np.array([one[k] for one in found], dtype=np.int64) for k in range(3)]
    return TriedAgents(*whole, *(np.array([one[k] for one in found], dtype=np.float64) for k in (3, 4)))
