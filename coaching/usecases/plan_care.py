"""A plan of care, rest and limits: shown to whoever coaches, and put into the records once a coach accepts it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.utils.translation import gettext

from athletes.records import access, queries, writes, writes_team
from athletes.records.access import AthleteRef
from athletes.records.access_writing import COACHES, TEAM, athlete_to_write
from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from coaching.rules.case import Case
from coaching.rules.planning_check import refused
from coaching.rules.planning_choices import lawful
from coaching.rules.planning_values import Action
from coaching.usecases import clock, planning, planning_question
from coaching.usecases.as_now import Now, as_now
from coaching.usecases.planned import Planned
from coaching.usecases.showing import show
from coaching.usecases.shown import EntryShown
from coaching.usecases.storing import storing

PLAN = "plan"
NEEDS_PLAN = frozenset({"act", "tight"})


@dataclass(frozen=True)
class PlanShown:
    """One athlete's plan as it stands now; nothing of it is stored. Sessions that are fixed stand as they are."""

    athlete: AthleteRef
    plan: Planned
    may_answer: bool
    sessions: tuple[date, ...] = ()  # days with a session planned, which may be fixed
    fixed: frozenset[date] = frozenset()


@dataclass(frozen=True)
class PlanAnswer:
    """A coach's answer: accept, change (only the kept steps, numbered as shown) or decline and say why."""

    digest: str
    answer: str
    why: str = ""
    keep: frozenset[int] = frozenset()
    fixed: frozenset[date] = frozenset()


def plan_care(viewer: Viewer, code: str, fixed: frozenset[date] = frozenset()) -> PlanShown:
    """The plan for the events ahead, around the sessions of `fixed` days. Raises NotFound where answers or damage are
    not shared: care tells of both.
    """
    athlete = shared_whole(viewer, code)
    found = as_now(viewer, athlete)
    days = sessions_ahead(found, viewer.today)
    return PlanShown(athlete, planned(found, viewer.today, fixed), may_answer(viewer, code), days, fixed & set(days))


def sessions_ahead(found: Now, today: date) -> tuple[date, ...]:
    """Days to the last event ahead on which a session of some length is planned; days of events are climbed anyhow."""
    entries = found.facts.entries
    last = max((one.first_day for one in entries), default=today)
    planned_on = {one.day for one in found.facts.sessions if one.planned and (one.minutes or 0) > 0}
    free = {day for day in planned_on if not any(one.first_day <= day <= one.last_day for one in entries)}
    return tuple(sorted(day for day in free if today < day < last))


def shared_whole(viewer: Viewer, code: str) -> AthleteRef:
    """The athlete, where level, answers and damage are all shared. Raises NotFound otherwise."""
    athlete = access.athlete_by_code(viewer, code)
    if not {"checkins", "damage"} <= athlete.shared:
        raise access.NotFound
    return athlete


def planned(found: Now, today: date, fixed: frozenset[date] = frozenset()) -> Planned:
    case = case_of(found, today)
    kept = {case.facts.athlete_id: fixed}
    (asked,) = planning_question.questions([case], found.model, kept)
    return planning.plan(asked, case)


def case_of(found: Now, today: date) -> Case:
    return Case(found.facts, found.numbers, today, found.book)


def may_answer(viewer: Viewer, code: str) -> bool:
    """Whether the viewer coaches the athlete and is shown what they would plan."""
    try:
        _may(viewer, code)
    except access.NotFound:
        return False
    return True


def _may(viewer: Viewer, code: str) -> AthleteRef:
    athlete_to_write(viewer, code, "level", COACHES, own=False)
    return athlete_to_write(viewer, code, "checkins", TEAM, own=False)


def answer_plan(viewer: Viewer, code: str, given: PlanAnswer, now: datetime | None = None) -> Planned:
    """Store the answer, and of an accepted or changed plan its care and limits. Raises NotFound for whoever is no
    coach of the athlete, and BadInput where the plan is another by now, nothing is kept, or a reason is missing.
    """
    at = now or clock.now()
    athlete = _may(viewer, code)
    if given.answer == "decline" and not given.why.strip():
        raise BadInput("why", gettext("must be said where the answer is to decline"), given.why)
    with storing([athlete.id], at):
        found = as_now(viewer, athlete)
        plan = planned(found, viewer.today, given.fixed)
        if plan.digest != given.digest or not plan.entries:
            raise BadInput("plan", gettext("is another by now: facts have moved"), given.digest)
        if given.answer != "decline":
            store_actions(athlete, _kept(found, plan, given, viewer.today), at, viewer.account_id)
        store_answers(viewer, athlete, given, at)
    return plan


def _kept(found: Now, plan: Planned, given: PlanAnswer, today: date) -> list[Action]:
    """The actions of the steps that stay, asked of the rulebook again: a part of a plan may lack what it needs."""
    if given.answer == "accept":
        return list(plan.actions)
    steps = [one for n, one in enumerate(plan.steps) if n in given.keep]
    kept = {(day, one.kind, one.form) for one in steps for day in one.days}
    actions = [one for one in plan.actions if (one.day, one.kind, one.form) in kept]
    if not actions:
        raise BadInput("keep", gettext("leaves nothing of the plan: decline it instead"), "")
    if refused(lawful(case_of(found, today)), actions):
        raise BadInput("keep", gettext("leaves a plan that the rulebook refuses"), "")
    return actions


def store_actions(athlete: AthleteRef, actions: Sequence[Action], at: datetime, by: int | None) -> None:
    """Planned care as rows of its own; a rest or a shorter session corrects the planned sessions of that day."""
    for one in actions:
        if one.kind in ("rest", "half"):
            share = 0.0 if one.kind == "rest" else planning_question.HALF
            writes.cut_planned(athlete_id=athlete.id, local_date=one.day, share=share, made_at=at, by=by, why=PLAN)
        if one.kind != "half":
            writes.store_care(athlete_id=athlete.id, values=care_values(one))


def care_values(one: Action) -> dict[str, Any]:
    found: dict[str, Any] = {"local_date": one.day, "status": "planned", "verb": one.verb, "form": one.form}
    found["part"] = one.part
    return found | ({"strength": one.strength, "uses": 1} if one.verb == "dry" else {})


def store_answers(viewer: Viewer, athlete: AthleteRef, given: PlanAnswer, at: datetime) -> None:
    """One answer for each event ahead, as the viewer is shown it: one plan serves them all."""
    (shown,) = show(viewer, [athlete], course=False)
    waiting = [one for one in shown.entries if one.event.first_day > shown.as_of]
    ids = queries.event_ids([one.event.code for one in waiting])
    for entry in waiting:
        writes_team.store_decision(
            athlete_id=athlete.id,
            event_id=ids[entry.event.code],
            kind=PLAN,
            site="",
            answer=given.answer,
            why=given.why,
            about=about_plan(entry),
            made_at=at,
            by_id=viewer.account_id,
        )


def about_plan(entry: EntryShown) -> str:
    """What a plan answers: the level and what stands behind it. While these stay, a declined one is not asked again."""
    codes = ",".join(sorted({reason.code for reason in entry.reasons}))
    return f"{entry.level} {codes}"[:200]
