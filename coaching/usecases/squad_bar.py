"""The bar that a squad sets itself: its median readiness with nothing open over the last 60 days."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
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
    if missing:
        for squad_id, made in _compute(queries.members(everything, missing), as_of, model_id).items():
            store.save_bar(squad_id, as_of, made.bar_frac, made.athlete_days)
        # Read again: where two computed it at once, both go by the one that was kept.
        kept |= {k: Bar(*v) for k, v in reading.bars(missing, as_of).items()}
    return {i: kept.get(squads.get(i, -1), NO_SQUAD) for i in athlete_ids}


def _compute(members: Mapping[int, Iterable[int]], as_of: date, model_id: str) -> dict[int, Bar]:
    """From what was known on the evening before, so that the bar holds all day long whoever checks in."""
    everybody = sorted({i for ids in members.values() for i in ids})
    found = _chances(everybody, as_of - timedelta(days=1), model_id) if everybody else {}
    return {squad_id: _bar(squad_id, list(ids), found) for squad_id, ids in members.items()}


def _bar(squad_id: int, athlete_ids: Sequence[int], found: Mapping[int, list[float]]) -> Bar:
    known = [found[i] for i in athlete_ids if i in found]
    if athlete_ids and not known:
        raise _NotOne(f"nobody of squad {squad_id}")
    return from_days(sorted(chance for chances in known for chance in chances))


class _NotOne(Exception):
    """Not one of the athletes could be computed."""


def _chances(athlete_ids: Sequence[int], eve: date, model_id: str) -> dict[int, list[float]]:
    """Chances of the answered days with nothing open, by athlete.

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
    found: dict[int, list[float]] = {}
    failures = []
    for half in (athlete_ids[:middle], athlete_ids[middle:]):
        try:
            found |= _chances(half, eve, model_id)
        except _NotOne as failure:
            failures.append(failure)
    if len(failures) == 2:
        raise failures[0]
    return found


def _at_once(athlete_ids: Sequence[int], eve: date, model_id: str) -> dict[int, list[float]]:
    found = histories.facts(athlete_ids, eve)
    if not found:
        return {}
    ids = sorted(found)
    facts = [found[i] for i in ids]
    made = arrays(facts, eve, past_days=PAST_DAYS, ahead_days=1)
    window = slice(made.course.origin - WINDOW_DAYS + 1, made.course.origin + 1)
    chance = versions.get(model_id).skin_chance(made.course, made.episodes, window)
    whole = np.array([_nothing_open(f, eve) for f in facts])
    counted = whole & made.course.answered[:, window]
    return {i: chance[row, counted[row]].tolist() for row, i in enumerate(ids)}


def _nothing_open(facts: AthleteFacts, eve: date) -> list[bool]:
    """For each of the last WINDOW_DAYS days: no episode stood between being noticed and being seen sound."""
    days = [eve - timedelta(days=n) for n in reversed(range(WINDOW_DAYS))]
    spans = []
    for episode in facts.episodes:
        sound = next((look.day for look in episode.looks if look.stage == "sound"), date.max)
        spans.append((episode.noticed_on, sound))
    return [not any(first <= day < last for first, last in spans) for day in days]
