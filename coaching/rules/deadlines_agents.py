"""Deadlines of drying agents: first use, start of a course, last use, and the sign-offs that come before."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from coaching.rules import hardstops, timing
from coaching.rules.case import Case
from coaching.rules.conclusions import Deadline
from coaching.rules.deadline_states import Last, action, by_rulebook, limit
from coaching.rules.event_needs import air_change, leaves_on
from coaching.rules.facts import EntryFact
from coaching.rules.rulebook import FormRule
from coaching.rules.schedule import latest_starts

RUNNING_DAYS = 14
CARRY_DAYS = 21
COURSE_FORM = "iontophoresis"
CLEARED_BY_DOCTOR = frozenset({"other"})


def agents(case: Case, entry: EntryFact) -> Iterator[Deadline]:
    """For each agent planned or in use, and the long course for damp skin in damper air.

    Without any of them the last day for any first use, while it is ahead, unless skin is dry or too young.
    """
    rules = _rules(case, entry)
    for rule in rules:
        yield from _of_form(case, entry, rule)
    yield from _slowest(case, entry, rules)
    last = by_rulebook(case, entry, "agent-first-use")
    if rules or case.kind == "dry" or _too_young(case) or last.latest < case.as_of:
        return
    yield action(case, last, done=False)
    if case.minor:
        yield signoff(case, None, last.latest)


def signoff(case: Case, rule: FormRule | None, latest: date) -> Deadline:
    """Guardian and medical sign-off before the first use; done when both are in force on that day."""
    form = rule.form if rule else None
    day = max(latest, case.as_of)
    signed = form is not None and all(case.signed(form, by, day) for by in ("guardian", "medical"))
    return action(case, Last("medical-signoff", latest, form=form, rule=rule.rule if rule else None), signed)


def _rules(case: Case, entry: EntryFact) -> list[FormRule]:
    """Agents that this athlete may have at all."""
    course = [COURSE_FORM] if case.kind == "damp" and air_change(case, entry).damper else []
    names = dict.fromkeys([*(row.form for row in case.planned), *case.agents_in_use(), *course])
    rules = [case.book.forms[name] for name in names if case.book.is_agent(name)]
    return [rule for rule in rules if not _never(case, rule)]


def _slowest(case: Case, entry: EntryFact, rules: list[FormRule]) -> Iterator[Deadline]:
    """Damp skin and air that nobody knows yet: the last day for the slowest remedy, while it is ahead."""
    rule = case.book.form(COURSE_FORM)
    known = entry.air.venue_dew_point_c is not None and not entry.air.typical
    if rule is None or rule in rules or known or case.kind != "damp" or _never(case, rule):
        return
    if _starts(case, entry, rule, not case.done(rule.form))[0] >= case.as_of:
        yield from _of_form(case, entry, rule)


def _never(case: Case, rule: FormRule) -> bool:
    met = case.facts.contraindications.intersection(rule.contraindications) - CLEARED_BY_DOCTOR
    young = case.facts.age_years is not None and case.facts.age_years < rule.minimum_age
    allergic = bool(case.facts.sensitivities.intersection(rule.sensitivities))
    return bool(met) or young or allergic or hardstops.reacted(case, rule.form)


def _too_young(case: Case) -> bool:
    rules = [rule for rule in case.book.forms.values() if rule.ingredient]
    return all(_never(case, rule) for rule in rules)


def _of_form(case: Case, entry: EntryFact, rule: FormRule) -> Iterator[Deadline]:
    first = not case.done(rule.form)
    late, middle = _starts(case, entry, rule, first)
    if case.kind != "dry":
        kind = "agent-first-use" if first else "agent-start"
        since = case.as_of - timedelta(days=RUNNING_DAYS)
        running = any(row.day >= since for row in case.done(rule.form))
        yield action(case, Last(kind, late, middle, rule.form, rule=rule.rule), running)
        if case.minor or case.facts.contraindications.intersection(rule.contraindications):
            yield signoff(case, rule, late)
    if first and late < case.as_of:
        return
    last = _last_use(case, entry, rule)
    used_late = any(last < row.day < entry.first_day for row in case.done(rule.form))
    yield limit(case, Last("agent-stop", last, None, rule.form, rule=rule.rule), used_late)


def _starts(case: Case, entry: EntryFact, rule: FormRule, first: bool) -> tuple[date, date]:
    """Latest and middle day to begin.

    A course ends before the travel and is settled by the event; a first course is watched for two days before
    it.
    """
    if not rule.settle_days:
        middle, late = (entry.first_day - timedelta(days=days) for days in rule.lead_days)
        return late, middle
    settled = entry.first_day - timedelta(days=rule.settle_days)
    leaves = leaves_on(case, entry)
    end = min(settled, leaves) if leaves else settled
    trial = [("trial", rule.trial_days)] if first else []
    middle, late = (min(latest_starts(end, [*trial, ("course", days)]).values()) for days in rule.run_days)
    return late, middle


def _last_use(case: Case, entry: EntryFact, rule: FormRule) -> date:
    """The last day of the strongest that is planned or in use; dry skin stops earlier."""
    if case.kind == "dry":
        return by_rulebook(case, entry, "dry-kind-agent-stop").latest
    since = case.as_of - timedelta(days=CARRY_DAYS)
    rows = [*case.planned, *(one for one in case.done(rule.form) if one.day >= since)]
    days = [timing.stop_days(case, one, rule) for one in rows if one.form == rule.form]
    return entry.first_day - timedelta(days=max(days, default=rule.stop_days))
