"""What if: plan and chance before and after one change, side by side. Nothing is saved until a coach accepts it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from django.utils.translation import gettext

from athletes.records import queries_entered, writes, writes_team
from athletes.records.access import AthleteRef
from athletes.records.access_writing import COACHES, athlete_to_write
from athletes.records.errors import BadInput
from athletes.records.viewer import Viewer
from athletes.records.writes_team import Change
from coaching.rules import refusals
from coaching.rules.case import Case
from coaching.rules.conclusions import AthleteConclusion, Refusal
from coaching.rules.decide import decide
from coaching.rules.facts import AthleteFacts, CareFact, EpisodeFact
from coaching.rules.planning_values import Action
from coaching.usecases import clock, figuring, planning, planning_question, window
from coaching.usecases.as_now import Now, as_now
from coaching.usecases.conclude import AHEAD_DAYS
from coaching.usecases.cutting import CLOSED_CLASSES, causes_open_to
from coaching.usecases.plan_care import care_values, may_answer, shared_whole
from coaching.usecases.planned import Planned
from coaching.usecases.storing import storing

KINDS = ("drop-session", "start-agent", "move-event", "close-late")
EVERY_DAYS = 2
"""An agent that is tried out goes on every other evening, the middle of what the rulebook allows (judgement)."""
FURTHEST_MOVE_DAYS = 120


@dataclass(frozen=True)
class Edit:
    """One change. `day`: of the session, of the first evening of the agent, or the event's new first day."""

    kind: str
    day: date | None = None
    form: str = ""
    event_id: str = ""
    episode_id: str = ""
    late_days: int | None = None


@dataclass(frozen=True)
class Side:
    """What holds on one side: conclusions, and the best plan from there."""

    conclusion: AthleteConclusion
    plan: Planned


@dataclass(frozen=True)
class Offered:
    """What can be changed: days of planned sessions, agents, events ahead, open damage."""

    sessions: tuple[date, ...]
    agents: tuple[str, ...]
    events: tuple[tuple[str, str, date], ...]  # (code, name, first day)
    episodes: tuple[tuple[str, str, str], ...]  # (id, site, kind)


@dataclass(frozen=True)
class WhatIf:
    """The page: what may be asked, and the answer where something was asked."""

    athlete: AthleteRef
    as_of: date
    offered: Offered
    may_accept: bool
    edit: Edit | None = None
    before: Side | None = None
    after: Side | None = None
    refused: tuple[Refusal, ...] = ()  # of the change itself: the rulebook says no
    wrong: BadInput | None = None


def what_if(viewer: Viewer, code: str, edit: Edit | None) -> WhatIf:
    """Both sides of a change, or only what may be asked. Raises NotFound as `plan_care` does."""
    athlete = shared_whole(viewer, code)
    found = as_now(viewer, athlete)
    page = WhatIf(athlete, viewer.today, _offered(found, viewer.today), may_answer(viewer, code), edit)
    if edit is None:
        return page
    try:
        changed = edited(found, edit, page.offered, viewer.today)
    except BadInput as wrong:
        return replace(page, wrong=wrong)
    before, after, judged = sides(found, changed, viewer.today)
    closed = frozenset() if athlete.id in causes_open_to(viewer) else CLOSED_CLASSES
    shown = tuple(replace(one, class_="medical", rule="") if one.class_ in closed else one for one in judged)
    return replace(page, before=before, after=after, refused=shown)


def accept(viewer: Viewer, code: str, edit: Edit, now: datetime | None = None) -> None:
    """Store the change. Raises NotFound for whoever is no coach of the athlete, and BadInput where it cannot be stored:
    a late split is a thought and no fact, and what the rulebook refuses is not planned.
    """
    at = now or clock.now()
    athlete = athlete_to_write(viewer, code, "checkins", COACHES, own=False)
    found = as_now(viewer, athlete)
    changed = edited(found, edit, _offered(found, viewer.today), viewer.today)
    if edit.kind == "close-late":
        raise BadInput("kind", gettext("is a thought: only a look tells how damage closes"), edit.kind)
    if edit.kind == "start-agent" and _judged(changed, found, viewer.today, edit.form):
        raise BadInput("form", gettext("is refused for this athlete by the rulebook"), edit.form)
    if edit.kind == "move-event":
        _move(viewer, edit, at)
        return
    with storing([athlete.id], at):
        if edit.kind == "drop-session":
            assert edit.day is not None  # noqa: S101 - asked for by `edited`
            writes.cut_planned(athlete_id=athlete.id, local_date=edit.day, share=0.0, made_at=at, by=viewer.account_id)
        else:
            for row in agent_rows(changed, edit, found.facts):
                one = Action(row.day, "care", row.verb, row.form, row.part or "night", row.strength)
                writes.store_care(athlete_id=athlete.id, values=care_values(one))


def edited(now: Now, edit: Edit, offered: Offered, today: date) -> AthleteFacts:
    """The facts with one change. Raises BadInput naming the field that does not fit."""
    facts = now.facts
    if edit.kind == "drop-session":
        return _without_session(facts, edit, offered)
    if edit.kind == "start-agent":
        return _with_agent(now, edit, offered, today)
    if edit.kind == "move-event":
        return _with_event_moved(facts, edit, offered, today)
    if edit.kind == "close-late":
        return _closing_late(facts, edit, offered, today)
    raise BadInput("kind", gettext("is none of the four"), edit.kind)


def sides(now: Now, after: AthleteFacts, today: date) -> tuple[Side, Side, tuple[Refusal, ...]]:
    """Conclusions and plans of both, figured in one batch, and what the rulebook refuses only after the change."""
    book, both = now.book, (now.facts, after)
    figured = figuring.figures(list(both), today, now.model, (window.past_days(today), AHEAD_DAYS))
    cases = [Case(facts, numbers, today, book) for facts, (numbers, _) in zip(both, figured, strict=True)]
    asked = planning_question.questions(cases, now.model)
    found = [
        Side(decide(c.facts, c.numbers, today, book), planning.plan(q, c)) for c, q in zip(cases, asked, strict=True)
    ]
    old = {(one.date, one.form, one.class_) for one in found[0].conclusion.refused}
    new = tuple(r for r in found[1].conclusion.refused if (r.date, r.form, r.class_) not in old)
    return found[0], found[1], new


def agent_rows(changed: AthleteFacts, edit: Edit, before: AthleteFacts) -> list[CareFact]:
    """The evenings that the change has planned."""
    there = {(row.day, row.form) for row in before.care if row.status == "planned"}
    rows = [row for row in changed.care if row.status == "planned" and row.form == edit.form]
    return [row for row in rows if (row.day, row.form) not in there]


def _judged(changed: AthleteFacts, found: Now, today: date, form: str) -> bool:
    case = Case(changed, found.numbers, today, found.book)
    return any(not one.allowed for one in refusals.verdicts(case) if one.row.form == form)


def _offered(found: Now, today: date) -> Offered:
    facts, book = found.facts, found.book
    sessions = {s.day for s in facts.sessions if s.planned and s.day >= today and (s.minutes is None or s.minutes > 0)}
    agents = tuple(name for name in book.forms if book.is_agent(name))
    events = tuple((e.event_id, e.event_name, e.first_day) for e in facts.entries if e.first_day > today)
    hurt = [one for one in facts.episodes if _unsound(one)]
    episodes = tuple((one.episode_id, one.site, one.kind) for one in hurt)
    return Offered(tuple(sorted(sessions)), agents, events, episodes)


def _unsound(one: EpisodeFact) -> bool:
    return not one.looks or one.looks[-1].stage != "sound"


def _without_session(facts: AthleteFacts, edit: Edit, offered: Offered) -> AthleteFacts:
    if edit.day not in offered.sessions:
        raise BadInput("day", gettext("is not the day of a planned session"), edit.day)
    sessions = tuple(
        replace(s, minutes=0.0, hard_tries=None if s.hard_tries is None else 0)
        if s.planned and s.day == edit.day
        else s
        for s in facts.sessions
    )
    return replace(facts, sessions=sessions)


def _with_agent(now: Now, edit: Edit, offered: Offered, today: date) -> AthleteFacts:
    facts = now.facts
    if edit.form not in offered.agents:
        raise BadInput("form", gettext("is not an agent of the rulebook"), edit.form)
    if edit.day is None or edit.day < today:
        raise BadInput("day", gettext("must be today or a day to come"), edit.day)
    events = [e.first_day for e in facts.entries if e.first_day > edit.day]
    if not events:
        raise BadInput("day", gettext("has no event after it"), edit.day)
    return replace(facts, care=(*facts.care, *_course(now, edit.form, edit.day, min(events))))


def _course(now: Now, form: str, first: date, event: date) -> Iterator[CareFact]:
    """Every other evening to the last day that the rulebook allows; a first use is the weakest there is."""
    rule = now.book.forms[form]
    used = [row.strength for row in now.facts.care if row.form == form and row.status == "done" and row.strength]
    strength = (used[-1] if used else rule.strengths[0]) if rule.strengths else None
    last = max(first, event - timedelta(days=rule.stop_days))
    for n in range(0, (last - first).days + 1, EVERY_DAYS):
        day = first + timedelta(days=n)
        yield CareFact(day, "planned", rule.verb, form, strength=strength, part=rule.parts[0], uses=1)


def _with_event_moved(facts: AthleteFacts, edit: Edit, offered: Offered, today: date) -> AthleteFacts:
    if edit.event_id not in {code for code, _, _ in offered.events}:
        raise BadInput("event_id", gettext("is not an event ahead of this athlete"), edit.event_id)
    if edit.day is None or not today < edit.day <= today + timedelta(days=FURTHEST_MOVE_DAYS):
        raise BadInput("day", gettext("must be a day to come, within four months"), edit.day)
    moved = []
    for one in facts.entries:
        if one.event_id == edit.event_id:
            length = one.last_day - one.first_day
            one = replace(one, first_day=edit.day, last_day=edit.day + length)
        moved.append(one)
    return replace(facts, entries=tuple(moved))


def _closing_late(facts: AthleteFacts, edit: Edit, offered: Offered, today: date) -> AthleteFacts:
    """The episode as if it had begun so many days later; what was seen on a look stays as it was seen."""
    if edit.episode_id not in {code for code, _, _ in offered.episodes}:
        raise BadInput("episode_id", gettext("is not open damage of this athlete"), edit.episode_id)
    if edit.late_days is None or not 1 <= edit.late_days <= 21:
        raise BadInput("late_days", gettext("must be 1 to 21 days"), edit.late_days)
    late = timedelta(days=edit.late_days)
    return replace(
        facts, episodes=tuple(_later(e, late, today) if e.episode_id == edit.episode_id else e for e in facts.episodes)
    )


def _later(one: EpisodeFact, late: timedelta, today: date) -> EpisodeFact:
    looks = tuple(replace(look, day=min(look.day + late, today)) for look in one.looks)
    return replace(one, noticed_on=min(one.noticed_on + late, today), looks=looks)


def _move(viewer: Viewer, edit: Edit, at: datetime) -> None:
    """The event itself moves, for everybody who is entered: only who coaches them all may do it."""
    event = queries_entered.event_to_change(viewer, edit.event_id)
    days = {"first_day": edit.day, "last_day": edit.day + (event.last_day - event.first_day)} if edit.day else {}
    with storing(queries_entered.entrants(event.id), at):
        writes_team.change_days(
            event.id, Change(days, frozenset({event.version}), None, at, viewer.account_id, "moved")
        )
