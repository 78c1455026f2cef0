"""The bar that a squad sets itself: its median readiness with nothing open over the last 60 days."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from django.db import DatabaseError

from athletes.records import access, histories, queries
from athletes.records.histories_arrays import arrays
from coaching.ledger import reading, store
from coaching.rules.facts import AthleteFacts
from coaching.science import versions

WINDOW_DAYS = 60
PAST_DAYS = 180
LEAST_DAYS = 30
"""Before so many athlete-days the bar is the provisional one."""
PROVISIONAL = 0.5
STEP, LOWEST, HIGHEST = 0.05, 0.40, 0.80


@dataclass(frozen=True)
class Bar:
    bar_frac: float
    athlete_days: int

    @property
    def provisional(self) -> bool:
        return self.athlete_days < LEAST_DAYS


NO_SQUAD = Bar(PROVISIONAL, 0)


def from_days(chances: Sequence[float]) -> Bar:
    """The bar of a list of athlete-days: the median to the nearest 5 in 100, within 40 to 80."""
    if len(chances) < LEAST_DAYS:
        return Bar(PROVISIONAL, len(chances))
    steps = round(float(np.median(chances)) / STEP)
    return Bar(round(min(max(steps * STEP, LOWEST), HIGHEST), 2), len(chances))


def bars_for(athlete_ids: Sequence[int], as_of: date, model_id: str) -> dict[int, Bar]:
    """The bar each athlete is held to on that day: that of their first squad, computed once a day and kept."""
    squads = {i: held[0] for i, held in queries.squads_by_athlete(athlete_ids).items()}
    kept = {k: Bar(*v) for k, v in reading.bars(sorted(set(squads.values())), as_of).items()}
    everything = access.OPERATOR(as_of)
    missing = sorted(set(squads.values()) - set(kept))
    for squad_id in missing:
        made = _compute(sorted(queries.members(everything, [squad_id])[squad_id]), as_of, model_id)
        store.save_bar(squad_id, as_of, made.bar_frac, made.athlete_days)
    if missing:  # read again: where two computed it at once, both go by the one that was kept
        kept |= {k: Bar(*v) for k, v in reading.bars(missing, as_of).items()}
    return {i: kept.get(squads.get(i, -1), NO_SQUAD) for i in athlete_ids}


def _compute(athlete_ids: Sequence[int], as_of: date, model_id: str) -> Bar:
    """From what was known on the evening before, so that the bar holds all day long whoever checks in."""
    eve = as_of - timedelta(days=1)
    return from_days(sorted(_chances(athlete_ids, eve, model_id))) if athlete_ids else NO_SQUAD


class _NotOne(Exception):
    """Not one of the athletes could be computed."""


def _chances(athlete_ids: Sequence[int], eve: date, model_id: str) -> list[float]:
    """Chances of the answered days with nothing open, in no order.

    An athlete whose facts cannot be computed is left out, so that one does not take the bar from all. It
    raises where that holds for every one of them, and where the database fails.
    """
    try:
        return _at_once(athlete_ids, eve, model_id)
    except DatabaseError:
        raise
    except Exception as error:  # whose it is shows where the athlete's own conclusion fails
        if len(athlete_ids) == 1:
            raise _NotOne(repr(error)) from error
    middle = len(athlete_ids) // 2
    found, failures = [], []
    for half in (athlete_ids[:middle], athlete_ids[middle:]):
        try:
            found.append(_chances(half, eve, model_id))
        except _NotOne as failure:
            failures.append(failure)
    if not found:
        raise failures[0]
    return [chance for half in found for chance in half]


def _at_once(athlete_ids: Sequence[int], eve: date, model_id: str) -> list[float]:
    found = histories.facts(athlete_ids, eve)
    if not found:
        return []
    facts = [found[i] for i in sorted(found)]
    made = arrays(facts, eve, past_days=PAST_DAYS, ahead_days=1)
    chance = versions.get(model_id).chance(made.course, made.episodes)
    window = slice(made.course.origin - WINDOW_DAYS + 1, made.course.origin + 1)
    whole = np.array([_nothing_open(f, eve) for f in facts])
    answered = made.course.answered[:, window]
    days: list[float] = chance.p_skin[:, window][whole & answered].tolist()
    return days


def _nothing_open(facts: AthleteFacts, eve: date) -> list[bool]:
    """For each of the last WINDOW_DAYS days: no episode stood between being noticed and being seen sound."""
    days = [eve - timedelta(days=n) for n in reversed(range(WINDOW_DAYS))]
    spans = []
    for episode in facts.episodes:
        sound = next((look.day for look in episode.looks if look.stage == "sound"), date.max)
        spans.append((episode.noticed_on, sound))
    return [not any(first <= day < last for first, last in spans) for day in days]
