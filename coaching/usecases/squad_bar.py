"""The bar that a squad sets itself: its median readiness with nothing open over the last 60 days."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from django.db import DatabaseError

from athletes.records import access, histories, queries
from athletes.records.histories_episodes import episode_arrays
from athletes.records.histories_grid import Grid
from coaching.ledger import reading, store
from coaching.rules.facts import AthleteFacts
from coaching.science.inputs import Floats
from coaching.science.model import Model
from coaching.science.readiness import usable_answers
from coaching.usecases.following import Followed, follow

WINDOW_DAYS = 60
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


@dataclass(frozen=True)
class Asked:
    """The squads of some athletes: the bars that are kept for the day, and the members of those without one."""

    as_of: date
    squads: Mapping[int, int]  # athlete -> their first squad
    kept: Mapping[int, Bar]
    members: Mapping[int, tuple[int, ...]]

    def only(self, athlete_ids: Sequence[int]) -> Asked:
        """The same of some of the athletes."""
        squads = {i: self.squads[i] for i in athlete_ids if i in self.squads}
        theirs = set(squads.values())
        return Asked(self.as_of, squads, self.kept, {k: ids for k, ids in self.members.items() if k in theirs})

    @property
    def everybody(self) -> frozenset[int]:
        return frozenset(i for ids in self.members.values() for i in ids)


def asked(athlete_ids: Sequence[int], as_of: date) -> Asked:
    squads = {i: held[0] for i, held in queries.squads_by_athlete(athlete_ids).items()}
    kept = {k: Bar(*v) for k, v in reading.bars(sorted(set(squads.values())), as_of).items()}
    missing = sorted(set(squads.values()) - set(kept))
    members = queries.members(access.OPERATOR(as_of), missing) if missing else {}
    return Asked(as_of, squads, kept, {squad_id: tuple(ids) for squad_id, ids in members.items()})


def bars(
    wanted: Asked, athlete_ids: Sequence[int], model: Model, at_hand: Sequence[Followed] | None = None
) -> dict[int, Bar]:
    """The bars asked for; `at_hand` are the filters of every member of squads without one, else they run here."""
    kept = dict(wanted.kept)
    if wanted.members:
        for squad_id, made in _compute(wanted.members, wanted.as_of, model, at_hand).items():
            store.save_bar(squad_id, wanted.as_of, made.bar_frac, made.athlete_days)
        # Read again: where two computed it at once, both go by the one that was kept.
        kept |= {k: Bar(*v) for k, v in reading.bars(sorted(wanted.members), wanted.as_of).items()}
    return {i: kept.get(wanted.squads.get(i, -1), NO_SQUAD) for i in athlete_ids}


def _compute(
    members: Mapping[int, Iterable[int]], as_of: date, model: Model, at_hand: Sequence[Followed] | None
) -> dict[int, Bar]:
    """From what was known on the evening before, so that the bar holds all day long whoever checks in."""
    everybody = sorted({i for ids in members.values() for i in ids})
    if at_hand is not None:
        found = chances(at_hand)
    else:
        found = _chances(everybody, as_of, model) if everybody else {}
    return {squad_id: _bar(squad_id, list(ids), found) for squad_id, ids in members.items()}


def _bar(squad_id: int, athlete_ids: Sequence[int], found: Mapping[int, list[float]]) -> Bar:
    known = [found[i] for i in athlete_ids if i in found]
    if athlete_ids and not known:
        raise _NotOne(f"nobody of squad {squad_id}")
    return from_days(sorted(chance for chances in known for chance in chances))


class _NotOne(Exception):
    """Not one of the athletes could be computed."""


def _chances(athlete_ids: Sequence[int], as_of: date, model: Model) -> dict[int, list[float]]:
    """Chances of the answered days with nothing open, by athlete.

    An athlete whose facts cannot be computed is left out, so that one does not take the bar from all. It
    raises where that holds for every one of them, and where the database fails.
    """
    try:
        facts = histories.facts(athlete_ids, as_of)
        return chances(follow(facts, as_of, model, ahead_days=1))
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
            found |= _chances(half, as_of, model)
        except _NotOne as failure:
            failures.append(failure)
    if len(failures) == 2:
        raise failures[0]
    return found


def chances(at_hand: Sequence[Followed]) -> dict[int, list[float]]:
    """Chances of the answered days with nothing open up to the evening before, by athlete, as known by then.

    The filters have run up to today; up to the evening before they held then what they hold now.
    """
    found: dict[int, list[float]] = {}
    for group in at_hand:
        eve = group.as_of - timedelta(days=1)
        course = replace(group.made.course, origin=group.made.course.origin - 1)
        grid = Grid(course.athletes, course.days, course.first_ordinal, course.origin)
        episodes, _ = episode_arrays(group.facts, grid)
        days = slice(course.origin - WINDOW_DAYS + 1, course.origin + 1)
        chance = group.model.skin_chance(course, episodes, days, state=replace(group.state, origin=course.origin))
        whole = np.array([_nothing_open(f, eve) for f in group.facts])
        counted = whole & course.answered[:, days]
        found |= {key: chance[row, counted[row]].tolist() for row, key in enumerate(group.keys)}
        for row in _otherwise(group, usable_answers(course, episodes)):
            alone = {group.keys[row]: group.facts[row]}
            found |= chances(follow(alone, group.as_of, group.model, ahead_days=1))
    return found


def _otherwise(group: Followed, answers_on_the_eve: Floats) -> list[int]:
    """Rows whose filters go on from a morning that read other answers than counted on the evening before.

    It is so on the day on which damage is noticed or seen sound.
    """
    begin = group.state.footing.begin(group.made.course)
    now = usable_answers(group.made.course, group.made.episodes)[:, :begin]
    same = (now == answers_on_the_eve[:, :begin]) | (np.isnan(now) & np.isnan(answers_on_the_eve[:, :begin]))
    return np.flatnonzero(~same.all(axis=1)).tolist()


def _nothing_open(facts: AthleteFacts, eve: date) -> list[bool]:
    """For each of the last WINDOW_DAYS days: no episode stood between being noticed and being seen sound."""
    first = eve - timedelta(days=WINDOW_DAYS - 1)
    free = [True] * WINDOW_DAYS
    for episode in facts.episodes:
        sound = next((look.day for look in episode.looks if look.stage == "sound" and look.day <= eve), None)
        end = WINDOW_DAYS if sound is None else (sound - first).days
        for n in range(max((episode.noticed_on - first).days, 0), min(end, WINDOW_DAYS)):
            free[n] = False
    return free
