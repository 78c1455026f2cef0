"""Planned care that the rulebook forbids, with the class of the rule and what may be done instead."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from coaching.rules import hardstops, holds, timing
from coaching.rules.case import Case
from coaching.rules.conclusions import Refusal
from coaching.rules.facts import CareFact, OverruledFact
from coaching.rules.rulebook import FormRule

UNKNOWN_FORM = "rulebook.unknown-form"
LAST_WEEK_DAYS = 7
SECOND_AGENT_DAYS = 14
SOFTEN_INSTEAD = ("humectant cream", "damp cloth", "moisture spray", "wax balm")
BEFORE_CLIMB_INSTEAD = ("water-based cream", "damp cloth", "moisture spray")
MEDICAL_INSTEAD = ("rest hand",)
SITE_AGENT_INSTEAD = ("level callus", "wax balm")


@dataclass(frozen=True)
class Verdict:
    """What the rulebook says to one planned row: the classes it breaks, none where it is allowed."""

    row: CareFact
    rule: FormRule | None
    classes: tuple[str, ...]
    cause: str = ""  # which rule of time, where `timing` is among the classes
    overruled: tuple[OverruledFact, ...] = ()  # pauses that somebody overruled for this row

    @property
    def allowed(self) -> bool:
        return self.rule is not None and not self.classes


def verdicts(case: Case) -> tuple[Verdict, ...]:
    """Every planned row of today and later, judged in the order of days.

    A row that follows an allowed first use is no first use any more; if that one is not done, tomorrow says
    so.
    """
    started: set[str] = set()
    found: list[Verdict] = []
    for row in case.planned:
        verdict = judge(case, row, first_use=row.form not in started and not case.done(row.form))
        if verdict.allowed:
            started.add(row.form)
        found.append(verdict)
    return tuple(found)


def judge(case: Case, row: CareFact, first_use: bool) -> Verdict:
    rule = case.book.form(row.form)
    if rule is None:
        return Verdict(row, None, ("clash",))
    cause = timing.cause(case, row, rule, first_use)
    hard, soft = tuple(hardstops.broken(case, row, rule)), tuple(_soft(case, row, rule, cause))
    overruled = tuple(one for class_ in soft if (one := case.overruled(row, class_)))
    kept = tuple(class_ for class_ in soft if class_ not in {one.class_ for one in overruled})
    return Verdict(row, rule, (*hard, *kept), cause if "timing" in kept else "", overruled)


def refused(case: Case, judged: tuple[Verdict, ...]) -> tuple[Refusal, ...]:
    """One refusal for each forbidden row and class."""
    without = {form: case.without_planned(form) for form in {one.row.form for one in judged if one.classes}}
    return tuple(_refusal(without[one.row.form], one, class_) for one in judged for class_ in one.classes)


def allowed_now(case: Case, form: str, sites: tuple[str, ...], day: date) -> bool:
    """Whether a form could be put into the plan for that day, as far as the rulebook goes."""
    rule = case.book.form(form)
    if rule is None:
        return False
    row = CareFact(day=day, status="planned", verb=rule.verb, form=form, sites=sites)
    return judge(case, row, first_use=not case.done(form)).allowed


def _refusal(case: Case, verdict: Verdict, class_: str) -> Refusal:
    """`case` is the plan without the refused form, so that what stands in for it does not clash with it."""
    row, rule = verdict.row, verdict.rule
    name = rule.rule if rule else UNKNOWN_FORM
    hard = class_ in hardstops.HARD
    cause = verdict.cause if class_ == "timing" else ""
    return Refusal(row.verb, row.form, name, hard, class_, _instead(case, row, rule, class_), row.day, cause)


def _instead(case: Case, row: CareFact, rule: FormRule | None, class_: str) -> tuple[str, ...]:
    """Forms that would pass the same rules on the same day and sites."""
    if rule is None:
        return ()
    offered = rule.instead
    if class_ == "medical" and case.medical_stop:
        offered = MEDICAL_INSTEAD
    elif rule.verb == "dry" and (class_ == "skin-kind" or case.kind == "dry" or case.glassy):
        offered = SOFTEN_INSTEAD
    elif class_ == "timing" and rule.verb == "soften":
        offered = BEFORE_CLIMB_INSTEAD
    elif class_ == "site" and rule.ingredient:
        offered = SITE_AGENT_INSTEAD
    if rule.ingredient and hardstops.reacted(case, row.form):  # skin that has just reacted gets no other agent
        offered = tuple(form for form in offered if not case.book.is_agent(form))
    return tuple(form for form in offered if allowed_now(case, form, row.sites, row.day))


def _soft(case: Case, row: CareFact, rule: FormRule, cause: str) -> Iterator[str]:
    if case.kind is not None and case.kind in rule.not_for_kinds:
        yield "skin-kind"
    elif rule.ingredient and case.glassy:
        yield "skin-kind"
    if rule.zones and any(holds.zone_of(site) not in rule.zones for site in row.sites):
        yield "site"
    if cause:
        yield "timing"
    if _clashes(case, row, rule):
        yield "clash"


def _clashes(case: Case, row: CareFact, rule: FormRule) -> bool:
    if rule.ingredient and _second_agent(case, row, rule):
        return True
    return rule.verb == "even" and any(
        other.verb == "soften" and other.day == row.day and _same_part(row, other) for other in case.planned
    )


def _same_part(row: CareFact, other: CareFact) -> bool:
    """Filing needs dry skin: cream in the same part of the day stands in its way."""
    return row.part is not None and row.part == other.part


def _second_agent(case: Case, row: CareFact, rule: FormRule) -> bool:
    """Another ingredient on the same day, or a second one in the last week before an event. One change at a time: of
    two on a day the one that the skin knows stays.
    """
    others = [one for one, ingredient in case.agents if ingredient != rule.ingredient]
    same_day = [one for one in others if one.status == "planned" and one.day == row.day]
    if any(case.done(one.form) or not case.done(row.form) for one in same_day):
        return True
    if not any(0 <= (entry.first_day - row.day).days <= LAST_WEEK_DAYS for entry in case.entries):
        return False
    since = row.day - timedelta(days=SECOND_AGENT_DAYS)
    return any(since <= one.day <= row.day for one in others)

