"""Plans of a whole squad, one after the other, each told as soon as it is there. Nothing of them is stored."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from athletes.records import access
from athletes.records.access import AthleteRef
from athletes.records.access_writing import COACHES, only
from athletes.records.errors import NotFound
from athletes.records.viewer import Viewer
from coaching.rules.case import Case
from coaching.science.model import Model
from coaching.usecases import planning, planning_question
from coaching.usecases.as_now import all_now
from coaching.usecases.plan_care import NEEDS_PLAN
from coaching.usecases.planned import Planned
from coaching.usecases.showing import show
from coaching.usecases.shown import AthleteShown

CARE_TELLS = frozenset({"checkins", "damage"})


@dataclass(frozen=True)
class SquadPlans:
    """Whom a coach may have planned for: those with an event ahead who share what care tells of, the nearest first."""

    viewer: Viewer
    athletes: tuple[AthleteRef, ...]
    shown: dict[int, AthleteShown]
    others: int  # coached, and without an event ahead or without sharing enough

    @property
    def needing(self) -> tuple[AthleteRef, ...]:
        """Those of them whose next events are not on course."""
        return tuple(one for one in self.athletes if _needs(self.shown[one.id]))

    def plans(self, chosen: tuple[AthleteRef, ...]) -> Iterator[tuple[AthleteRef, Planned]]:
        """The plan of each, in their order: facts, numbers and questions of all at once, then one by one."""
        found = all_now(self.viewer, {one.id: self.shown[one.id] for one in chosen})
        cases = {key: now.case(self.viewer) for key, now in found.items()}
        asked: dict[int, planning_question.Question | None] = {}
        for model, keys in _by_model({key: now.model for key, now in found.items()}):
            posed = planning_question.questions([cases[key] for key in keys], model)
            asked |= dict(zip(keys, posed, strict=True))
        for one in chosen:
            case: Case = cases[one.id]
            yield one, planning.plan(asked.pop(one.id), case)


def plan_squad(viewer: Viewer) -> SquadPlans:
    """Whom the viewer coaches. Raises NotFound for whoever coaches nobody."""
    coach = only(viewer, COACHES)
    if not coach.grants:
        raise NotFound
    own = {grant.athlete_id for grant in viewer.grants if grant.athlete_id is not None}
    refs = [one for one in access.refs_visible(coach) if one.id not in own]
    shown = dict(zip((one.id for one in refs), show(viewer, refs, course=False), strict=True))
    ahead = [one for one in refs if one.shared >= CARE_TELLS and _next(shown[one.id], viewer)]
    ahead.sort(key=lambda one: (not _needs(shown[one.id]), _next(shown[one.id], viewer), one.name, one.code))
    return SquadPlans(viewer, tuple(ahead), shown, len(refs) - len(ahead))


def _next(row: AthleteShown, viewer: Viewer) -> str:
    """First day of the next event ahead, empty: there is none."""
    days = [one.event.first_day for one in row.entries if one.event.first_day > viewer.today]
    return min(days).isoformat() if days else ""


def _needs(row: AthleteShown) -> bool:
    return any(one.level in NEEDS_PLAN for one in row.entries)


def _by_model(models: dict[int, Model]) -> list[tuple[Model, list[int]]]:
    groups: dict[int, list[int]] = {}
    for key, model in models.items():
        groups.setdefault(id(model), []).append(key)
    return [(models[keys[0]], keys) for keys in groups.values()]
