"""When care may be done: the part of the day, before or after climbing, and how near to an event."""

from __future__ import annotations

from datetime import date, timedelta

from coaching.rules.case import Case
from coaching.rules.facts import CareFact, EntryFact
from coaching.rules.rulebook import FormRule

RUN_BEGAN_DAYS = 14
RUN_LEAST_EVENINGS = 7
"""Common practice, no source: a run of 7 to 10 evenings."""
TOLERATED_SPAN_DAYS = 7
"""A hand therapist's column: at least a week before deciding on any product."""
COURSE_MEMORY_DAYS = 400


def cause(case: Case, row: CareFact, rule: FormRule, first_use: bool) -> str:
    """The first rule of time that the row breaks: part-of-day, before-climbing, unfinished-run, first-use or
    last-use; empty where none does.
    """
    if rule.strict_part and row.part is not None and row.part not in rule.parts:
        return "part-of-day"
    if _before_climbing(case, row, rule):
        return "before-climbing"
    if rule.verb == "toughen" and any(_unfinished(case, row, rule, entry) for entry in case.entries):
        return "unfinished-run"
    return next((found for entry in case.entries if (found := _late(case, row, rule, entry, first_use))), "")


def stop_days(case: Case, row: CareFact, rule: FormRule) -> int:
    """Last use in days before an event, for this athlete and this strength."""
    if rule.ingredient and case.kind == "dry":
        return case.book.deadlines["dry-kind-agent-stop"].days[1]
    return 0 if may_go_on(case, rule, row.strength) else rule.stop_days


def may_go_on(case: Case, rule: FormRule, strength: str | None) -> bool:
    """A weak spray or liquid, damp skin, and an earlier course of at least a week that was tolerated."""
    return strength in rule.goes_on_strengths and case.kind == "damp" and tolerated(case, rule.form)


def tolerated(case: Case, form: str) -> bool:
    """Done over a week or more, and no use of it was answered by any reaction."""
    since = case.as_of - timedelta(days=COURSE_MEMORY_DAYS)
    used = [one for one in case.done(form) if one.day >= since]
    if not used or any(one.reaction in ("mild", "stopped") for one in used):
        return False
    days = [one.day for one in used]
    return (max(days) - min(days)).days >= TOLERATED_SPAN_DAYS


def _before_climbing(case: Case, row: CareFact, rule: FormRule) -> bool:
    """Agents and greasy creams that belong after climbing, planned ahead of it on a climbing day."""
    early = rule.climbing_day == "after" and row.part in ("morning", "day")
    return early and rule.verb in ("dry", "soften") and _climbs(case, row.day)


def _late(case: Case, row: CareFact, rule: FormRule, entry: EntryFact, first_use: bool) -> str:
    """First use inside the days before the event or during it; any use after the last allowed day before it.

    The last allowed day itself is allowed. During a trip an agent in use may go on.
    """
    if row.day > entry.last_day:
        return ""
    ahead_days = (entry.first_day - row.day).days
    if rule.ingredient and first_use and ahead_days < rule.no_first_use_days:
        return "first-use"
    goes_on = entry.kind == "trip" and ahead_days <= 0
    return "last-use" if ahead_days < stop_days(case, row, rule) and not goes_on else ""


def _unfinished(case: Case, row: CareFact, rule: FormRule, entry: EntryFact) -> bool:
    """A run of evenings begun so late that it ends sore and unfinished: all cost, no use."""
    stop = entry.first_day - timedelta(days=rule.stop_days)
    if not row.day <= stop:
        return False
    since = case.as_of - timedelta(days=RUN_BEGAN_DAYS)
    begun = [one.day for one in case.done(rule.form) if one.day >= since]
    begun += [one.day for one in case.planned if one.form == rule.form]
    return (stop - min([*begun, row.day])).days + 1 < RUN_LEAST_EVENINGS


def _climbs(case: Case, day: date) -> bool:
    return any(one.planned and one.day == day and (one.minutes or 0) > 0 for one in case.facts.sessions)
